"""A colour with its paints as `palette match` and `palette sample` answer it."""

from __future__ import annotations

from typing import Any

from palette.paints.match import MatchedColour
from palette.report.scheme import paint_json


def found_json(found: MatchedColour, with_id: bool = False) -> dict[str, Any]:
    """A found colour as the answers give it."""
    head: dict[str, Any] = {"id": found.id} if with_id else {}
    if found.share is not None:
        head["share"] = found.share
    return {
        **head,
        "lab": [round(float(value), 4) for value in found.lab],
        "hex": found.hex,
        "name": found.name,
        "paints": [paint_json(paint) for paint in found.paints],
    }
