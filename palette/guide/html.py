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


def soft(text: str, codes: bool = False) -> str:
    """A text, escaped, whose overlong words may break anywhere; with `codes`, words such as B-02 are in one
    piece (class `whole`)."""
    from markupsafe import Markup, escape

    def piece(word: str) -> str:
        if len(word) > LONGEST:
            return Markup("<wbr>").join(word)
        if codes and re.search(r"-\w", word):
            return Markup('<span class="whole">{}</span>').format(word)
        return escape(word)

    return Markup("").join(piece(word) for word in re.split(r"(\s+)", text))
