"""A colour with its paints as `palette match` and `palette sample` answer it."""

from __future__ import annotations

from typing import Any

from palette.paints.match import MatchedColour
from palette.report.scheme import paint_json


def colour_json(colour: MatchedColour, with_id: bool = False) -> dict[str, Any]:
    """A colour with its paints as the answers give it."""
    head: dict[str, Any] = {"id": colour.id} if with_id else {}
    if colour.share is not None:
        head["share"] = colour.share
    return {
        **head,
        "lab": [round(float(value), 4) for value in colour.lab],
        "hex": colour.hex,
        "name": colour.name,
        "paints": [
            paint_json(paint) | ({"under_light": colour.under[i]} if colour.under else {})
            for i, paint in enumerate(colour.paints)
        ],
    }
