"""A mixture of which all its parts together take less than a few drops becomes a straight paint: nobody can
measure a mixture that small."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np

from palette.errors import InputError
from palette.evidence.combine.model import PartColour, Scheme
from palette.paints.choosing.proposals import fitting
from palette.paints.choosing.rank import PartRecipe, preferred
from palette.paints.choosing.target import Target
from palette.swatches.model import SwatchList

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


def straight(
    part: PartColour, target: Target, swatches: SwatchList, tolerance: float, have: Collection[str]
) -> PartRecipe | None:
    """The paint to take straight for a part, by the one ranking; `have` are the paints that are to hand or
    used elsewhere. None where there is none."""
    from palette.paints.recipes import recipe_sets

    (each,) = recipe_sets([target], swatches, tolerance, max_paints=1)
    suited = set(fitting(swatches, part.part.finish == "metallic").ids)
    ids = swatches.ids
    each = each.where(np.array([ids[i] in suited for i in each.paints[:, 0]], dtype=bool))
    good = each.good(tolerance, target.unsure, target.cloud is not None)
    near, off = each.within(tolerance), each.difference.tolist()
    candidates = [
        PartRecipe(((ids[i], 1),), off[k], 0.0, bool(near[k]), good=bool(good[k]))
        for k, i in enumerate(each.paints[:, 0].tolist())
    ]
    return preferred(candidates, have) if candidates else None
