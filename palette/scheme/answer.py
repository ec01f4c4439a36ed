"""A scheme as an answer: one JSON document, or a table to read."""

from __future__ import annotations

from typing import Any

from palette.colour.spaces import Array, lab_to_hex
from palette.scheme.model import PaintChoice, Scheme


def scheme_json(scheme: Scheme) -> dict[str, Any]:
    """What `palette scheme --json` prints."""
    parts = []
    for colour in scheme.parts:
        parts.append(
            {
                "part": colour.part.id,
                "lab": _lab(colour.lab),
                "hex": None if colour.lab is None else lab_to_hex(colour.lab),
                "name": None if colour.lab is None else _words(colour.lab),
                "radius90": None if colour.radius90 is None else round(colour.radius90, 4),
                "basis": colour.basis,
                "conflict": colour.conflict,
                "evidence": [
                    {
                        "reference": e.reference,
                        "lab": _lab(e.lab),
                        "radius90": None if e.radius90 is None else round(e.radius90, 4),
                        "weight": round(e.weight, 4),
                        "kind": e.kind,
                        "notes": list(e.notes),
                    }
                    for e in colour.evidence
                ],
                "notes": list(colour.notes),
                "paints": [paint_json(p) for p in colour.paints],
                "mixes": [],
            }
        )
    return {"schema": 1, "kit": scheme.kit.title, "parts": parts}


def paint_json(paint: PaintChoice) -> dict[str, Any]:
    return {
        "swatch": paint.swatch,
        "name": paint.name,
        "range": paint.range,
        "lab": _lab(paint.lab),
        "hex": lab_to_hex(paint.lab),
        "difference": round(paint.difference, 4),
    }


def _lab(lab: Array | None) -> list[float] | None:
    return None if lab is None else [round(float(v), 4) for v in lab]


def _words(lab: Array) -> str:
    from palette.colour.names import name

    return name(lab)


def scheme_text(scheme: Scheme) -> str:
    """What `palette scheme` prints for people."""
    rows = []
    for c in scheme.parts:
        if c.lab is None or c.radius90 is None:
            rows.append(f"{c.part.name}: no evidence")
        else:
            rows.append(f"{c.part.name}: {_words(c.lab)} {lab_to_hex(c.lab)} ±{c.radius90:.1f} ({c.basis})")
    return "\n".join(rows)
