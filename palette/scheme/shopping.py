"""What to buy for a scheme as it is painted: its colours, and its metallic parts, to the basket."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.paints.basket import Basket, basket
from palette.paints.swatches import SwatchList
from palette.scheme.model import PartColour


def to_buy(
    parts: Sequence[PartColour],
    swatches: SwatchList,
    tolerance: float,
    max_paints: int,
    max_drops: int,
    cheapest: bool,
) -> Basket:
    """The basket for parts whose colours are known, in their order.

    Raises:
        InputError: as `basket`.
    """
    labs = np.array([part.lab for part in parts]).reshape(-1, 3)
    metallic = [part.part.finish == "metallic" for part in parts]
    return basket(labs, swatches, tolerance, max_paints, max_drops, cheapest, metallic)
