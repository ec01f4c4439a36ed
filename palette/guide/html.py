"""What every page made from a template shares: escaping, and words that may break."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment

LONGEST = 17  # letters of a word that is never broken


def environment() -> Environment:
    """A template engine that escapes every text."""
    from jinja2 import Environment, StrictUndefined

    made = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["soft"] = soft
    return made


def soft(text: str) -> str:
    """A text, escaped, whose overlong words may break anywhere."""
    from markupsafe import Markup, escape

    pieces = (
        Markup("<wbr>").join(word) if len(word) > LONGEST else escape(word)
        for word in re.split(r"(\s+)", text)
    )
    return Markup("").join(pieces)
