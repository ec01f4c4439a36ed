"""What goes on the brush for a colour: which of several ways to it to take."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from palette.colour.spaces import Array
from palette.paints.mixing import mixes
from palette.swatches.mix import Mix
from palette.swatches.model import SwatchList

Miss = TypeVar("Miss")

WEIGHED = 100  # recipes that are weighed; the nearest predicted are often the least certain
WARNINGS = {  # by what a paint looks like, where that is not what the part is to look like
    "metallic": "metallic paint on a part that is not; nothing else comes near enough",
    "fluorescent": "fluorescent paint; nothing else comes near enough",
    "plain": "no metallic paint comes near enough",
}


@dataclass(frozen=True)
class Way:
    """How one part is painted."""

    drops: tuple[tuple[str, int], ...]  # (swatch id, count), most first; one paint alone is straight
    difference: float  # CIEDE2000, predicted
    expected_error: float  # of that prediction, CIEDE2000; 0 for a paint straight
    within: bool  # the tolerance
    look: str = ""  # what it looks like where the part is to look otherwise: metallic | fluorescent | plain

    @property
    def warning(self) -> str:
        """What is to be said of that look, in words; nothing where it is as it should be."""
        return WARNINGS.get(self.look, "")

    @property
    def expected(self) -> float:
        """The difference to be expected, CIEDE2000: predicted, and the error of that."""
        return float(np.hypot(self.difference, self.expected_error))


def rank(pots: int, mixture: bool, miss: Miss) -> tuple[int, bool, Miss]:
    """What ways to a colour that are all a match are sorted by, the one to take first: how many pots are to
    be bought for it, a paint straight before a mixture, the CIEDE2000 by which it may be expected to be off.

    The guide and the desk go by it, and so does the basket once the pots are chosen.
    """
    return pots, mixture, miss


def preferred(candidates: Sequence[Way], owned: Collection[str], tolerance: float) -> Way:
    """The way to take: one that should be a match before one that is only predicted to be, before the rest;
    of the first as `rank` has it, of the others the nearest to be expected."""

    def key(way: Way) -> tuple[object, ...]:
        if way.expected > tolerance:
            return True, not way.within, way.expected
        return False, *rank(sum(id not in owned for id, _ in way.drops), len(way.drops) > 1, way.expected)

    return min(candidates, key=key)


def mixed(lab: Array, swatches: SwatchList, max_paints: int, max_drops: int, tolerance: float) -> list[Way]:
    """The nearest recipes for a colour (3,), CIELAB D65, as ways to it."""
    found: list[Mix] = mixes(lab, swatches, max_paints, max_drops, WEIGHED)
    return [Way(m.drops, m.difference, m.expected_error, m.difference <= tolerance) for m in found]
