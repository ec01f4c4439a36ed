"""How well mixtures are predicted, and what a painter gets from the recipes found.

    python -m tests.benchmarks.mixing [--sets 8] [--paints 2]

"Measured" paints are invented: each has a true K(λ) and S(λ), mixtures follow the two-constant law with
Saunderson's surface (K1 = 0.03, K2 = 0.65), drops are equal volumes. Two populations are those from which
the shipped prior was made, drawn afresh with other seeds (`particles`, `kinds`); the third was made
another way and is not in the prior (`held back`; its figures were in sight, beside the others',
when the prior's four widths were chosen); the fourth is that as instruments tell it of strong transparent
paints, seen with the light of their surfaces: bands of Gaussian shape and edges in wavelength,
S ~ λ^-n of a strength typical of the kind, pulled down where the paint absorbs. Typical strengths are from
memory; there is no source.

Every set is a white and eighteen others; mixtures are of two or three paints, 1 to 6 drops each, about
half of them with the white. Printed are the median and the 95th percentile of CIEDE2000 between
prediction and truth, and their ratio to the rival named:

  Lab only    rivals: averaging Lab, averaging linear RGB, single-constant Kubelka-Munk on recovered spectra
  reflectance rival: single-constant Kubelka-Munk on the measured masstones
  tint        Lab of masstone and 10 % let-down; rival: K and S solved wavelength by wavelength from
              spectra recovered from each, with Saunderson's surface

The rivals recover spectra with `palette.colour.recovery`. For recipes, each model's best recipe for a
reachable colour is mixed truly and compared with that colour. `named` is the one of the nearest that `palette mix`
names as likeliest to be near once mixed; `surest` is the first with --surest.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from itertools import combinations, product

import numpy as np

from palette.colour.difference import difference
from palette.colour.recovery import recover
from palette.colour.spaces import Array, lab_to_linear, linear_to_lab
from palette.colour.spectra import NM
from palette.paints.mixing import law, mixes, predicted
from palette.paints.mixing.data.make import kinds_of_the_trade, particles
from palette.paints.mixing.differing import surest_of
from palette.paints.mixing.inference import lab_of
from palette.paints.mixing.search import compositions
from palette.swatches.model import Swatch, SwatchList

SHARE = 0.1
NAMES = ("particles", "kinds", "held back", "with surfaces")
KNOWLEDGE = ("Lab only", "reflectance", "tint", "reflectance + tint")


def _bands(*bands: tuple[float, float, float]) -> Array:
    return np.asarray(sum(h * np.exp(-0.5 * ((NM - c) / w) ** 2) for c, w, h in bands))


def _edge(centre: float, width: float) -> Array:
    return np.asarray(1 / (1 + np.exp((NM - centre) / width)))


def held_back(count: int, seed: int) -> tuple[Array, Array, list[str]]:
    """K and S (count, 31) of paints from another mould than those behind the prior, and their kinds."""
    rng = np.random.default_rng(seed)
    u = rng.uniform
    # ruff: noqa: E501
    kinds = {
        "blue": lambda: (_bands((u(605, 630), u(28, 40), 1), (u(670, 710), u(25, 40), u(0.6, 1)), (390, 25, u(0.05, 0.3))), 14, 0.25),
        "green": lambda: (_bands((u(640, 670), u(35, 50), 1), (u(380, 430), u(25, 40), u(0.3, 0.7))), 10, 0.25),
        "violet": lambda: (_bands((u(540, 570), u(35, 50), 1), (u(595, 625), u(18, 28), u(0.5, 0.9)), (400, 30, 0.1)), 10, 0.15),
        "magenta": lambda: (_bands((u(520, 540), u(25, 35), 1), (u(560, 575), u(12, 20), u(0.5, 1)), (425, 40, u(0.1, 0.3))), 4, 0.25),
        "red": lambda: (_bands((u(500, 530), u(40, 55), 1), (u(555, 575), u(15, 22), u(0.3, 0.8)), (410, 40, u(0.3, 0.7))), 6, 0.3),
        "orange": lambda: (_bands((u(470, 490), u(40, 50), 1), (400, 50, u(0.5, 1))), 5, 0.3),
        "yellow": lambda: (_bands((u(420, 440), u(30, 40), 1), (380, 40, 0.7)), 4, 0.2),
        "opaque yellow": lambda: (_edge(u(480, 515), u(6, 11)), 5, 0.5),
        "opaque red": lambda: (_edge(u(570, 605), u(8, 13)), 5, 0.5),
        "red oxide": lambda: (_edge(u(560, 580), u(10, 16)) + _bands((650, 60, u(0.05, 0.2))), 8, 0.7),
        "ochre": lambda: (_edge(u(500, 530), u(16, 24)) + _bands((650, 60, u(0.05, 0.15))), 2, 0.4),
        "umber": lambda: (np.exp(-(NM - 400) / u(70, 130)), 3, 0.3),
        "cobalt": lambda: (_bands((u(580, 600), u(30, 40), 1), (u(630, 645), 20, u(0.6, 0.9)), (540, 22, u(0.3, 0.6))), 1.5, 0.25),
        "ultramarine": lambda: (_bands((u(590, 610), u(45, 55), 1)), 2, 0.08),
        "oxide green": lambda: (_bands((u(600, 630), u(45, 60), 0.8), (u(420, 445), u(35, 45), 1)), 1.5, 0.5),
        "black": lambda: ((NM / 550) ** u(-0.8, 0.3), 8, 0.25),
    }  # fmt: skip
    k, s, made = [], [], []
    for _ in range(count):
        if u() < 0.07:
            kind = "white"
            k.append(u(0.002, 0.006) + u(0.02, 0.2) * np.exp(-(NM - 400) / u(5, 9)))
            s.append(np.ones(NM.size))
        else:
            kind = str(rng.choice(list(kinds)))
            shape, strength, scattering = kinds[kind]()
            own = np.exp(0.5 * rng.standard_normal(2))
            absorbs = strength * own[0] * shape + 0.01 * (1 + _bands((400, 30, 2)))
            hidden = np.log(absorbs).mean() - np.log(absorbs)
            bend = np.polynomial.chebyshev.chebval(
                np.linspace(-1, 1, NM.size), rng.normal(0, [0, 0.1, 0.1, 0.08])
            )
            k.append(absorbs)
            s.append(scattering * own[1] * (550 / NM) ** u(-0.2, 1.2) * np.exp(u(0, 0.25) * hidden + bend))
        made.append(kind)
    return np.array(k), np.maximum(np.array(s), 0.005), made


def with_surfaces(count: int, seed: int) -> tuple[Array, Array, list[str]]:
    """K and S (count, 31) as instruments tell them of artists' paints: of `held_back`, its organic pigments
    strong and transparent, masstone, let-down and white seen with up to 0.03 of light from their surfaces."""
    rng = np.random.default_rng(seed + 7)
    k, s, kinds = held_back(2 * count, seed)
    paints: list[tuple[Array, Array, str]] = []
    for one_k, one_s, kind in zip(k, s, kinds, strict=True):
        if kind in ("blue", "green", "violet", "magenta", "ultramarine"):
            one_s = one_s * np.exp(rng.uniform(np.log(0.03), np.log(0.5)))
        if kind != "white":
            more = rng.uniform(0.0, 0.03)
            white = np.full(NM.size, 0.002)
            tint = (SHARE * one_k + (1 - SHARE) * white) / (SHARE * one_s + 1 - SHARE)
            masstone, tint, pale = (
                law.ratio(law.reflectance(q) + more) for q in (one_k / one_s, tint, white)
            )
            one_s = (1 - SHARE) * (tint - pale) / (SHARE * np.maximum(masstone - tint, 1e-9))
            one_k = one_s * masstone
            if (one_s < 1e-4).any() or (one_s > 30).any():
                continue
        paints.append((one_k, one_s, kind))
    all_k, all_s, made = zip(*paints[:count], strict=True)
    return np.array(all_k), np.array(all_s), list(made)


def truly(k: Array, s: Array, shares: Array) -> Array:
    """CIELAB (m, 3) of mixtures with shares (m, n)."""
    return lab_of(law.reflectance((shares @ k) / (shares @ s)))


def sets(
    k: Array, s: Array, kinds: list[str], count: int, seed: int
) -> Iterator[tuple[np.random.Generator, Array, Array]]:
    """White first, then eighteen others that are neither white nor blended."""
    rng = np.random.default_rng(seed)
    white = [i for i, kind in enumerate(kinds) if kind == "white"]
    other = [i for i, kind in enumerate(kinds) if kind not in ("white", "blend")]
    for _ in range(count):
        chosen = np.concatenate([rng.choice(white, 1), rng.choice(other, 18, replace=False)])
        yield rng, k[chosen], s[chosen]


def drops_of(rng: np.random.Generator, paints: int, count: int) -> np.ndarray:
    drops = np.zeros((count, paints), dtype=np.int64)
    for row in drops:
        size = rng.integers(2, 4)
        chosen = rng.choice(paints, size, replace=False)
        if rng.random() < 0.4 and 0 not in chosen:
            chosen[0] = 0
        row[chosen] = rng.integers(1, 7, size)
    return drops


def swatch_list(k: Array, s: Array, knowledge: str) -> SwatchList:
    """The paints as a user would have them written down."""
    n = len(k)
    reflectance = law.reflectance(k / s)
    lab = lab_of(reflectance)
    shares = (1 - SHARE) * np.eye(n)[np.zeros(n, dtype=int)] + SHARE * np.eye(n)
    tint = law.reflectance((shares @ k) / (shares @ s))
    measured, let_down = "reflectance" in knowledge, "tint" in knowledge
    return SwatchList(
        tuple(
            Swatch(
                f"p{i}", f"paint {i}", lab[i], "reflectance" if measured else "lab",
                reflectance=reflectance[i] if measured else None,
                tint_lab=lab_of(tint[i]) if let_down and i else None,
                tint_reflectance=tint[i] if let_down and measured and i else None,
                tint_share=SHARE if let_down and i else None, tint_white="p0" if let_down and i else None,
            )
            for i in range(n)
        )
    )  # fmt: skip


def rivals(k: Array, s: Array, shares: Array) -> dict[str, Array]:
    """What the simple methods predict for mixtures with shares (m, n)."""

    def plain(reflectance: Array) -> Array:
        r = np.clip(reflectance, 1e-3, 0.9999)
        return np.asarray((1 - r) ** 2 / (2 * r))

    def back(q: Array) -> Array:
        return lab_of(1 / (1 + q + np.sqrt(q * (q + 2))))

    n = len(k)
    lab = truly(k, s, np.eye(n))
    spectra = recover(lab).mean
    down = SHARE * np.eye(n)
    down[:, 0] += 1 - SHARE
    q, q_down = law.ratio(spectra), law.ratio(recover(truly(k, s, down)).mean)
    with np.errstate(divide="ignore", invalid="ignore"):
        scatter = (1 - SHARE) * (q_down - q[0]) / (SHARE * (q - q_down))
    scatter = np.clip(np.nan_to_num(scatter, nan=1.0), 0.01, 10.0)
    scatter[0] = 1.0
    return {
        "averaging Lab": shares @ lab,
        "averaging linear RGB": linear_to_lab(shares @ lab_to_linear(lab)),
        "single-constant, recovered": back(shares @ plain(spectra)),
        "single-constant, measured": back(shares @ plain(law.reflectance(k / s))),
        "two-constant by wavelength": lab_of(law.reflectance((shares @ (q * scatter)) / (shares @ scatter))),
    }


RIVAL = {
    "Lab only": "single-constant, recovered",
    "reflectance": "single-constant, measured",
    "tint": "two-constant by wavelength",
    "reflectance + tint": "two-constant by wavelength",
}


def ours(swatches: SwatchList, drops: np.ndarray) -> tuple[Array, Array]:
    """Predicted CIELAB (m, 3) and expected errors (m,)."""
    mixtures = [predicted({f"p{i}": int(row[i]) for i in np.flatnonzero(row)}, swatches) for row in drops]
    return np.array([mix.lab for mix in mixtures]), np.array([mix.expected_error for mix in mixtures])


def population(name: str, seed: int) -> tuple[Array, Array, list[str]]:
    return {
        "particles": particles,
        "kinds": kinds_of_the_trade,
        "held back": held_back,
        "with surfaces": with_surfaces,
    }[name](500, seed)


def predictions(name: str, count: int, seed: int = 1) -> dict[str, Array]:
    """CIEDE2000 of every method over `count` sets of a population; expected errors as 'expected: …'."""
    errors: dict[str, list[Array]] = {}
    for rng, k, s in sets(*population(name, 900 + seed), count, seed):
        drops = drops_of(rng, len(k), 100)
        shares = drops / drops.sum(axis=1, keepdims=True)
        truth = truly(k, s, shares)
        for rival, lab in rivals(k, s, shares).items():
            errors.setdefault(rival, []).append(difference(truth, lab))
        for knowledge in KNOWLEDGE:
            lab, expected = ours(swatch_list(k, s, knowledge), drops)
            errors.setdefault(knowledge, []).append(difference(truth, lab))
            errors.setdefault(f"expected: {knowledge}", []).append(expected)
    return {method: np.concatenate(off) for method, off in errors.items()}


def recipes(name: str, count: int, colours: int, paints: int = 2, seed: int = 2) -> dict[str, Array]:
    """How far truly mixed recipes are off their target, by who chose them.

    Every model picks from all recipes of up to `paints` paints and 12 drops the one it thinks nearest; one
    paint alone has for each of them the colour that the list gives it. `truth` is the nearest there is.
    """
    off: dict[str, list[Array]] = {}
    for rng, k, s in sets(*population(name, 900 + seed), count, seed):
        n = len(k)
        shares = []
        for p in range(1, paints + 1):
            drops = compositions(p, 12)
            for chosen in combinations(range(n), p):
                block = np.zeros((len(drops), n))
                block[:, chosen] = drops / drops.sum(axis=1, keepdims=True)
                shares.append(block)
        tried = np.concatenate(shares)
        real = truly(k, s, tried)
        alone = (tried > 0).sum(axis=1) == 1
        drops = drops_of(rng, n, colours)
        targets = truly(k, s, drops / drops.sum(axis=1, keepdims=True))
        for rival, lab in rivals(k, s, tried).items():
            lab[alone] = real[alone]
            chosen = [int(np.argmin(difference(target, lab))) for target in targets]
            off.setdefault(rival, []).append(difference(targets, real[chosen]))
        for knowledge, how in product(KNOWLEDGE, ("", ", named", ", surest")):
            swatches = swatch_list(k, s, knowledge)
            share = np.zeros((colours, n))
            for row, target in zip(share, targets, strict=True):
                some = mixes(
                    target,
                    swatches,
                    max_paints=paints,
                    count=60 if "named" in how else 1,
                    surest="surest" in how,
                )
                best = surest_of(some)
                assert best is not None
                for id, drop in best.drops:
                    row[int(id[1:])] = drop / best.total
            method = knowledge + how
            off.setdefault(method, []).append(difference(targets, truly(k, s, share)))
        off.setdefault("truth", []).append(np.array([difference(t, real).min() for t in targets]))
    return {method: np.concatenate(parts) for method, parts in off.items()}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sets", type=int, default=8)
    parser.add_argument("--paints", type=int, default=2, help="paints in a recipe at most")
    parser.add_argument("--of", nargs="+", default=NAMES, choices=NAMES, help="populations")
    given = parser.parse_args()
    count = given.sets
    for name in given.of:
        errors = predictions(name, count)
        print(f"\n{name}: {count} sets, {len(errors['tint'])} mixtures, CIEDE2000 median / 95th percentile")
        for method, misses in errors.items():
            if method.startswith("expected"):
                continue
            line = f"  {method:28} {np.median(misses):5.2f} / {np.percentile(misses, 95):5.2f}"
            if method in RIVAL:
                rival = errors[RIVAL[method]]
                line += f"   × {np.median(misses) / np.median(rival):.2f} / "
                line += f"{np.percentile(misses, 95) / np.percentile(rival, 95):.2f} of {RIVAL[method]}"
                line += f"; mean {misses.mean():.2f}, expected {errors['expected: ' + method].mean():.2f}"
            print(line)
        off = recipes(name, count, 20, given.paints)
        print(f"  the nearest recipe of up to {given.paints} paints by each, truly mixed, off its target:")
        for method, got in off.items():
            line = f"  {method:28} {np.median(got):5.2f} / {np.percentile(got, 95):5.2f}"
            knowledge = method.removesuffix(", surest").removesuffix(", named")
            for rival in (RIVAL[knowledge], "averaging Lab") if knowledge in RIVAL else ():
                line += f"   × {np.median(got) / np.median(off[rival]):.2f} of {rival}"
            print(line)


if __name__ == "__main__":
    main()
