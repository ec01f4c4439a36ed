"""The card for measuring paints as a PDF, on A4 or US Letter: black only, set by the `typst` package."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from importlib.resources import files
from typing import Any

from palette.paints.card import layout, marks
from palette.typeset.pages import pages
from palette.words.catalogue import Words

_LONGEST = 66  # letters: three lines above the boxes


def render(count: int, paper: str = "a4", names: Sequence[str] = (), words: Words | None = None) -> bytes:
    """The PDF of a card with at least `count` pairs of boxes, `names` printed beside them in order."""
    return pages(source(), content(count, paper, names, words))


def source() -> bytes:
    """The template."""
    return files("palette.guide").joinpath("card.typ").read_bytes()


def content(count: int, paper: str, names: Sequence[str] = (), words: Words | None = None) -> dict[str, Any]:
    """What the template sets, as JSON data."""
    words = words or Words()
    total = layout.sheets(count)
    sheets = [_sheet(sheet, names, total, words) for sheet in range(total)]
    return {
        "language": words.language,
        "words": words.all("card"),
        "paper": paper,
        "width": layout.WIDTH,
        "height": layout.HEIGHT,
        "mark": layout.MARK,
        "bar": layout.BAR,
        "label": layout.LABEL,
        "place": asdict(layout.PLACE),
        "sheets": sheets,
    }


def _sheet(sheet: int, names: Sequence[str], total: int, words: Words) -> dict[str, Any]:
    pairs = layout.pairs(sheet)
    return {
        "which": words("which-sheet", number=str(sheet + 1), total=str(total)) if total > 1 else "",
        "boxes": words("which-boxes", first=str(pairs[0].number), last=str(pairs[-1].number)),
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
            for pair in pairs
        ],
    }


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST else name[: _LONGEST - 1].rstrip() + "…"
