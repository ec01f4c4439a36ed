"""Makes prior.npz: what paints' absorption and scattering are like.

    python -m palette.paints.mixing.data.make

Two populations of invented paints, half and half, S told relative to a rutile white's:

*particles*: from physics. A pigment is a refractive index (bands of Gaussian shape in ε₂, with the ε₁
that Kramers & Kronig demand of them), a size of particle and a volume share in an acrylic film
(n = 1.5). Mie's theory gives what one particle absorbs, scatters, and how far forward; K = 2 × absorbed
and S = ¾ × scattered × (1 − asymmetry) per volume are the two constants of Kubelka and Munk to first
order (Mudgett & Richards 1971). About a quarter are blends of several pigments with white, as paints sold
by the colour are.

*kinds*: from the trade. Twenty-four common kinds of pigment, each with where it absorbs, and how
strongly: K from the usual look of its 10 % let-down in white, S from how dark its masstone is.

*surfaces*: as many again as a third of these, as instruments and eyes meet the strongest of them. A masstone
that reflects next to nothing is still seen by the light that its surface turns back, so phthalocyanines,
dioxazines and their like have nearly black masstones and brilliant let-downs. Up to 0.034 of reflectance is
added to masstone, let-down and white, and K and S are told from these (Berns 2016's masstone and tint).

The ranges for index, size, share and strength are from memory of pigment handbooks and tint cards; no
paint that is sold was measured for them.

Sources: Bohren & Huffman, Absorption and Scattering of Light by Small Particles (1983);
Mudgett & Richards, Applied Optics 10 (1971) 1485.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import dawsn, spherical_jn, spherical_yn

from palette.colour.spaces import Array
from palette.colour.spectra import NM
from palette.paints.mixing import law
from palette.paints.mixing.inference import lab_of

Complex = NDArray[np.complexfloating[Any, Any]]
MEDIUM = 1.5
EV = 1239.84 / NM
KEPT = 16  # directions of u that are stored


def epsilon(infinity: float, bands: list[tuple[float, float, float]]) -> Complex:
    """Complex permittivity (31,) of Gaussian bands (height in ε₂, centre in eV, width in eV)."""
    e = np.full(NM.size, infinity, dtype=np.complex128)
    for height, centre, width in bands:
        up, down = (EV + centre) / width, (EV - centre) / width
        e += height * (np.exp(-(down**2)) - np.exp(-(up**2))) * 1j
        e += height * 2 / np.sqrt(np.pi) * (dawsn(up) - dawsn(down))
    return e


def mie(index: Complex, micrometres: float) -> tuple[Array, Array]:
    """What particles of one diameter absorb, and scatter × (1 − asymmetry), per volume: 1/µm, (31,) each."""
    x = np.pi * micrometres * 1000 * MEDIUM / NM
    m = index / MEDIUM
    orders = int(np.ceil(x.max() + 4 * x.max() ** (1 / 3) + 2))
    n = np.arange(1, orders + 1)[:, None]
    mx = m * x
    # logarithmic derivative by downward recurrence, Bohren & Huffman 4.89
    d = np.zeros((orders + 16, NM.size), dtype=np.complex128)
    for i in range(orders + 15, 0, -1):
        d[i - 1] = i / mx - 1 / (d[i] + i / mx)
    d = d[1 : orders + 1]
    psi = x * spherical_jn(np.arange(orders + 1)[:, None], x)
    chi = x * spherical_yn(np.arange(orders + 1)[:, None], x)
    xi = psi + 1j * chi
    a = ((d / m + n / x) * psi[1:] - psi[:-1]) / ((d / m + n / x) * xi[1:] - xi[:-1])
    b = ((d * m + n / x) * psi[1:] - psi[:-1]) / ((d * m + n / x) * xi[1:] - xi[:-1])
    out = 2 / x**2 * np.sum((2 * n + 1) * (a + b).real, axis=0)
    scattered = 2 / x**2 * np.sum((2 * n + 1) * (np.abs(a) ** 2 + np.abs(b) ** 2), axis=0)
    a1, b1 = np.vstack([a[1:], np.zeros(NM.size)]), np.vstack([b[1:], np.zeros(NM.size)])
    forward = (
        4
        / x**2
        * np.sum(
            n * (n + 2) / (n + 1) * (a * a1.conj() + b * b1.conj()).real
            + (2 * n + 1) / (n * (n + 1)) * (a * b.conj()).real,
            axis=0,
        )
    )
    per_volume = 1.5 / micrometres
    return (out - scattered) * per_volume, (scattered - forward) * per_volume


def film(
    e: Complex, micrometres: float, spread: float, share: float, clumps: float = 0.0
) -> tuple[Array, Array]:
    """K and S, 1/µm (31,), of a film with `share` by volume of particles, log-normal in diameter."""
    index = np.sqrt(e)
    k = np.zeros(NM.size)
    s = np.zeros(NM.size)
    sizes = [(0.35, np.exp(-1.2 * spread)), (0.40, 1.0), (0.25, np.exp(1.2 * spread))]
    if clumps:  # particles that dispersion did not part act as larger ones
        sizes = [(weight * (1 - clumps), size) for weight, size in sizes] + [(clumps, 6.0)]
    for weight, size in sizes:
        absorbed, scattered = mie(index, micrometres * size)
        k += weight * 2 * share * absorbed
        s += weight * 0.75 * share * scattered
    return k, s * (1 - min(share, 0.3))  # crowding, to first order


def _between(rng: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def _ultraviolet(rng: np.random.Generator) -> list[tuple[float, float, float]]:
    return [(rng.uniform(0.3, 1.0), rng.uniform(4.2, 5.5), 0.5)]


def organic(rng: np.random.Generator) -> tuple[Array, Array]:
    """Strong dye-like bands in small particles."""
    centre = rng.uniform(1.75, 3.0)
    height = _between(rng, 0.5, 3.0)
    width = rng.uniform(0.09, 0.22)
    bands = [(height, centre, width)]
    for _ in range(rng.integers(1, 4)):
        bands.append(
            (height * rng.uniform(0.15, 0.9), centre + rng.uniform(0.12, 0.45), rng.uniform(0.1, 0.25))
        )
    if rng.random() < 0.7:
        bands.append(
            (height * rng.uniform(0.2, 0.9), rng.uniform(max(3.2, centre + 0.5), 4.0), rng.uniform(0.2, 0.4))
        )
    return film(
        epsilon(rng.uniform(2.3, 2.9), bands + _ultraviolet(rng)),
        _between(rng, 0.04, 0.3),
        rng.uniform(0.2, 0.5),
        _between(rng, 0.02, 0.10),
        rng.uniform(0.0, 0.3),
    )


def edge(rng: np.random.Generator) -> tuple[Array, Array]:
    """Semiconductors: a steep edge, high index, particles made to scatter."""
    start = rng.uniform(1.95, 2.65)
    steep = rng.uniform(0.05, 0.12)
    rise = _between(rng, 0.5, 2.5)
    bands = [
        (rise * 0.6, start + 1.7 * steep, steep),
        (rise, start + 0.25, 0.18),
        (rise * 1.5, start + 0.6, 0.3),
    ]
    bands += [(rise * 2.0, start + 1.2, 0.45), (rng.uniform(2, 4), start + 2.2, 0.7)]
    return film(
        epsilon(rng.uniform(3.0, 4.3), bands),
        _between(rng, 0.12, 0.6),
        rng.uniform(0.2, 0.5),
        _between(rng, 0.05, 0.2),
    )


def iron(rng: np.random.Generator) -> tuple[Array, Array]:
    """Iron oxides and earths: soft edges, a foot into the red, coarse and often diluted."""
    start = rng.uniform(2.05, 2.5)
    rise = _between(rng, 0.3, 2.5)
    bands = [
        (rise * 0.5, start + 0.15, rng.uniform(0.08, 0.16)),
        (rise, start + 0.45, 0.28),
        (rise * 1.6, start + 1.0, 0.45),
    ]
    bands += [(rise * rng.uniform(0.01, 0.06), start - 0.5, 0.25), (2.0, 4.8, 0.8)]
    if rng.random() < 0.4:  # umbers: manganese darkens everything
        bands.append((rise * rng.uniform(0.1, 0.5), rng.uniform(1.8, 2.4), 0.7))
    return film(
        epsilon(rng.uniform(2.6, 4.8), bands),
        _between(rng, 0.12, 1.5),
        rng.uniform(0.3, 0.6),
        _between(rng, 0.04, 0.2),
    )


def mineral(rng: np.random.Generator) -> tuple[Array, Array]:
    """Weak bands of ions in a crystal, coarse particles: cobalts, chromium oxides, ultramarines."""
    centre = rng.uniform(1.85, 2.6)
    height = _between(rng, 0.03, 0.5)
    width = rng.uniform(0.1, 0.3)
    bands = [
        (height, centre, width),
        (height * rng.uniform(0.2, 0.8), centre + rng.uniform(-0.25, 0.25), rng.uniform(0.08, 0.25)),
    ]
    if rng.random() < 0.5:
        bands.append((height * rng.uniform(0.3, 1.5), rng.uniform(2.9, 3.6), rng.uniform(0.2, 0.4)))
    return film(
        epsilon(rng.choice([rng.uniform(2.15, 2.5), rng.uniform(2.5, 5.0)]), bands + _ultraviolet(rng)),
        _between(rng, 0.2, 2.0),
        rng.uniform(0.3, 0.6),
        _between(rng, 0.05, 0.25),
    )


def black(rng: np.random.Generator) -> tuple[Array, Array]:
    """Carbon in every size, and iron black."""
    e = (rng.uniform(1.6, 2.3) + 1j * _between(rng, 0.15, 0.9) * (NM / 550) ** rng.uniform(-0.4, 0.3)) ** 2
    return film(
        e, _between(rng, 0.03, 1.0), rng.uniform(0.3, 0.6), _between(rng, 0.02, 0.15), rng.uniform(0.0, 0.3)
    )


def rutile(rng: np.random.Generator) -> tuple[Array, Array]:
    index = 2.56 + 0.055 * (550 / NM) ** 4 + 0.06 * ((550 / NM) ** 2 - 1)
    k = 1.5e-4 + rng.uniform(0.004, 0.02) * np.exp(-(NM - 400) / 6.0)
    return film((index + 1j * k / 50) ** 2, rng.uniform(0.22, 0.3), 0.25, rng.uniform(0.12, 0.2))


KINDS = {"organic": organic, "edge": edge, "iron": iron, "mineral": mineral, "black": black}
OFTEN = {"organic": 0.36, "edge": 0.16, "iron": 0.2, "mineral": 0.18, "black": 0.1}


def particles(count: int, seed: int) -> tuple[Array, Array, list[str]]:
    """K and S (count, 31) of paints made from physics, S of a white = 1, and the kind of each."""
    rng = np.random.default_rng(seed)
    white_s = np.mean([rutile(rng)[1] for _ in range(40)], axis=0)
    names, odds = list(OFTEN), np.array(list(OFTEN.values()))
    all_k: list[Array] = []
    all_s: list[Array] = []
    kinds: list[str] = []
    while len(all_k) < count:
        if rng.random() < 0.08:
            kind, parts = "white", [rutile(rng)]
        elif rng.random() < 0.25:
            kind = "blend"
            parts = [KINDS[str(rng.choice(names, p=odds))](rng) for _ in range(rng.integers(1, 4))]
            parts.append(rutile(rng))
        else:
            kind = str(rng.choice(names, p=odds))
            parts = [KINDS[kind](rng)]
        amount = rng.dirichlet(np.full(len(parts), 1.0))
        k = np.einsum("p,pl->l", amount, np.array([p[0] for p in parts])) + 2e-5
        s = np.einsum("p,pl->l", amount, np.array([p[1] for p in parts]))
        if kind != "white":
            # extenders, matting agents and voids scatter in every film
            s = s + white_s[15] * _between(rng, 0.01, 0.12) * (550 / NM) ** rng.uniform(0.0, 2.0)
            # makers load a paint as far as its price allows
            load = 2.0 * np.exp(0.8 * rng.standard_normal())
            k, s = k * load, s * load
        masstone = lab_of(law.reflectance(k / s))
        if not 12 < masstone[0] < 98 or np.hypot(*masstone[1:]) > 105:
            continue  # no paint that is sold looks like that
        all_k.append(k / white_s)
        all_s.append(s / white_s)
        kinds.append(kind)
    return np.array(all_k), np.array(all_s), kinds


def _band(centre: float, width: float, height: float = 1.0) -> Array:
    return np.asarray(height * np.exp(-0.5 * ((NM - centre) / width) ** 2))


def _edge(centre: float, width: float) -> Array:
    return np.asarray(1 / (1 + np.exp((NM - centre) / width)))


# Where it absorbs; K there and S where it does not, relative to a white's S.
TRADE: dict[str, tuple[Array, float, float]] = {
    "carbon black": ((NM / 550) ** -0.15, 5.4, 0.075),
    "bone black": ((NM / 550) ** -0.3, 2.1, 0.06),
    "iron black": ((NM / 550) ** 0.05, 4.2, 0.24),
    "phthalocyanine blue": (_band(615, 33) + _band(680, 35, 0.9) + _band(380, 25, 0.15) + 0.01, 7.8, 0.075),
    "phthalocyanine green": (_band(650, 42) + _band(400, 35, 0.5) + 0.008, 6.0, 0.075),
    "dioxazine violet": (_band(560, 45) + _band(615, 22, 0.7) + _band(400, 30, 0.12) + 0.01, 9.0, 0.054),
    "quinacridone": (_band(528, 30) + _band(566, 14, 0.8) + _band(420, 40, 0.2) + 0.006, 3.9, 0.12),
    "pyrrole red": (_band(510, 45) + _band(560, 16, 0.6) + _band(410, 45, 0.6) + 0.006, 3.0, 0.105),
    "arylide yellow": (_band(425, 35) + _band(385, 40, 0.7) + 0.004, 1.5, 0.09),
    "diarylide yellow": (_band(440, 42) + _band(385, 40, 0.8) + 0.004, 2.1, 0.105),
    "cadmium yellow": (_edge(495, 8) * (1 + 0.3 * (500 - NM) / 100) + 0.004, 1.95, 0.27),
    "cadmium orange": (_edge(555, 9) + 0.006, 2.1, 0.255),
    "cadmium red": (_edge(595, 10) + 0.008, 2.4, 0.225),
    "red iron oxide": (_edge(572, 12) + _band(650, 60, 0.08) + 0.015, 4.8, 0.51),
    "yellow iron oxide": (_edge(512, 20) + _band(650, 60, 0.07) + 0.02, 1.35, 0.42),
    "raw umber": (np.exp(-(NM - 400) / 120), 1.8, 0.18),
    "burnt umber": (np.exp(-(NM - 400) / 100) + 0.05, 2.4, 0.21),
    "burnt sienna": (_edge(560, 22) + _band(640, 60, 0.1) + 0.03, 2.4, 0.18),
    "raw sienna": (_edge(515, 25) + _band(650, 60, 0.1) + 0.03, 1.2, 0.15),
    "ultramarine": (_band(600, 48) + _band(500, 30, 0.1) + 0.006, 1.8, 0.045),
    "cobalt blue": (_band(590, 32) + _band(632, 18, 0.7) + _band(543, 20, 0.5) + 0.02, 1.2, 0.15),
    "cerulean": (_band(620, 40) + _band(660, 25, 0.8) + _band(420, 30, 0.2) + 0.04, 1.05, 0.21),
    "chromium oxide": (_band(610, 45, 0.8) + _band(430, 40) + 0.08, 1.5, 0.27),
    "viridian": (_band(620, 45, 0.9) + _band(420, 35) + 0.03, 0.9, 0.06),
}


def kinds_of_the_trade(count: int, seed: int) -> tuple[Array, Array, list[str]]:
    """K and S (count, 31) of paints of the common kinds, S of a white = 1, and the kind of each."""
    rng = np.random.default_rng(seed)
    names = list(TRADE)
    all_k: list[Array] = []
    all_s: list[Array] = []
    kinds: list[str] = []
    for _ in range(count):
        if rng.random() < 0.06:
            kind = "white"
            k = rng.uniform(0.0005, 0.002) + rng.uniform(0.02, 0.15) * np.exp(-(NM - 400) / rng.uniform(5, 9))
            s = np.ones(NM.size)
        else:
            kind = names[rng.integers(len(names))]
            shape, strength, scattering = TRADE[kind]
            moved = np.interp(NM + rng.normal(0, 4), NM, shape)
            k = strength * np.exp(0.35 * rng.standard_normal()) * moved
            ratio = np.log(k / scattering)
            s = scattering * np.exp(0.35 * rng.standard_normal()) * (550 / NM) ** rng.uniform(0, 1)
            s = s * np.exp(-rng.uniform(0, 0.2) * (ratio - ratio.mean()))  # scatters less where it absorbs
            bend = np.polynomial.chebyshev.chebval(
                np.linspace(-1, 1, NM.size), rng.normal(0, [0, 0.1, 0.1, 0.08])
            )
            s = np.maximum(s * np.exp(bend), 0.002)
            s = s + k / rng.uniform(60, 250)  # no masstone is darker than its surface
        all_k.append(k)
        all_s.append(s)
        kinds.append(kind)
    return np.array(all_k), np.array(all_s), kinds


TRANSPARENT = (
    "phthalocyanine blue",
    "phthalocyanine green",
    "dioxazine violet",
    "quinacridone",
    "pyrrole red",
)


def transparent(count: int, seed: int) -> tuple[Array, Array]:
    """K and S (count, 31) of the strongest organic pigments, that scatter next to nothing."""
    rng = np.random.default_rng(seed)
    all_k, all_s = [], []
    for _ in range(count):
        shape, strength, scattering = TRADE[TRANSPARENT[rng.integers(len(TRANSPARENT))]]
        if rng.random() < 0.3:  # indanthrones, perylenes and their like: a broad band, or two, anywhere
            centre = rng.uniform(500, 680)
            shape = _band(centre, rng.uniform(35, 80)) + _band(rng.uniform(400, 700), 40, rng.uniform(0, 0.6))
            shape = shape + rng.uniform(0.003, 0.03)
        k = strength * np.exp(0.5 * rng.standard_normal()) * np.interp(NM + rng.normal(0, 8), NM, shape)
        s = scattering * _between(rng, 0.05, 1.0) * (550 / NM) ** rng.uniform(0, 2) + k / rng.uniform(
            150, 600
        )
        all_k.append(k)
        all_s.append(s)
    return np.array(all_k), np.array(all_s)


def surfaces(k: Array, s: Array, seed: int) -> tuple[Array, Array]:
    """K and S (m, 31) of strong paints as they are told from masstones and let-downs seen with the light of
    their surfaces, of those among K and S (n, 31) whose masstones are dark."""
    rng = np.random.default_rng(seed)
    white = np.full(NM.size, 0.001) + 0.05 * np.exp(-(NM - 400) / 7.0)
    seen_k, seen_s = [], []
    for one_k, one_s in zip(k, s, strict=True):
        if lab_of(law.reflectance(one_k / one_s))[0] > 32:
            continue
        more = rng.uniform(0.0, 0.034)
        share = 0.1
        tint = (share * one_k + (1 - share) * white) / (share * one_s + 1 - share)
        masstone, tint, pale = (law.ratio(law.reflectance(q) + more) for q in (one_k / one_s, tint, white))
        told = (1 - share) * (tint - pale) / (share * np.maximum(masstone - tint, 1e-9))
        if (told < 1e-4).any() or (told > 30).any():
            continue
        seen_k.append(told * masstone)
        seen_s.append(told)
    return np.array(seen_k), np.array(seen_s)


def main() -> None:
    k, s = (
        np.concatenate(p) for p in zip(particles(2500, 1)[:2], kinds_of_the_trade(2500, 2)[:2], strict=True)
    )
    drawn = (particles(900, 3)[:2], kinds_of_the_trade(900, 4)[:2], transparent(1500, 6))
    strong_k, strong_s = (np.concatenate(each) for each in zip(*drawn, strict=True))
    more_k, more_s = surfaces(strong_k, strong_s, 5)
    print(f"{len(more_k)} dark paints seen with their surfaces")
    k, s = np.concatenate([k, more_k]), np.concatenate([s, more_s])
    u = np.concatenate([np.log(k / s), np.log(s)], axis=1)
    mean = u.mean(axis=0)
    _, _, directions = np.linalg.svd(u - mean, full_matrices=False)
    directions = directions[:KEPT]
    scores = (u - mean) @ directions.T
    rest = (u - mean - scores @ directions).std(axis=0)
    path = Path(__file__).with_name("prior.npz")
    np.savez_compressed(
        path,
        mean=mean.astype(np.float32),
        directions=directions.astype(np.float32),
        scores=scores.astype(np.float16),
        rest=rest.astype(np.float32),
    )
    share = 1 - (rest**2).sum() / u.var(axis=0).sum()
    print(f"{path.name}: {len(u)} paints, {path.stat().st_size} bytes; {KEPT} directions hold {share:.2%}")


if __name__ == "__main__":
    main()
