"""A picture as it would look in the scheme's paints: shading kept, what is not sure marked.

What has a part's colour, whatever its shade, near a place where the part is marked, takes the paint's colour;
how light each pixel is beside the part as marked stays. All else is shown corrected. It is a look, no
measurement.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, srgb_decode, srgb_encode
from palette.desk.pictures import Lut
from palette.evidence.pictures.regions import Box

SIZE, PLACES = 17, 3
_REACH = 0.3  # of the picture's longer side, within which a mark speaks for what looks like it
_ALIKE = 0.10  # how far (log of a channel's share of the light) one paint strays within a picture
_ELSE = 2.5  # standard deviations from which a pixel is something else
_DARKEST, _BRIGHTEST = 0.12, 2.2  # of a part's light as marked: its own shadows and lights
_STRIPES = 7  # pixels


@dataclass(frozen=True)
class Repaint:
    """One part in one picture: its linear light as marked (3,), the paint's under D65 (3,), where it is
    marked (n, 2) as fractions of the sides, and whether its colour is unsure."""

    part: str
    seen: Array
    paint: Array
    places: Array
    unsure: bool


class Painted:
    """Tables through which a picture is seen painted."""

    def __init__(self, parts: Sequence[Repaint], corrected: Lut | None, aspect: float) -> None:
        tables, unsure = _tables(parts, corrected, aspect)
        self._paint = Lut(tables)
        self._unsure = Lut(unsure) if unsure.any() else None

    def through(self, levels: NDArray[np.uint8], box: Box, width: int, height: int) -> NDArray[np.uint8]:
        """Encoded sRGB (h, w, 3) of a box of a picture of that size, painted; striped where it is unsure."""
        out = self._paint.through(levels, box, width, height)
        if self._unsure is not None:
            mask = self._unsure.through(levels, box, width, height)[..., :1] / np.float32(255)
            mask = np.clip(3 * (mask - 0.5), 0, 1)  # what is hardly the part is not striped
            y, x = np.mgrid[box[1] : box[3], box[0] : box[2]]
            stripes = ((x + y) // _STRIPES % 2 == 0)[..., None]
            light = np.where(out.mean(axis=-1, keepdims=True) > 128, 0.0, 255.0)
            out = np.rint(out + stripes * mask * 0.35 * (light - out)).astype(np.uint8)
        return out


def _tables(
    parts: Sequence[Repaint], corrected: Lut | None, aspect: float
) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    axis = np.rint(np.linspace(0, 255, SIZE)).astype(np.uint8)
    grid = np.stack(np.meshgrid(axis, axis, axis, indexing="ij"), axis=-1).reshape(-1, 3)
    light = srgb_decode(grid / 255)
    shape = (PLACES, PLACES, SIZE, SIZE, SIZE, 3)
    painted, unsure = np.zeros(shape, np.uint8), np.zeros(shape, np.uint8)
    across = np.array([min(1.0, aspect), min(1.0, 1 / aspect)])
    for row in range(PLACES):
        for column in range(PLACES):
            place = np.array([column, row]) / (PLACES - 1)
            box = (column, row, column + 1, row + 1)
            ground = grid if corrected is None else corrected.at(grid, place)
            base = srgb_decode(ground / 255)
            weights = [_weight(light, part, place, across) for part in parts]
            rest = np.full(len(grid), np.exp(-0.5 * _ELSE**2))
            total = rest + sum(weights, np.zeros(len(grid)))
            out = base * (rest / total)[:, None]
            doubt = np.zeros(len(grid))
            for part, weight in zip(parts, weights, strict=True):
                shade = light.sum(axis=1) / max(float(part.seen.sum()), 1e-6)
                out += part.paint * (shade * weight / total)[:, None]
                doubt += weight / total * part.unsure
            levels = np.rint(255 * np.clip(srgb_encode(out), 0, 1)).astype(np.uint8)
            painted[box[1], box[0]] = levels.reshape(SIZE, SIZE, SIZE, 3)
            marked = np.rint(255 * np.clip(doubt, 0, 1)).astype(np.uint8)
            unsure[box[1], box[0]] = np.repeat(marked[:, None], 3, axis=1).reshape(SIZE, SIZE, SIZE, 3)
    return painted, unsure


def _weight(light: Array, part: Repaint, place: Array, across: Array) -> Array:
    """How much each colour (n, 3) at a place is that part, 0..1."""
    near = np.min(np.hypot(*((part.places - place) * across).T))
    shares = np.log((light + 2e-3) / (light + 2e-3).sum(axis=1, keepdims=True))
    own = part.seen + 2e-3
    off = shares - np.log(own / own.sum())
    square = (off**2).sum(axis=1) / _ALIKE**2
    bright = light.sum(axis=1) / max(float(part.seen.sum()), 1e-6)
    lit = np.clip((bright - _DARKEST / 2) / (_DARKEST / 2), 0, 1) * np.clip(_BRIGHTEST - bright, 0, 1)
    return np.asarray(np.exp(-0.5 * (square + (near / _REACH) ** 2)) * lit)
