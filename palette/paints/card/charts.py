"""The published colours of the 24-patch chart, four rows of six, by CIELAB D65."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

import numpy as np

from palette.colour.spaces import Array

ROWS, COLUMNS = 4, 6
NAMES = ("since-2014", "before-2014")  # the maker changed its pigments in November 2014


@cache
def chart(name: str) -> tuple[tuple[str, ...], Array]:
    """The names (24) and CIELAB (24, 3) of the patches, row by row from the upper left."""
    text = files("palette.paints.card").joinpath("charts.csv").read_text("utf-8")
    rows = [row for row in csv.DictReader(text.splitlines()) if row["chart"] == name]
    lab = np.array([[float(row[f"lab_{axis}"]) for axis in "lab"] for row in rows])
    return tuple(row["patch"] for row in rows), lab
