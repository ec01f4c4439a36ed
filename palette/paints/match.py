"""A colour asked about or found in a picture, with the paints nearest to it: plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette.colour.names import names
from palette.colour.spaces import DAYLIGHT, Array, lab_to_hex
from palette.evidence.combine.model import PaintChoice
from palette.paints.choosing.proposals import choices
from palette.swatches.asked import Asked
from palette.swatches.model import SwatchList


@dataclass(frozen=True)
class MatchedColour:
    """A colour in words and numbers, and its paints, nearest first."""

    lab: Array  # (3,), CIELAB D65
    name: str
    paints: tuple[PaintChoice, ...] = ()
    id: str = ""  # what its asker calls it
    share: float | None = None  # of the picture, 0..1
    under: tuple[float, ...] = ()  # CIEDE2000 of each paint under another light; () where that is daylight

    @property
    def hex(self) -> str:
        """The nearest sRGB colour."""
        return lab_to_hex(self.lab)

    def paint_hex(self, paint: PaintChoice) -> str:
        """The nearest sRGB colour of a paint."""
        return lab_to_hex(paint.lab)


def matched(
    asked: Sequence[Asked],
    swatches: SwatchList | None,
    count: int,
    shares: Sequence[float] | None = None,
    light: str | float = DAYLIGHT,
) -> list[MatchedColour]:
    """Each colour with the `count` paints of the list, if there is one, that are nearest under a light."""
    if not asked:
        return []
    lab = np.array([one.lab for one in asked])
    paints: list[tuple[PaintChoice, ...]] = [()] * len(asked)
    under: list[tuple[float, ...]] = [()] * len(asked)
    if light != DAYLIGHT and swatches is not None and len(swatches):
        from palette.colour.difference import difference
        from palette.paints.choosing.under import paints_under

        near = [paints_under(light, one.lab, swatches, count) for one in asked]
        under = [tuple(paint.difference for paint in some) for some in near]
        paints = [
            tuple(replace(paint, difference=float(difference(one.lab, paint.lab))) for paint in some)
            for one, some in zip(asked, near, strict=True)
        ]
    elif swatches is not None and len(swatches):
        paints = [choices(swatches, *each) for each in zip(*swatches.nearest(lab, count), strict=True)]
    return [
        MatchedColour(one.lab, words, chosen, one.id, None if shares is None else float(shares[i]), under[i])
        for i, (one, words, chosen) in enumerate(zip(asked, names(lab), paints, strict=True))
    ]
