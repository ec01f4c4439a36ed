"""The guide as one HTML file: no network, light, dark and print styles, the same content as the PDF."""

from __future__ import annotations

import re
from base64 import b64encode
from importlib.resources import files

from palette.guide.content import Guide

LONGEST = 17  # letters of a word that is never broken


def render(guide: Guide) -> str:
    """The page. Every text is escaped by the template engine; pictures travel inside the file."""
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["soft"] = soft
    template = environment.from_string(files("palette.guide").joinpath("guide.html").read_text("utf-8"))
    pictures = ["data:image/jpeg;base64," + b64encode(jpeg).decode("ascii") for jpeg in guide.pictures]
    return template.render(guide=guide, pictures=pictures)


def soft(text: str) -> str:
    """A text, escaped, whose overlong words may break anywhere."""
    from markupsafe import Markup, escape

    pieces = (
        Markup("<wbr>").join(word) if len(word) > LONGEST else escape(word)
        for word in re.split(r"(\s+)", text)
    )
    return Markup("").join(pieces)
