"""The paints of the maker's own lists for a colour of the scheme."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.combine.model import PaintChoice
from palette.swatches.model import Swatch, SwatchList

if TYPE_CHECKING:
    from palette.swatches.mix import Mix

PAINTS = 5
INFERRED = ("grey", "hint")  # bases of a colour whose hue nobody measured
THREES = 16  # paints that are mixed by threes: with 24, the best recipes of all colours tried were the same
_UNSEEN = 1.0  # CIEDE2000; common practice, no source


def paints_for(lab: Array | None, swatches: SwatchList, count: int = PAINTS) -> tuple[PaintChoice, ...]:
    """The `count` nearest paints, nearest first; none where there is no colour or no list."""
    if lab is None or len(swatches) == 0:
        return ()
    return choices(swatches, *swatches.nearest(lab, count))


def choices(swatches: SwatchList, indices: np.ndarray, differences: Array) -> tuple[PaintChoice, ...]:
    """What `SwatchList.nearest` found for one colour, indices and differences (count,), as paints."""
    return tuple(choice(swatches.swatches[i], float(d)) for i, d in zip(indices, differences, strict=True))


def choice(swatch: Swatch, difference: float) -> PaintChoice:
    """A paint as it is proposed for a colour."""
    return PaintChoice(swatch.id, swatch.name, swatch.range, swatch.lab, difference, swatch.retired)


def fitting(swatches: SwatchList, metallic: bool) -> SwatchList:
    """The paints that suit a part that is metallic or is not; all of them where none does."""
    from palette.swatches.kinds import unmixable

    wrong = {"clear", "fluorescent"} if metallic else {"clear", "fluorescent", "metallic"}
    suited = swatches.where([unmixable(swatch) not in wrong for swatch in swatches.swatches])
    return suited if len(suited) else swatches


def mixes_for(lab: Array | None, swatches: SwatchList, count: int = PAINTS) -> tuple[Mix, ...]:
    """The best recipes in whole drops, best first; none where there is no colour or no list.

    Of two paints where such a mixture comes as near as anybody can see, else of three: two are easier to
    mix again, and found at once. Threes are of the most promising paints only: a strong colour, which none
    comes near, would take minutes otherwise (`palette mix` looks at more).
    """
    from palette.paints.mixing import mixes

    if lab is None or len(swatches) == 0:
        return ()
    recipes = mixes(lab, swatches, max_paints=2, count=count, wide=THREES)
    if not recipes or recipes[0].difference >= _UNSEEN:
        recipes = mixes(lab, swatches, count=count, wide=THREES)
    return tuple(recipes)
