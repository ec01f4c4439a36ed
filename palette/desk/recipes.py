"""Paints and recipes for a colour, as the page shows them."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from typing import Any

import numpy as np

from palette.colour.spaces import DAYLIGHT, Array
from palette.desk import plain
from palette.desk.wording import said
from palette.swatches.kinds import unmixable
from palette.swatches.mix import Mix
from palette.swatches.model import SwatchList
from palette.words import shows

PAINTS, RECIPES = 8, 5
_MORE = 20  # recipes found in daylight, of which the best under another light are shown
MOST_PAINTS, MOST_DROPS, MOST_MIXED = 4, 24, 12


def best(
    lab: Array, swatches: SwatchList, most: tuple[int, int], every: bool, light: str | float = DAYLIGHT
) -> dict[str, Any]:
    """The nearest paints under a light, and the surest recipes of different paints that the search finds, of
    `most` paints and drops, the nearest under it first."""
    from palette.paints.choosing.under import mixes_under
    from palette.paints.mixing import shortfall, unsearched, usable
    from palette.paints.mixing.differing import apart, differing

    paints = swatches if every else usable(swatches)
    count = RECIPES if light == DAYLIGHT else _MORE
    recipes = differing(lab, paints, *most, count, surest=True) if len(paints) else []
    recipes = [same[0] for same in apart(recipes)]
    notes = [shortfall(lab, recipes, paints, most[0]), unsearched(paints, most[0])]
    blank = sum(s.owned is None and not s.retired for s in swatches.swatches)
    counted = f"{blank} of {len(swatches)} paints have nothing in the column owned. They count as to hand."
    told = [counted] if blank and not every and to_hand(swatches) else []
    seen = mixes_under(light, lab, recipes, paints, RECIPES)
    return {
        "paints": nearest(lab, swatches, light),
        "recipes": [recipe(mix, swatches, light) for mix in seen],
        "notes": [*(said(note) for note in notes if note), *told],
    }


def nearest(lab: Array, swatches: SwatchList, light: str | float = DAYLIGHT) -> list[dict[str, Any]]:
    """The nearest paints under a light."""
    from palette.paints.choosing.under import paints_under

    paints, mine = {swatch.id: swatch for swatch in swatches.swatches}, to_hand(swatches)
    return [
        plain.paint(paints[paint.swatch], paint.difference) | {"to_hand": paint.swatch in mine}
        for paint in paints_under(light, lab, swatches, PAINTS)
    ]


def to_hand(swatches: SwatchList) -> frozenset[str]:
    """The ids of the paints that recipes are made of; none where the lists say nothing of owning."""
    from palette.paints.mixing import usable

    told = any(swatch.owned is not None for swatch in swatches.swatches)
    return frozenset(usable(swatches).ids) if told else frozenset()


def recipe(mix: Mix, swatches: SwatchList, light: str | float = DAYLIGHT) -> dict[str, Any]:
    """One recipe."""
    from palette.paints.choosing.chosen import expected_miss

    paints = {swatch.id: swatch for swatch in swatches.swatches}
    return {
        "drops": plain.drops(mix.drops, paints),
        "colour": plain.colour(mix.lab),
        "difference": round(mix.difference, 3),
        "expected_error": round(mix.expected_error, 3),
        "shows": shows(expected_miss(mix)),
        "warning": _parting(mix, light),
    }


def mixed(
    drops: Mapping[str, int], swatches: SwatchList, target: Array | None, light: str | float = DAYLIGHT
) -> dict[str, Any]:
    """A mixture made by hand: what comes of it, and how far that is from a colour under a light.

    Raises:
        InputError: an unknown id, no drops, or a count that is none.
    """
    from palette.paints.choosing.under import mixes_under
    from palette.paints.mixing import predicted

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        mix = predicted(drops, swatches, target)
    paints = {swatch.id: swatch for swatch in swatches.swatches}
    odd = [paints[id].name for id in drops if unmixable(paints[id]) is not None]
    (mix,) = mixes_under(light, target, [mix], swatches)
    answer = recipe(mix, swatches, light)
    if target is None or not np.isfinite(mix.difference):
        answer |= {"difference": None, "shows": ""}
    if odd and len(drops) > 1:
        answer["warning"] = f"{', '.join(odd)}: such a paint does not mix as others do; try it on a scrap."
    return answer


def _parting(mix: Mix, light: str | float) -> str:
    """Whether a mixture and the colour part under another light."""
    from palette.paints.metamerism import parted, under_lights
    from palette.words import say

    parting = parted(under_lights(mix.lab, mix.reflectance, light))
    return said(say(parting)) if parting else ""
