"""The guide as it would print, and the check of a painted print: for the page, beside the work."""

from __future__ import annotations

import io
import tempfile
from pathlib import Path
from typing import Any

from palette.desk import plain
from palette.desk.wording import said
from palette.kit.model import Kit
from palette.words import change

_DOTS = 96  # a page's pixels an inch at scale 1


def printed(kit: Kit, paper: str) -> bytes:
    """The guide's PDF, written nowhere but into the answer.

    Raises:
        InputError: with every problem of the kit.
    """
    from palette.guide import build

    with tempfile.TemporaryDirectory(prefix="palette-") as folder:
        build(kit, Path(folder), paper)
        return (Path(folder) / "guide.pdf").read_bytes()


def page_count(pdf: bytes) -> int:
    """How many pages a PDF has."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()


def page(pdf: bytes, number: int, scale: float) -> bytes | None:
    """A page, from 1, as PNG; None where there is none."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        if not 1 <= number <= len(document):
            return None
        image = document[number - 1].render(scale=scale * _DOTS / 72).to_pil()
        stream = io.BytesIO()
        image.convert("RGB").save(stream, "PNG", compress_level=3)
        return stream.getvalue()
    finally:
        document.close()


def checked(kit: Kit) -> dict[str, Any]:
    """The painted print beside the scheme.

    Raises:
        InputError: no reference shows it, or an input is wrong.
    """
    from palette.paints.check import check

    result = check(kit)
    return {
        "parts": [
            {
                "part": one.part.id,
                "name": one.part.name,
                "target": plain.colour(one.target),
                "measured": plain.colour(one.measured),
                "difference": None if one.difference is None else round(one.difference, 2),
                "tolerance": one.tolerance,
                "pass": one.passes,
                "words": change(one.change) if one.change else "",
                "notes": [said(note) for note in one.notes],
            }
            for one in result.parts
        ],
        "unseen": [part.id for part in result.unseen],
        "notes": [said(note) for note in result.warnings],
    }
