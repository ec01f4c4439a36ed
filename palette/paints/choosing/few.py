"""A mixture of which all its parts together take less than a few drops becomes a straight paint: nobody can
measure a mixture that small."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from palette.errors import InputError
from palette.evidence.combine.model import PartColour, Scheme
from palette.paints.choosing.target import Target
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.paints.basket import Basket

Recipe = tuple[tuple[str, int], ...]  # (swatch id, drops)

DROP = 0.05  # ml: twenty drops a millilitre, common practice, no source
FEW_DROPS = 6  # less is no mixture; common practice, no source


def too_few(scheme: Scheme, recipes: Mapping[str, Recipe], swatches: SwatchList) -> set[str]:
    """The ids of the parts whose mixture would be of less than `FEW_DROPS`, by `recipes` of the parts. An
    area that is unknown is taken for enough."""
    from palette.paints.cover import MOST, coats
    from palette.paints.mesh import areas

    mixtures = {id: recipe for id, recipe in recipes.items() if len(recipe) > 1}
    if not mixtures:
        return set()
    try:
        sizes = areas(scheme.kit)
    except InputError:  # the guide says what is wrong with a mesh
        return set()
    distinct = list(dict.fromkeys(mixtures.values()))
    few: set[str] = set()
    for recipe, cover in zip(distinct, coats([dict(r) for r in distinct], swatches), strict=True):
        parts = [id for id, its in mixtures.items() if its == recipe]
        if all(id in sizes for id in parts):
            layers = min(MOST if count is None else count for count in cover.coats.values())
            millilitres = sum(sizes[id] for id in parts) * layers / cover.area_per_ml
            if millilitres < FEW_DROPS * DROP:
                few.update(parts)
    return few


def measurable(
    scheme: Scheme,
    parts: Sequence[PartColour],
    targets: Sequence[Target],
    swatches: SwatchList,
    ask: Callable[[Sequence[Target]], Basket],
) -> tuple[Sequence[Target], Basket]:
    """The targets, those that too little paint is needed for marked as `alone`, and what `ask` finds for
    them: it is asked again, for all parts at once, until none of its mixtures is too small."""
    while True:
        basket = ask(targets)
        recipes = zip(parts, basket.chosen_recipes, strict=True)
        by_part = {part.part.id: recipe.drops for part, recipe in recipes if recipe is not None}
        few = too_few(scheme, by_part, swatches)
        if not few:
            return targets, basket
        targets = [
            replace(target, alone=True) if part.part.id in few else target
            for part, target in zip(parts, targets, strict=True)
        ]
