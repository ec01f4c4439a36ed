"""What a picture file stores: its size, its way up, its levels and how they become light."""

from __future__ import annotations

import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem
from palette.pictures import profiles
from palette.pictures.profiles import Encoding
from palette.pictures.regions import Box, Mask

MOST_PIXELS = 178_956_970  # a larger file is more likely a trap, or a slip, than a photograph


@dataclass(frozen=True)
class Upright:
    """Levels as stored (h, w, channels), turned upright, and what is opaque of them."""

    array: NDArray[Any]
    alpha: NDArray[Any] | None = None  # (h, w), same type as the levels

    def cut(self, box: Box) -> Upright:
        """A view of a box (x0, y0, x1, y1)."""
        place = np.s_[box[1] : box[3], box[0] : box[2]]
        return Upright(self.array[place], None if self.alpha is None else self.alpha[place])

    def fractions(self) -> NDArray[np.float32]:
        """Levels as fractions of the full range, 0..1."""
        if self.array.dtype.kind == "f":
            return self.array.astype(np.float32)
        return self.array.astype(np.float32) / np.float32(np.iinfo(self.array.dtype).max)

    def opaque(self) -> Mask:
        """Where alpha is at least one half: a pixel that is more hole than picture is no evidence."""
        if self.alpha is None:
            return np.ones(self.array.shape[:2], dtype=bool)
        half = 0.5 if self.alpha.dtype.kind == "f" else np.iinfo(self.alpha.dtype).max / 2
        return np.asarray(self.alpha >= half)

    def blank(self, values: NDArray[np.float32]) -> NDArray[np.float32]:
        """`values` with NaN where the picture is transparent."""
        if self.alpha is not None:
            values[~self.opaque()] = np.nan
        return values


@dataclass(frozen=True)
class Stored:
    """A file's own words about itself; sizes are as stored, before the orientation tag is applied."""

    width: int
    height: int
    orientation: int  # 1..8, as in TIFF 6.0 and Exif
    space: str  # grey | rgb | inks | lab
    bits: int
    encoding: Encoding
    notes: tuple[str, ...]
    scalable: bool  # whether a small decoding is cheaper than a full one
    decode: Callable[[int | None], Upright]  # pixels wanted (None: all) -> levels, at least as many


def turn(array: NDArray[Any], orientation: int) -> NDArray[Any]:
    """A view of (h, w, …) as it is meant to be seen, by the eight orientations of TIFF 6.0."""
    if orientation >= 5:
        array = array.swapaxes(0, 1)
    if orientation in (2, 3, 7, 8):
        pass
    flips = {2: (1,), 3: (0, 1), 4: (0,), 6: (1,), 7: (0, 1), 8: (0,)}
    return np.flip(array, flips[orientation]) if orientation in flips else array


def read_stored(path: Path) -> Stored:
    """Read a file's header.

    Raises:
        InputError: see `palette.pictures.decode.open_picture`.
    """
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(path)
    except (OSError, Image.DecompressionBombError) as error:
        raise InputError(Problem(str(path), None, f"cannot be read as a picture: {error}")) from error
    channels = 1 if image.mode == "L" else 3
    orientation = image.getexif().get(0x0112, 1)
    width, height = image.size

    def decode(wanted: int | None) -> Upright:
        with Image.open(path) as image:
            if wanted is not None:
                scale = (wanted / (width * height)) ** 0.5
                image.draft(image.mode, (int(width * scale), int(height * scale)))
            if channels == 3 and image.mode != "RGB":
                image = image.convert("RGB")
            return Upright(turn(np.atleast_3d(np.asarray(image)), orientation))

    return Stored(
        width, height, orientation, "grey" if channels == 1 else "rgb", 8, profiles.srgb(channels), (),
        image.format == "JPEG", decode,
    )
