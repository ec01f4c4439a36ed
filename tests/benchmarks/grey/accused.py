"""Wrong anchors of grey pictures, and the innocent: who is named, and who is accused.

    python -m tests.benchmarks.grey.accused [--trials 60]

Each trial has two pictures of one kit on measured surfaces that nothing has learnt from: four greys stated in
the first, none in the second, and four parts of known colour in both. Then one thing is made wrong: nothing;
a stated grey (another of the greys is called by its colour); a part's mark in one picture (it lies on
another surface, from 15 L* away); a part's colour (the same, in both). Counted are trials where the wrong
one is named alone, where it is one of several suspects, where only innocent ones are accused, and where
nothing is said. Beside it the plain rule: any two anchors that stand in the wrong order accuse each other.
"""

from __future__ import annotations

import argparse

import numpy as np

from palette.colour.responses import named
from palette.colour.spectra import light, reflectance_to_lab, weights
from palette.evidence.grey.notes import AnchorAstray, AnchorsAtOdds, ColourAstray
from palette.evidence.grey.picture import AnchorLevel, GreyPicture, Sensitivity
from palette.evidence.grey.suspects import Judged, judged
from palette.evidence.grey.tone import Level
from tests.benchmarks.grey.simulation import NEGATIVE_400, Array, held_back, negative_and_print, power

CASES = ("nothing", "a stated grey", "a mark", "a colour")
PARTS, GREYS, FAR = 4, (0, 2, 3, 5), 15.0
UNEVEN = 0.1


def made(seed: int, wrong: str) -> tuple[dict[str, GreyPicture], str]:
    """Two pictures by name, and what is wrong: the anchor's name, or ''."""
    rng = np.random.default_rng(5000 + seed)
    every, greys = held_back()
    truth = every[rng.choice(len(every), PARTS, replace=False)]
    lab = reflectance_to_lab(truth)
    far = np.flatnonzero(np.abs(reflectance_to_lab(every)[:, 0] - lab[0, 0]) > FAR)
    other = every[rng.choice(far)]
    seen = weights(light("D55"), NEGATIVE_400)
    curve = power if seed % 2 else negative_and_print
    pictures = {}
    for name in ("plate", "press"):
        shown = np.concatenate([greys[list(GREYS)] if name == "plate" else greys[:0], truth])
        said = np.concatenate([reflectance_to_lab(shown[:-PARTS]), lab]) if len(shown) > PARTS else lab.copy()
        first = len(shown) - PARTS  # the part that may be wrong
        if wrong == "a mark" and name == "plate":
            shown[first] = other
        if wrong == "a colour":
            said[first] = reflectance_to_lab(other[None])[0]
        if wrong == "a stated grey" and name == "plate":
            said[1] = reflectance_to_lab(greys[[5 if seed % 3 else 0]])[0]
        exposure, g, b = np.exp(rng.uniform(-0.4, 0.05)), rng.uniform(0.6, 1.6), rng.uniform(0, 0.05)
        lit = exposure * (shown @ seen) * np.exp(rng.normal(0, UNEVEN, len(shown)))
        level = np.round(np.clip(curve(lit, g, b), 0, 1) * 255) / 255
        anchors = []
        for i in range(len(shown)):
            part = "" if i < first else f"part '{i - first}'"
            read = Level(float(level[i]), 0.001, int(level[i] >= 1) - int(level[i] <= 0))
            name_of, spread = part or f"anchor {i + 1}", 3.0 if part else 1.0
            anchors.append(AnchorLevel(name_of, read, said[i], spread, part[6:-1] or None))
        sensitivity = Sensitivity.of(named("panchromatic"), "D55")
        pictures[name] = GreyPicture(name, sensitivity, tuple(anchors), {}, UNEVEN)
    return pictures, {"nothing": "", "a stated grey": "anchor 2"}.get(wrong, "part '0'")


def accused(found: Judged) -> set[str]:
    """Whom notes name."""
    names: set[str] = set()
    for note in found.notes:
        if isinstance(note, AnchorAstray):
            names.add(note.anchor)
        elif isinstance(note, ColourAstray):
            names.add(f"part '{note.part}'")
        elif isinstance(note, AnchorsAtOdds):
            names |= set(note.anchors)
    return names


def in_wrong_order(pictures: dict[str, GreyPicture]) -> set[str]:
    """The rival: anchors whose order no member of the response explains accuse each other."""
    names: set[str] = set()
    for picture in pictures.values():
        from palette.evidence.grey.posterior import _anchor_signals

        signals = _anchor_signals(picture, picture.anchors)
        for a, one in zip(picture.anchors, signals, strict=True):
            for b, two in zip(picture.anchors, signals, strict=True):
                noise = np.sqrt(2 * picture.uneven**2 + one.deviation**2 + two.deviation**2)
                margin = float(np.min(one.log_signal - two.log_signal))
                if margin > 2.5 * noise and a.level.value < b.level.value - 0.004:
                    names |= {a.name, b.name}
    return names


def rates(sets: list[tuple[set[str], str]]) -> Array:
    """Shares (4,): named alone (or rightly nobody), among the suspects, innocent ones only, nobody."""
    alone = [names == ({guilty} if guilty else set()) for names, guilty in sets]
    among = [bool(guilty) and guilty in names and len(names) > 1 for names, guilty in sets]
    innocent = [bool(names) and guilty not in names for names, guilty in sets]
    none = [bool(guilty) and not names for names, guilty in sets]
    return np.array([alone, among, innocent, none]).mean(axis=1)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--trials", type=int, default=60)
    trials = parser.parse_args().trials
    print(f"{'what is wrong':16}  {'':8}  right  suspect  innocent  silent, %")
    for case in CASES:
        pictures = [made(seed, case) for seed in range(trials)]
        ours = rates([(accused(judged(p)), guilty) for p, guilty in pictures])
        plain = rates([(in_wrong_order(p), guilty) for p, guilty in pictures])
        for who, shares in (("palette", ours), ("by order", plain)):
            a, b, c, d = (100 * shares).round()
            print(f"{case:16}  {who:8}  {a:5.0f}  {b:7.0f}  {c:8.0f}  {d:6.0f}", flush=True)


if __name__ == "__main__":
    main()
