"""The paints of the maker's own lists for a colour of the scheme."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.combine.model import PaintChoice, PartColour
from palette.swatches.model import Swatch, SwatchList

if TYPE_CHECKING:
    from palette.evidence.grey import GreyAnswer
    from palette.swatches.mix import Mix

PAINTS = 5
INFERRED = ("grey", "hint")  # bases of a colour whose hue nobody measured
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


def likeliest(
    part: PartColour, odds: Iterable[tuple[str, float]], suited: SwatchList
) -> tuple[Swatch, float] | None:
    """The paint for a part inferred from grey: of those that suit it the likeliest, and its probability.

    `odds` are swatch ids and probabilities, likeliest first; `suited` the paints on sale that are `fitting`.
    None for other parts, whose colour was measured or stated. The middle of what grey leaves is nobody's
    colour: between a dark red and a dark green it is a brown that was never in question.
    """
    if part.basis not in INFERRED:
        return None
    paints = {swatch.id: swatch for swatch in suited.swatches}
    return next(((paints[id], probability) for id, probability in odds if id in paints), None)


def odds(grey: GreyAnswer | None) -> dict[str, tuple[tuple[str, float], ...]]:
    """By part, how likely each paint is by grey pictures: swatch ids and probabilities, likeliest first."""
    seen = grey.parts if grey is not None else ()
    return {part.part: tuple((c.swatch, c.probability) for c in part.candidates) for part in seen}


def mixes_for(lab: Array | None, swatches: SwatchList) -> tuple[Mix, ...]:
    """The best recipes in whole drops, best first; none where there is no colour or no list.

    Of two paints where such a mixture comes as near as anybody can see, else of three: two are easier to
    mix again, and found at once.
    """
    from palette.paints.mixing import mixes

    if lab is None or len(swatches) == 0:
        return ()
    found = mixes(lab, swatches, max_paints=2, count=PAINTS)
    if not found or found[0].difference >= _UNSEEN:
        found = mixes(lab, swatches, count=PAINTS)
    return tuple(found)
