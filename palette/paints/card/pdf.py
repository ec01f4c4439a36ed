"""The card for measuring paints as a PDF, on A4 or US Letter: black only, set by the `typst` package."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from importlib.resources import as_file, files
from typing import Any

from palette.paints.card import layout, marks

_LONGEST = 66  # letters: three lines above the boxes


def render(count: int, paper: str = "a4", names: Sequence[str] = ()) -> bytes:
    """The PDF of a card with at least `count` pairs of boxes, `names` printed beside them in order."""
    import typst

    words = json.dumps(content(count, paper, names))
    source = files("palette.paints.card").joinpath("card.typ").read_bytes()
    with as_file(files("palette.typeset.fonts")) as folder:
        fonts = typst.Fonts(font_paths=[str(folder)])
        return bytes(typst.compile(source, font_paths=fonts, sys_inputs={"data": words}, timestamp=0))


def content(count: int, paper: str, names: Sequence[str] = ()) -> dict[str, Any]:
    """What card.typ sets, as JSON data."""
    sheets = [_sheet(sheet, names) for sheet in range(layout.sheets(count))]
    return {
        "paper": paper,
        "width": layout.WIDTH,
        "height": layout.HEIGHT,
        "mark": layout.MARK,
        "bar": layout.BAR,
        "label": layout.LABEL,
        "place": asdict(layout.PLACE),
        "sheets": sheets,
    }


def _sheet(sheet: int, names: Sequence[str]) -> dict[str, Any]:
    return {
        "marks": [
            {"x": x, "y": y, "white": marks.modules(marks.number(sheet, position)).tolist()}
            for position, (x, y) in enumerate(layout.MARKS)
        ],
        "pairs": [
            {
                "number": pair.number,
                "name": _short(names[pair.number - 1]) if pair.number <= len(names) else "",
                "straight": asdict(pair.straight),
                "tint": asdict(pair.tint),
            }
            for pair in layout.pairs(sheet)
        ],
    }


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST else name[: _LONGEST - 1].rstrip() + "…"
