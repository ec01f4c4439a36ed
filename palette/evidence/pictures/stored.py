"""What a picture file stores: its size, its way up, its levels, and how they become light."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from palette.evidence.pictures.profiles import Encoding
from palette.evidence.pictures.regions import Box, Mask
from palette.notes import Note

if TYPE_CHECKING:
    from palette.evidence.pictures.lost import Lost


@dataclass(frozen=True)
class Upright:
    """Levels as stored (h, w, channels), unsigned integers or 0..1 floats, turned upright."""

    array: NDArray[Any]
    alpha: NDArray[Any] | None = None  # (h, w), same kind of numbers as the levels

    def cut(self, box: Box) -> Upright:
        """A view of a box (x0, y0, x1, y1)."""
        place = np.s_[box[1] : box[3], box[0] : box[2]]
        return Upright(self.array[place], None if self.alpha is None else self.alpha[place])

    def fractions(self) -> NDArray[np.float32]:
        """Levels as fractions of the full range."""
        if self.array.dtype.kind == "f":
            return self.array.astype(np.float32)
        return self.array.astype(np.float32) / np.float32(np.iinfo(self.array.dtype).max)

    def opaque(self) -> Mask:
        """Where there is a picture: its levels are numbers, and alpha is at least one half, since a pixel
        that is more hole than picture is no evidence."""
        seen = np.ones(self.array.shape[:2], dtype=bool)
        if self.array.dtype.kind == "f":
            seen &= np.isfinite(self.array).all(axis=-1)
        if self.alpha is not None:
            half = 0.5 if self.alpha.dtype.kind == "f" else np.iinfo(self.alpha.dtype).max / 2
            seen &= self.alpha >= half
        return seen

    def blank(self, values: NDArray[np.float32]) -> NDArray[np.float32]:
        """`values`, with NaN put where the picture is transparent."""
        if self.alpha is not None or self.array.dtype.kind == "f":
            values[~self.opaque()] = np.nan
        return values


@dataclass(frozen=True)
class Blocks:
    """How a JPEG rounds the means of its blocks, component by component: luma and two of chroma mostly."""

    to_rgb: NDArray[np.float64]  # (3, 3), red, green and blue by component
    steps: NDArray[np.float64]  # (3,) to which a block's mean is rounded, in levels from 0 to 1
    areas: NDArray[np.float64]  # (3,) pixels of the picture in a block


@dataclass(frozen=True)
class Stored:
    """A file's own words about itself; sizes are as stored, before the orientation tag is applied."""

    format: str
    width: int
    height: int
    orientation: int  # 1..8, as in TIFF 6.0 and Exif
    space: str  # grey | rgb | inks | lab
    bits: int
    encoding: Encoding
    notes: tuple[Note, ...]
    decode: Callable[[int | None], Upright]  # pixels wanted (None: all) -> levels, that many or more
    scalable: bool = False  # whether a small decoding is cheaper than a full one
    blocks: Blocks | None = None  # of a JPEG in grey or RGB
    gaps: Callable[[], Lost | None] = lambda: None  # what the file lacks; a hole in what is decoded


# Axes to flip; from 5 on rows become columns first.
_FLIPS = {2: (1,), 3: (0, 1), 4: (0,), 6: (1,), 7: (0, 1), 8: (0,)}


def turn(array: NDArray[Any], orientation: int) -> NDArray[Any]:
    """A view of (h, w, …) the way it is meant to be seen, by the eight orientations of TIFF 6.0."""
    if orientation >= 5:
        array = array.swapaxes(0, 1)
    return np.flip(array, _FLIPS[orientation]) if orientation in _FLIPS else array
