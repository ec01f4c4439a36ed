"""The bands within which figures are held: bands.csv, one figure a row."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

FILE = Path(__file__).with_name("bands.csv")

# Half of a band's width as a share of the figure, and the least it is: wider than other arithmetic moves a
# figure, narrower than what the mutants do to it. Of shares of few cases one may fall to the other side.
SHARE, LEAST, COUNTED = 0.006, 0.002, 0.02
_COUNTS = ("inside", "coverage", "right count", "count of", "wrong", "exact,", "off,", "keeps", "as the")


@dataclass(frozen=True)
class Band:
    low: float
    high: float


def bands() -> dict[tuple[str, str], Band]:
    """Room and figure -> band."""
    with FILE.open(encoding="utf-8", newline="") as file:
        return {
            (row["room"], row["figure"]): Band(float(row["low"]), float(row["high"]))
            for row in csv.DictReader(file)
        }


def around(figure: str, value: float) -> Band:
    half = max(SHARE * abs(value), COUNTED if figure.startswith(_COUNTS) else LEAST)
    return Band(value - half, value + half)
