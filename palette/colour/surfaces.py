"""How colourful a surface can be: the limits of colours met in paints, inks, cloths and flowers.

Source: Pointer, "The gamut of real surface colours", Color Research and Application 5 (1980) 145. His
table is for illuminant C, whose CIELAB hues and chromas differ from those under D65 by a few units at
most; it is used as it stands.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array


@cache
def _limits() -> tuple[Array, Array]:
    text = files("palette.colour.data").joinpath("surfaces.csv").read_text("utf-8")
    table = np.array([[float(cell) for cell in row.split(",")] for row in text.splitlines()[1:]])
    # no chroma at black and white, where every limit ends; hue closes the circle
    lightness = np.concatenate([[0.0], table[:, 0], [100.0]])
    chroma = np.vstack([np.zeros(36), table[:, 1:], np.zeros(36)])
    return lightness, np.column_stack([chroma, chroma[:, 0]])


def most_chroma(lab: ArrayLike) -> Array:
    """The largest C* of a real surface at the lightness and hue of CIELAB (…, 3) -> (…)."""
    colour = np.asarray(lab, dtype=np.float64)
    lightness, chroma = _limits()
    level = np.clip(colour[..., 0], 0.0, 100.0)
    row = np.clip(np.searchsorted(lightness, level, side="right") - 1, 0, len(lightness) - 2)
    up = (level - lightness[row]) / (lightness[row + 1] - lightness[row])
    hue = np.degrees(np.arctan2(colour[..., 2], colour[..., 1])) % 360 / 10
    column = np.minimum(hue.astype(int), 35)
    across = hue - column
    below = chroma[row, column] * (1 - across) + chroma[row, column + 1] * across
    above = chroma[row + 1, column] * (1 - across) + chroma[row + 1, column + 1] * across
    return np.asarray(below * (1 - up) + above * up)
