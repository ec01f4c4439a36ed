"""Scales in words, for tables and for people: how sure, whether it shows, and what to change.

Where the steps lie is common practice of the trade, with no source.
"""

from __future__ import annotations

import re

import numpy as np

from palette.colour.spaces import Array

OPEN = "open"
# CIEDE2000 radius that holds the true colour nine times in ten, up to …
SURE = ((2.0, "firm"), (4.0, "good"), (8.0, "fair"), (15.0, "loose"), (float("inf"), OPEN))

# CIEDE2000 below which a difference is …
SHOWS = (
    (1.0, "not seen"),
    (2.0, "hardly seen"),
    (4.0, "seen side by side"),
    (8.0, "plainly seen"),
    (float("inf"), "another colour"),
)

BASIS = {
    "colour": "colour pictures",
    "grey": "inferred from grey",
    "hint": "words only",
    "decision": "the maker's decision",
    "none": "no evidence yet",
}


# How notes begin by which others know them: of a part, …
SAME_PAINT, DECIDED_OFF = "the same paint as", "the decision lies"
# … of a source that is set aside, or nearly, and of one that is only vague
ASIDE = ("not believed", "in doubt", "a copy of", "trusted with nothing", "shows the livery")
LITTLE = "counts little"

# What a picture's or a sample's notes tell of as seen to already, by their beginnings and ends
_SEEN_TO = (
    "shaded by",
    "an edge or a highlight",
    "a highlight",
    "dark spots",
    "spots of another colour",
    "the halftone screen",
    "JPEG blocks",
    "four ways to guess the light from the picture",
)
_TAKEN_OUT = ("; taken off", "; evened out", "; restored layer by layer")
_FEW_CLIPPED = 5  # per cent of a sample, which its error counts in; common practice, no source


def dealt_with(note: str) -> bool:
    """Whether a note of a picture or a sample is routine: what it tells of was left out, taken off or counted
    in, and asks for nothing."""
    clipped = re.match(r"(\d+) % of this sample is clipped", note)
    few = clipped is not None and int(clipped[1]) < _FEW_CLIPPED
    return few or note.startswith(_SEEN_TO) or note.endswith(_TAKEN_OUT)


def sure(radius90: float) -> str:
    """How sure a colour is, in one word."""
    return next(word for limit, word in SURE if radius90 <= limit)


def shows(difference: float) -> str:
    """Whether a difference would show."""
    return next(words for limit, words in SHOWS if difference < limit)


def joined(words: list[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


_HUES = (
    (0, "redder"),
    (45, "more orange"),
    (90, "yellower"),
    (180, "greener"),
    (270, "bluer"),
    (315, "more purple"),
)


def change(measured: Array, target: Array) -> str:
    """What must change for one CIELAB colour (3,) to become another: 'redder and a little darker'.

    The steps are those of CIEDE2000's three components; what nobody would see is not said. A shift along
    the colour's own hue is 'more vivid' or 'greyer', any other is named by where it leads.
    """
    lightness = float(target[0] - measured[0])
    middle = (float(target[0]) + float(measured[0])) / 2
    size_l = abs(lightness) / (1 + 0.015 * (middle - 50) ** 2 / np.sqrt(20 + (middle - 50) ** 2))
    shift = np.asarray(target[1:]) - np.asarray(measured[1:])
    chroma = float(np.hypot(*(np.asarray(target[1:]) + np.asarray(measured[1:])))) / 2
    size_c = float(np.hypot(*shift)) / (1 + 0.03 * chroma)
    said = []
    if size_l >= _UNSEEN:
        said.append((size_l, "lighter" if lightness > 0 else "darker"))
    if size_c >= _UNSEEN:
        more = float(np.hypot(*target[1:]) - np.hypot(*measured[1:]))
        if np.hypot(*measured[1:]) > 12 and abs(more) > 0.87 * float(np.hypot(*shift)):
            word = "more vivid" if more > 0 else "greyer"
        elif more < 0 and np.hypot(*target[1:]) < 4:
            word = "greyer"
        else:
            angle = float(np.degrees(np.arctan2(shift[1], shift[0]))) % 360
            word = min(_HUES, key=lambda hue: abs((angle - hue[0] + 180) % 360 - 180))[1]
        said.append((size_c, word))
    return " and ".join(f"{_much(size)}{word}" for size, word in sorted(said, reverse=True))


_UNSEEN = 0.7


def _much(size: float) -> str:
    return "a little " if size < 2.5 else "much " if size > 8 else ""
