"""The guide as a PDF: tagged, PDF/UA-1, on A4 or US Letter, set by the `typst` package from guide.typ."""

from __future__ import annotations

import json
import re
from dataclasses import asdict
from importlib.resources import as_file, files
from typing import Any

from palette.guide.content import Guide

PAPERS = ("a4", "letter")
STAND_IN = "□"


def render(guide: Guide, paper: str = "a4") -> bytes:
    """The PDF of a guide. The same guide gives the same bytes on one machine.

    Characters for which no typeface is at hand are printed as □, and the last page names them.
    """
    import typst

    words = data(guide)
    source = files("palette.guide").joinpath("guide.typ").read_bytes()
    pictures = [list(picture) for picture in guide.pictures]
    unknown: set[str] = set()
    with as_file(files("palette.typeset.fonts")) as folder:
        fonts = typst.Fonts(font_paths=[str(folder)])
        while True:
            document = {
                "guide": _without(words, unknown),
                "paper": paper,
                "pictures": pictures,
                "author": _without([guide.maker] if guide.maker else [], unknown),
                "missing_characters": " ".join(f"U+{ord(c):04X}" for c in sorted(unknown)),
            }
            try:
                return bytes(
                    typst.compile(
                        source,
                        font_paths=fonts,
                        sys_inputs={"data": json.dumps(document)},
                        pdf_standards=["ua-1"],
                        timestamp=0,
                    )
                )
            except typst.TypstError as error:
                found = _undrawable(error.diagnostic) - unknown
                if not found:
                    raise
                unknown |= found


def data(guide: Guide) -> dict[str, Any]:
    """The guide as JSON data without its pictures."""
    plain = asdict(guide)
    del plain["pictures"]
    return plain


def _undrawable(diagnostic: str) -> set[str]:
    """The characters that the typesetter says it has no glyph for."""
    found: set[str] = set()
    for text in re.findall(r'the text `"((?:[^"\\]|\\.)*)"` could not be displayed', diagnostic):
        plain = re.sub(r"\\u\{([0-9a-fA-F]+)\}", lambda m: chr(int(m.group(1), 16)), text)
        found |= {c for c in plain if ord(c) > 127 and c != STAND_IN}
    return found


def _without(value: Any, unknown: set[str]) -> Any:
    if not unknown:
        return value
    if isinstance(value, str):
        return "".join(STAND_IN if c in unknown else c for c in value)
    if isinstance(value, dict):
        return {key: _without(item, unknown) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_without(item, unknown) for item in value]
    return value
