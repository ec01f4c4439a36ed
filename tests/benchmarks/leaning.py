"""Parts through a picture anchored on other parts, that an earlier picture told: python -m
tests.benchmarks.leaning [N] [--tuning]

Made pictures of the photo bench, by its held-back half unless --tuning. The earlier one has anchors of its
own or none, and shows three or six parts; the later one is anchored on those alone, and shows others. Of
these: the error (CIEDE2000), and how often the truth lies within `radius90`, with what the parts of one
picture have in common counted, as the scheme does, and with each taken as independent.
"""

from __future__ import annotations

import sys
from pathlib import Path
from unittest.mock import patch

import numpy as np

from palette.colour.difference import difference
from palette.evidence.combine.settle import Settled, settle
from palette.evidence.measure import Sample
from palette.evidence.measure.measured import Measured
from palette.kit.model import Anchor, Kit, Part, PartSample, Rect, Reference, StatedColour
from palette.swatches.model import SwatchList
from tests.benchmarks.photo.pictures import HELD, TUNING, lab_of, make, places, shoot, surfaces

PARTS = 18  # and six greys
BEFORE = {"six greys": range(PARTS, PARTS + 6), "one grey": [PARTS + 2], "no anchor": []}
_MARK = Rect(0, 0, 1, 1)  # nothing is read from files


def measured(shot, anchors, parts) -> Measured:
    def one(i: int) -> Sample:
        centre = tuple(shot.centre[i])
        return Sample(shot.linear[i], shot.covariance[i], 400, 0.5, 0.001, shot.clipped[i], centre)

    scene = shot.scene if not len(anchors) else None
    return Measured(1, 1, tuple(map(one, anchors)), tuple(map(one, parts)), scene)


def settled(before, after, truth, greys, told, asked, alone: bool) -> Settled:
    """What the two pictures say of the parts `asked`, the later one anchored on the parts `told`."""
    references = (
        Reference(
            "before",
            Path("before"),
            anchors=tuple(Anchor(_MARK, StatedColour(lab=tuple(truth[i]))) for i in greys),
            samples=tuple(PartSample(str(i), _MARK) for i in told),
        ),
        Reference(
            "after",
            Path("after"),
            anchors=tuple(Anchor(_MARK, StatedColour(part=str(i))) for i in told),
            samples=tuple(PartSample(str(i), _MARK) for i in asked),
        ),
    )
    parts = tuple(Part(str(i), "") for i in range(PARTS))
    kit = Kit(Path("kit.toml"), "", parts=parts, references=references)
    shown = {"before": measured(before, greys, told), "after": measured(after, told, asked)}
    with patch.object(Settled, "_shares", (lambda *_: {}) if alone else Settled._shares):
        return settle(kit, shown, {}, {}, SwatchList(()))


def main() -> None:
    half = TUNING if "--tuning" in sys.argv else HELD
    count = next((int(a) for a in sys.argv[1:] if a.isdigit()), 30)
    grey = np.array([0.89, 0.59, 0.36, 0.19, 0.09, 0.032])[:, None] * np.ones((1, 61))
    rows: dict[tuple[str, int, str], list[tuple[float, float]]] = {}
    for number in range(count):
        rng = np.random.default_rng([60, number])
        table = np.concatenate([rng.permutation(surfaces(half))[:PARTS], grey])
        truth = lab_of(table)
        before, after = (
            shoot(make(half, rng, plain=bool(number % 2)), table, truth, places(rng), rng) for _ in range(2)
        )
        for name, greys in BEFORE.items():
            for many in (3, 6):
                told = np.sort(rng.permutation(PARTS)[:many])
                asked = np.setdiff1d(np.arange(PARTS), told)
                for how in ("counted", "independent"):
                    both = settled(before, after, truth, greys, told, asked, how == "independent")
                    rows.setdefault((name, many, how), []).extend(
                        (float(difference(v.lab, truth[i])), v.radius90)
                        for i in asked
                        for v in [both.estimates[str(i)]]
                    )
    print(f"{count} pairs of pictures, {half}")
    for (name, many, how), pairs in rows.items():
        off, radius = np.array(pairs).T
        print(
            f"before {name:10s} {many} parts, their shared error {how:12s} median {np.median(off):5.2f}   "
            f"inside radius90: {np.mean(off <= radius) * 100:3.0f} % (median radius {np.median(radius):.1f})"
        )


if __name__ == "__main__":
    main()
