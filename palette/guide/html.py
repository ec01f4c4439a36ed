"""What every page made from a template shares: escaping, and words that may break."""

from __future__ import annotations

import re
from importlib.resources import files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Template

LONGEST = 17  # letters of a word that is never broken


def template(package: str, name: str) -> Template:
    """A template of a package, for a page that escapes every text."""
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    from palette.guide.compiled import compiled

    made = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        loader=FunctionLoader(lambda path: files(package).joinpath(path).read_text("utf-8")),
        bytecode_cache=compiled(),
    )
    made.filters["soft"] = soft
    return made.get_template(name)


def soft(text: str) -> str:
    """A text, escaped, whose overlong words may break anywhere."""
    from markupsafe import Markup, escape

    pieces = (
        Markup("<wbr>").join(word) if len(word) > LONGEST else escape(word)
        for word in re.split(r"(\s+)", text)
    )
    return Markup("").join(pieces)
