"""Highlights whose core is burnt out: where a picture shows the lamp and no paint.

A lamp mirrored in a surface is far brighter than a white one, so its core stands at the end of every
channel, whatever lies under it. White paint in a picture that is well exposed does not. Burnt spots are
told from burnt white details by what surrounds them and by their outline: a mirrored lamp fades out, or
it is round; lettering, lines and panels have corners and a sharp edge.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array

Mask = NDArray[np.bool_]

_BURNT = 0.97  # of full scale, in every channel
_LARGEST = 0.045  # of the picture, one spot
_MOST = 0.12  # of the picture, all of them: beyond this it is over-exposed, and its whites are surfaces
_WHITE = 90.0  # L* round the spot from which it lies on white, and is only its lightest part
_FALLS = 1.0  # L* in two pixels, by which a rim still fades
_SHARP = 4  # pixels: a rim that is wider is no edge of paint
_FAINT = 5  # pixels beyond, where it fades too slowly to tell
_REACH = 20  # pixels, the widest rim
_ROUND = (0.70, 0.88)  # of its closest rectangle, what a disc or an ellipse fills: 0.785
_LONG = 5.0  # times as long as wide: a line


def glare(linear: Array, lightness: Array, seen: Mask) -> Mask:
    """Which pixels of a picture a burnt highlight and its rim take up (h, w).

    Args:
        linear: linear light (h, w, 3), 0..1.
        lightness: its L* (h, w).
        seen: the opaque pixels (h, w).
    """
    from scipy.ndimage import distance_transform_edt, find_objects, label

    burnt = seen & (linear.min(axis=-1) >= _BURNT)
    gone: Mask = np.zeros(burnt.shape, dtype=bool)
    if not 0 < burnt.sum() <= _MOST * seen.sum():
        return gone
    spots, _ = label(burnt, np.ones((3, 3)))
    height, width = burnt.shape
    for number, (rows, columns) in enumerate(find_objects(spots), start=1):
        around = (
            slice(max(0, rows.start - _REACH - _FAINT), min(height, rows.stop + _REACH + _FAINT)),
            slice(max(0, columns.start - _REACH - _FAINT), min(width, columns.stop + _REACH + _FAINT)),
        )
        own = spots[around] == number
        if not 6 <= own.sum() <= _LARGEST * seen.sum():
            continue
        level, others = lightness[around], seen[around] & ~(burnt[around] & ~own)
        away, near = distance_transform_edt(~own, return_indices=True)
        ground = level[others & (away > 4) & (away <= 7)]
        if not len(ground) or np.median(ground) > _WHITE:
            continue  # the lightest part of something white
        rim = _rim(level, others, away, near)
        if rim > _SHARP or _round(own):
            gone[around] |= away <= (rim + _FAINT if rim > _SHARP else rim)
    return np.asarray(gone & seen)


def _rim(level: Array, others: Mask, away: Array, near: NDArray[np.int32]) -> float:
    """How many pixels out L* keeps falling away from a spot, by its distance and its nearest pixel.

    Pixels are compared with those straight behind them, so that a border between surfaces, which crosses
    few of these lines, counts for little.
    """
    place = np.indices(away.shape)
    behind = np.rint(place + 2 * (place - near) / np.maximum(away, 1)).astype(int)
    size = np.array(away.shape)[:, None, None]
    inside = ((behind >= 0) & (behind < size)).all(axis=0)
    y, x = np.clip(behind, 0, size - 1)
    told = others & inside & others[y, x]
    falls = level - level[y, x] > _FALLS
    for d in range(2, _REACH):
        ring = told & (away > d - 1) & (away <= d)
        if ring.any() and falls[ring].mean() < 0.5:
            return float(d)
    return float(_REACH)


def _round(own: Mask) -> bool:
    """Whether a spot fills its closest rectangle as a disc or an ellipse does, and is no line."""
    rows, columns = np.nonzero(own)
    best, long = 0.0, 1.0
    for angle in np.linspace(0, np.pi / 2, 18, endpoint=False):
        along = rows * np.sin(angle) + columns * np.cos(angle)
        across = rows * np.cos(angle) - columns * np.sin(angle)
        a, b = np.ptp(along) + 1, np.ptp(across) + 1
        if len(rows) / (a * b) > best:
            best, long = len(rows) / (a * b), max(a, b) / min(a, b)
    return bool(_ROUND[0] <= best <= _ROUND[1]) and long < _LONG
