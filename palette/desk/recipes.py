"""Paints and recipes for a colour, as the page shows them."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from typing import Any

import numpy as np

from palette.colour.spaces import Array
from palette.desk import plain
from palette.desk.wording import said
from palette.swatches.kinds import unmixable
from palette.swatches.mix import Mix
from palette.swatches.model import SwatchList
from palette.words import shows

PAINTS, RECIPES = 8, 5
MOST_PAINTS, MOST_DROPS, MOST_MIXED = 4, 24, 12


def found(lab: Array, swatches: SwatchList, most: tuple[int, int], every: bool) -> dict[str, Any]:
    """The nearest paints, and the surest recipes of different paints that the search finds, of `most` paints
    and drops."""
    from palette.paints.mixing import shortfall, unsearched, usable
    from palette.paints.mixing.differing import differing

    paints = swatches if every else usable(swatches)
    recipes = differing(lab, paints, *most, RECIPES, surest=True) if len(paints) else []
    notes = [shortfall(lab, recipes, paints, most[0]), unsearched(paints, most[0])]
    return {
        "paints": nearest(lab, swatches),
        "recipes": [recipe(mix, swatches) for mix in recipes],
        "notes": [said(note) for note in notes if note],
    }


def nearest(lab: Array, swatches: SwatchList) -> list[dict[str, Any]]:
    """The nearest paints."""
    if not len(swatches):
        return []
    indices, differences = swatches.nearest(lab, PAINTS)
    pairs = zip(indices, differences, strict=True)
    return [plain.paint(swatches.swatches[int(i)], float(d)) for i, d in pairs]


def recipe(mix: Mix, swatches: SwatchList) -> dict[str, Any]:
    """One recipe."""
    from palette.paints.choosing.chosen import expected_miss

    paints = {swatch.id: swatch for swatch in swatches.swatches}
    return {
        "drops": [
            {
                "swatch": id,
                "name": paints[id].name,
                "count": count,
                "colour": plain.colour(paints[id].lab),
                "owned": paints[id].owned,
            }
            for id, count in mix.drops
        ],
        "colour": plain.colour(mix.lab),
        "difference": round(mix.difference, 3),
        "expected_error": round(mix.expected_error, 3),
        "shows": shows(expected_miss(mix)),
        "warning": _parting(mix),
    }


def mixed(drops: Mapping[str, int], swatches: SwatchList, target: Array | None) -> dict[str, Any]:
    """A mixture made by hand: what comes of it, and how far that is from a colour.

    Raises:
        InputError: an unknown id, no drops, or a count that is none.
    """
    from palette.paints.mixing import predicted

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        mix = predicted(drops, swatches, target)
    paints = {swatch.id: swatch for swatch in swatches.swatches}
    odd = [paints[id].name for id in drops if unmixable(paints[id]) is not None]
    answer = recipe(mix, swatches)
    if target is None or not np.isfinite(mix.difference):
        answer |= {"difference": None, "shows": ""}
    if odd and len(drops) > 1:
        answer["warning"] = f"{', '.join(odd)}: such a paint does not mix as others do; try it on a scrap."
    return answer


def _parting(mix: Mix) -> str:
    """Whether a mixture and the colour part under another light."""
    from palette.paints.metamerism import under_lights, warning

    told = warning(under_lights(mix.lab, mix.reflectance, "D65"))
    return said(told) if told else ""
