"""What to buy for a scheme as it is painted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.model import UNPAINTED
from palette.paints.basket import Basket, to_paint
from palette.paints.choosing.choice import odds
from palette.paints.choosing.chosen import Chosen, decided, targets_of
from palette.paints.scaled import as_painted
from palette.swatches.model import SwatchList


@dataclass(frozen=True)
class Shopping:
    """The basket, and what it was asked for."""

    basket: Basket
    parts: tuple[PartColour, ...]  # those with a colour, as painted, in the basket's order
    chosen: Mapping[str, Chosen]  # part id -> what goes on its brush, as in the guide
    unknown: tuple[PartColour, ...]  # those to be painted without one


def to_buy(
    scheme: Scheme,
    swatches: SwatchList,
    max_paints: int,
    max_drops: int,
    cheapest: bool,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> Shopping:
    """What brings the parts of a scheme within the kit's tolerance, or as near as any; `progress` as in
    `basket`.

    With mixtures of two, twelve drops and the fewest pots it is what the guide names.

    Raises:
        InputError: as `basket`.
    """
    painted = as_painted(scheme, swatches, paints=False)
    parts = tuple(p for p in painted.parts if p.lab is not None and p.part.finish not in UNPAINTED)
    left = odds(painted)
    targets = targets_of(parts, swatches, left)
    tolerance = scheme.kit.tolerance
    bought = to_paint(targets, swatches, tolerance, max_paints, max_drops, cheapest, progress)
    unknown = [p for p in painted.parts if p.lab is None and p.part.finish not in UNPAINTED]
    chosen = decided(parts, targets, bought.chosen_recipes, swatches, tolerance, left)
    return Shopping(bought, parts, chosen, tuple(unknown))
