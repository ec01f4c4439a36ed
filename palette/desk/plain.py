"""Colours, problems and paints as the desk's answers have them: plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from palette.colour.spaces import Array, lab_to_hex, lab_to_linear
from palette.desk import shown
from palette.errors import Problem
from palette.memory import remembered
from palette.swatches.model import Swatch


def colour(lab: Array | None) -> dict[str, Any] | None:
    """A colour, CIELAB D65 (3,), as numbers, as the nearest of a screen, and in words."""
    return None if lab is None else _colour(np.asarray(lab))


@remembered()
def _colour(lab: Array) -> dict[str, Any]:
    from palette.colour.names import name

    linear = lab_to_linear(lab)
    return {
        "lab": [round(float(v), 3) for v in lab],
        "hex": lab_to_hex(lab),
        "words": name(lab),
        "in_gamut": not bool(np.any(linear < -0.002) or np.any(linear > 1.002)),
    }


def spread(lab: Array | None, covariance: Array | None, radius90: float | None) -> dict[str, Any] | None:
    """How sure a colour is, with the strip of what it may be."""
    if lab is None or radius90 is None:
        return None
    strip = shown.chip(lab, covariance).strip
    return {"radius90": round(float(radius90), 3), "chips": list(strip)}


def problems(wrong: Iterable[Problem]) -> list[dict[str, Any]]:
    """Problems, each with the line it stands on."""
    return [
        {"where": t.where, "what": t.what, "remedy": t.remedy, "line": t.line, "text": t.text}
        for t in shown.troubles(wrong)
    ]


def paint(swatch: Swatch, difference: float) -> dict[str, Any]:
    """A paint beside a colour."""
    return {
        "swatch": swatch.id,
        "name": swatch.name,
        "range": swatch.range,
        "colour": colour(swatch.lab),
        "difference": round(float(difference), 3),
        "owned": swatch.owned,
        "retired": swatch.retired,
    }


def drops(recipe: Iterable[tuple[str, int]], paints: Mapping[str, Swatch]) -> list[dict[str, Any]]:
    """A recipe, paint by paint."""
    return [
        {
            "swatch": id,
            "name": paints[id].name,
            "count": count,
            "colour": colour(paints[id].lab),
            "owned": paints[id].owned,
        }
        for id, count in recipe
    ]
