"""What guide and dossier share: a colour to show, text that can be set, numbers as they are printed."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from palette.colour.names import name
from palette.colour.scales import Visibility, visibility
from palette.colour.spaces import Array, lab_to_hex, lab_to_linear
from palette.kit.model import Part
from palette.swatches.model import Swatch, SwatchList

JOINERS, ISOLATES = "\u200c\u200d", "\u2068\u2069"
_UNSETTABLE = ("Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp")  # Unicode categories


@dataclass(frozen=True)
class Chip:
    """A colour to show. `strip` runs through what the evidence leaves open; empty where that is nothing."""

    hex: str  # '' where no colour is known, or none is to be
    words: str
    outside: bool = False  # of sRGB: the nearest is shown
    strip: tuple[str, ...] = ()
    lab: tuple[str, ...] = ()  # L*, a*, b* with one decimal
    bare: bool = False  # no colour is to be: left bare, clear


def chip(lab: Array | None, covariance: Array | None = None) -> Chip:
    """A colour to show, with the strip of what its covariance leaves open: nine times in ten, along the
    direction in which it is least sure, dark or dull end first."""
    if lab is None:
        return Chip("", "undecided")
    linear = lab_to_linear(lab)
    strip: tuple[str, ...] = ()
    if covariance is not None and np.trace(covariance) > 0.1:
        values, vectors = np.linalg.eigh(np.asarray(covariance, dtype=np.float64))
        axis = vectors[:, -1] * 1.645 * np.sqrt(float(values[-1]))
        axis = axis if axis[int(np.argmax(np.abs(axis)))] > 0 else -axis
        strip = tuple(bounded_hex(lab + step * axis) for step in (-1.0, -0.5, 0.0, 0.5, 1.0))
    return Chip(
        lab_to_hex(lab),
        name(lab),
        bool(np.any(linear < -0.002) or np.any(linear > 1.002)),
        strip,
        tuple(number(float(v)) for v in lab),
    )


def bounded_hex(lab: Array) -> str:
    """The nearest sRGB colour, with L* kept between black and white."""
    return lab_to_hex(np.array([min(max(float(lab[0]), 0.0), 100.0), lab[1], lab[2]]))


def tidy(text: str, more: str = "") -> str:
    """Text on one line without what cannot be set: controls, unassigned and private characters, overrides
    of the writing direction. Joiners, which some scripts need, stay, and the characters in `more`."""
    kept = (c if c in JOINERS + more or unicodedata.category(c) not in _UNSETTABLE else " " for c in text)
    return " ".join("".join(kept).split())


def range_of(swatch: Swatch) -> str:
    """The range a paint is sold in; the list's name stands in where the list does not say."""
    return _sold_as(swatch.range, swatch.file)


@lru_cache(1 << 12)  # a long list has few ranges
def _sold_as(range: str, file: str) -> str:
    return tidy(range) or tidy(Path(file).stem) or "–"


def by_range(swatches: SwatchList) -> dict[str, SwatchList]:
    """The paints of each range, in the list's order."""
    sold_as = [range_of(swatch) for swatch in swatches.swatches]
    return {name: swatches.where([one == name for one in sold_as]) for name in dict.fromkeys(sold_as)}


def isolated(text: str) -> str:
    """A text ready to stand within a line: one that is written from the right keeps to itself, so that the
    numbers and commas around it stay where they are (Unicode Standard Annex 9, isolates)."""
    return f"\u2068{text}\u2069" if from_the_right(text) else text


def from_the_right(text: str) -> bool:
    """Whether a text has letters that are written from right to left."""
    return any(unicodedata.bidirectional(c) in ("R", "AL") for c in text)


def number(value: float, decimals: int = 1) -> str:
    """A number with a true minus sign and no negative zero."""
    text = f"{value:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return text.replace("-", "−")


_SEEN = {
    Visibility.UNSEEN: "not",
    Visibility.HARDLY: "hardly",
    Visibility.SIDE_BY_SIDE: "side",
    Visibility.PLAIN: "plainly",
    Visibility.ANOTHER_COLOUR: "another",
}


SEEN = tuple(_SEEN.values())


def seen_key(difference: float) -> str:
    """What the catalogue calls the words for whether a difference shows."""
    return _SEEN[visibility(difference)]


def letter(index: int) -> str:
    """A … Z, AA, AB …"""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def part_name(part: Part) -> str:
    """The name of a part as it is printed."""
    return tidy(part.name) or tidy(part.id) or "unnamed"
