"""Recipes and paints for a colour, as the desk tells them."""

from __future__ import annotations

import numpy as np

from palette.desk.recipes import best
from palette.swatches.model import Swatch, SwatchList

HAVE = {"a": True, "b": None, "c": False}
GREYS = {"a": 40.0, "b": 70.0, "c": 55.0}


def swatches(owned: dict[str, bool | None]) -> SwatchList:
    return SwatchList(
        tuple(Swatch(id, id, np.array([GREYS[id], 0.0, 0.0]), "lab", owned=owned[id]) for id in owned)
    )


def test_what_is_to_hand_is_what_recipes_are_made_of() -> None:
    """Fails where a paint is proposed as one's own beside a list that does not call it to hand."""
    grey = np.array([55.0, 0.0, 0.0])
    told = best(grey, swatches(HAVE), (2, 6), False)
    to_hand = {paint["swatch"] for paint in told["paints"] if paint["to_hand"]}
    proposed = {drop["swatch"] for recipe in told["recipes"] for drop in recipe["drops"]}
    assert proposed == to_hand == {"a", "b"}
    assert any("1 of 3 paints have nothing in the column owned" in note for note in told["notes"])
    every = best(grey, swatches(HAVE), (2, 6), True)
    assert every["recipes"][0]["drops"][0]["swatch"] == "c"
    assert not any("column owned" in note for note in every["notes"])
    silent = best(grey, swatches(dict.fromkeys(HAVE)), (2, 6), False)
    assert not any(paint["to_hand"] for paint in silent["paints"])
    assert not any("column owned" in note for note in silent["notes"])
