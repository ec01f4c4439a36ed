"""Shade and highlight: a darker and a lighter neighbour of a colour.

Common practice, no source: the shade some 10 to 15 L* down, a little more colourful and turned towards
blue, the highlight as much up, a little less colourful and turned towards yellow. Near black and near
white there is less room, so the step is at most half of it; where less than a visible step is left there
is no such neighbour. No neighbour is further from grey than a surface can be (`colour.surfaces`), unless
the colour itself is.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array
from palette.colour.surfaces import most_chroma

WARM = 75.0  # degrees of CIELAB hue: yellow-orange; the cool pole lies opposite
BLACKEST, WHITEST = 3.0, 97.0  # L* that paint stays between
LEAST = 3.0  # L*: a smaller step is none
_MORE, _LESS = 1.10, 0.88  # chroma of the shade and the highlight, for a step of 12
_STEP = 12.0
_GREY = 10.0  # C* below which a colour is tinted rather than turned
_TINT = 1.5  # C* given to a pure grey


def shade(lab: ArrayLike, step: float = 12.0, hue: float = 6.0) -> Array | None:
    """The shade of a colour, CIELAB (3,): `step` L* darker, turned by `hue` degrees towards cool.

    None where the colour is too near black to have one, or `step` is 0.
    """
    colour = np.asarray(lab, dtype=np.float64)
    down = min(step, 0.5 * (float(colour[0]) - BLACKEST))
    return _neighbour(colour, -down, _MORE ** (down / _STEP), -hue) if down >= LEAST else None


def highlight(lab: ArrayLike, step: float = 12.0, hue: float = 6.0) -> Array | None:
    """The highlight of a colour, CIELAB (3,): `step` L* lighter, turned by `hue` degrees towards warm.

    None where the colour is too near white to have one, or `step` is 0.
    """
    colour = np.asarray(lab, dtype=np.float64)
    up = min(step, 0.5 * (WHITEST - float(colour[0])))
    return _neighbour(colour, up, _LESS ** (up / _STEP), hue) if up >= LEAST else None


def _neighbour(lab: Array, step: float, chroma: float, turn: float) -> Array:
    """`turn` is in degrees towards the warm pole, negative towards the cool one."""
    had = float(np.hypot(lab[1], lab[2]))
    angle = float(np.degrees(np.arctan2(lab[2], lab[1])))
    pole = WARM if turn >= 0 else WARM + 180
    to_pole = (pole - angle + 180) % 360 - 180  # the shorter way round
    angle = np.radians(angle + float(np.clip(to_pole, -abs(turn), abs(turn))))
    tint = _TINT * abs(turn) / 6 * max(0.0, 1 - had / _GREY)
    made = np.array(
        [
            lab[0] + step,
            had * chroma * np.cos(angle) + tint * np.cos(np.radians(pole)),
            had * chroma * np.sin(angle) + tint * np.sin(np.radians(pole)),
        ]
    )
    limit = max(float(most_chroma(made)), 1e-9)
    beyond = had / max(float(most_chroma(lab)), 1e-9)  # how far the colour itself is past what surfaces reach
    have = float(np.hypot(made[1], made[2]))
    made[1:] *= min(1.0, limit * max(beyond, 1.0) / max(have, 1e-9))
    return made
