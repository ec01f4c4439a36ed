"""The tables of colour/data."""

from __future__ import annotations

import csv
from importlib.resources import files


def rows(file: str) -> list[list[str]]:
    """The cells of a table in colour/data, without its header."""
    text = files("palette.colour.data").joinpath(file).read_text("utf-8")
    return list(csv.reader(text.splitlines()))[1:]
