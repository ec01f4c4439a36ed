"""What to buy for a scheme as it is painted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from palette.evidence.combine.model import PartColour, Scheme
from palette.paints.basket import Basket, basket
from palette.paints.choosing.proposals import fitting, likeliest, odds
from palette.paints.scaled import as_painted
from palette.swatches.model import Swatch, SwatchList


@dataclass(frozen=True)
class Shopping:
    """The basket, and what it was asked for."""

    basket: Basket
    parts: tuple[PartColour, ...]  # those with a colour, as painted, in the basket's order
    guesses: Mapping[str, tuple[Swatch, float]]  # part id -> the paint that stands for it, its probability
    unknown: tuple[PartColour, ...]  # those without


def to_buy(
    scheme: Scheme,
    swatches: SwatchList,
    max_paints: int,
    max_drops: int,
    cheapest: bool,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> Shopping:
    """What brings the parts of a scheme within the kit's tolerance; `progress` as in `basket`.

    A part inferred from grey is painted as its likeliest paint, as in the guide.

    Raises:
        InputError: as `basket`.
    """
    painted = as_painted(scheme, swatches, paints=False).parts
    parts = tuple(part for part in painted if part.lab is not None)
    left = odds(scheme.grey)
    on_sale = swatches.where([not swatch.retired for swatch in swatches.swatches])
    suited = {metallic: fitting(on_sale, metallic) for metallic in (False, True)}
    found = {
        part.part.id: likeliest(part, left.get(part.part.id, ()), suited[part.part.finish == "metallic"])
        for part in parts
    }
    guesses = {id: guess for id, guess in found.items() if guess is not None}
    labs = [guesses[part.part.id][0].lab if part.part.id in guesses else part.lab for part in parts]
    bought = basket(
        np.array(labs).reshape(-1, 3),
        swatches,
        scheme.kit.tolerance,
        max_paints,
        max_drops,
        cheapest,
        [part.part.finish == "metallic" for part in parts],
        progress,
    )
    return Shopping(bought, parts, guesses, tuple(part for part in painted if part.lab is None))
