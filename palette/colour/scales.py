"""Numbers as steps of a scale: how sure a colour is, whether a difference shows, and what must change.

Where the steps lie is common practice of the trade, with no source. `palette.words` has the words.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from palette.colour.spaces import Array


class Sureness(Enum):
    """How sure a colour is: up to this CIEDE2000 radius, which holds the true colour nine times in ten."""

    FIRM = 2.0
    GOOD = 4.0
    FAIR = 8.0
    LOOSE = 15.0
    OPEN = float("inf")


class Visibility(Enum):
    """Whether a difference shows: below this CIEDE2000."""

    UNSEEN = 1.0
    HARDLY = 2.0
    SIDE_BY_SIDE = 4.0
    PLAIN = 8.0
    ANOTHER_COLOUR = float("inf")


def sureness(radius90: float) -> Sureness:
    """How sure a colour of that radius is."""
    return next(step for step in Sureness if radius90 <= step.value)


def visibility(difference: float) -> Visibility:
    """Whether a difference shows."""
    return next(step for step in Visibility if difference < step.value)


@dataclass(frozen=True)
class Step:
    """One way in which a colour must change."""

    towards: str  # lighter | darker | vivid | grey | red | orange | yellow | green | blue | purple
    size: float  # in CIEDE2000's own component


_HUES = ((0, "red"), (45, "orange"), (90, "yellow"), (180, "green"), (270, "blue"), (315, "purple"))
_UNSEEN = 0.7


def change(measured: Array, target: Array) -> tuple[Step, ...]:
    """What must change for one CIELAB colour (3,) to become another, the largest step first.

    The steps are those of CIEDE2000's three components; what nobody would see is left out. A shift along
    the colour's own hue is towards vivid or grey, any other is named by where it leads.
    """
    lightness = float(target[0] - measured[0])
    middle = (float(target[0]) + float(measured[0])) / 2
    size_l = abs(lightness) / (1 + 0.015 * (middle - 50) ** 2 / np.sqrt(20 + (middle - 50) ** 2))
    shift = np.asarray(target[1:]) - np.asarray(measured[1:])
    chroma = float(np.hypot(*(np.asarray(target[1:]) + np.asarray(measured[1:])))) / 2
    size_c = float(np.hypot(*shift)) / (1 + 0.03 * chroma)
    steps = []
    if size_l >= _UNSEEN:
        steps.append(Step("lighter" if lightness > 0 else "darker", float(size_l)))
    if size_c >= _UNSEEN:
        more = float(np.hypot(*target[1:]) - np.hypot(*measured[1:]))
        if np.hypot(*measured[1:]) > 12 and abs(more) > 0.87 * float(np.hypot(*shift)):
            towards = "vivid" if more > 0 else "grey"
        elif more < 0 and np.hypot(*target[1:]) < 4:
            towards = "grey"
        else:
            angle = float(np.degrees(np.arctan2(shift[1], shift[0]))) % 360
            towards = min(_HUES, key=lambda hue: abs((angle - hue[0] + 180) % 360 - 180))[1]
        steps.append(Step(towards, size_c))
    return tuple(sorted(steps, key=lambda step: -step.size))
