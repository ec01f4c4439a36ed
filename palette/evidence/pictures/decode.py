"""A picture file as linear light: decoded once, turned upright, and converted only where it is asked for.

Linear light has sRGB primaries and a D65 white of 1 and is not clipped: a colour of a wider gamut has
components below 0 or above 1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import srgb_encode
from palette.evidence.pictures.blocks import sums
from palette.evidence.pictures.formats import read_stored
from palette.evidence.pictures.lost import unknown
from palette.evidence.pictures.profiles import Encoding
from palette.evidence.pictures.regions import Box, Mask
from palette.evidence.pictures.stored import Stored, Upright
from palette.notes import Note

Linear = NDArray[np.float32]

_GREY_TOLERANCE = 2.5 / 255  # JPEG rounds luma and chroma apart: equal channels come back within 2 levels
LUMA = np.array([0.299, 0.587, 0.114], dtype=np.float32)  # ITU-R BT.601
_STRIP = 1 << 20  # pixels converted at a time, so that a whole picture never stands in memory as floats


@dataclass(frozen=True)
class Picture:
    """An opened picture. Its pixels are decoded at the first question and kept as the file stores them.

    A box is (x0, y0, x1, y1) in whole pixels, half open, inside the picture as it is seen upright;
    None means all of it. Transparent pixels are NaN in every answer: they are no evidence.
    """

    file: Path
    stored: Stored = field(repr=False)

    @property
    def width(self) -> int:
        """Pixels across, after the orientation tag is applied."""
        return self.stored.height if self.stored.orientation >= 5 else self.stored.width

    @property
    def height(self) -> int:
        """Pixels down, after the orientation tag is applied."""
        return self.stored.width if self.stored.orientation >= 5 else self.stored.height

    @property
    def encoding(self) -> Encoding:
        """How the stored levels become light."""
        return self.stored.encoding

    @property
    def profile(self) -> str:
        """The name of the embedded profile, or 'sRGB (assumed)'."""
        return self.stored.encoding.name

    @property
    def bits(self) -> int:
        """Bits a channel in the file."""
        return self.stored.bits

    @property
    def notes(self) -> tuple[Note, ...]:
        """What a reader of the answer should know: a profile that was not used, a part that is missing."""
        gaps = self.stored.gaps()
        return self.stored.notes if gaps is None else (*self.stored.notes, gaps.note)

    @cached_property
    def _upright(self) -> Upright:
        upright = self.stored.decode(None)
        if (shape := upright.array.shape[:2]) != (self.height, self.width):
            said = f"it says that it is {self.width} × {self.height} pixels"
            raise unknown(self.file, f"{said}, and its image is {shape[1]} × {shape[0]}")
        return upright

    def _cut(self, box: Box | None) -> Upright:
        return self._upright if box is None else self._upright.cut(box)

    @cached_property
    def grey(self) -> bool:
        """Whether the file holds no colour: one channel, or channels that are equal but for rounding."""
        if self.stored.space == "grey":
            return True
        if self.stored.space != "rgb":
            return False
        if "_upright" in self.__dict__ and not _equal_channels(_spread_blocks(self._upright.array)):
            return False  # colour mostly shows at once
        array = self._small(1 << 18).array
        coarse = max(1, array.shape[0] // 256)
        return _equal_channels(array[::coarse]) and _equal_channels(array)

    def linear(self, box: Box | None = None) -> Linear:
        """Linear light (h, w, 3) of a box; NaN where the picture is transparent."""
        return self._convert(self._cut(box))

    def levels(self, box: Box | None = None) -> NDArray[np.float32]:
        """Encoded grey levels (h, w), 0 black to 1 white, as the file has them.

        A file with colour gives the BT.601 luma of its encoded values; files whose channels are no RGB
        (inks, CIELAB) that of their sRGB levels. NaN where the picture is transparent.
        """
        cut = self._cut(box)
        if self.stored.space == "grey":
            levels = cut.fractions()[..., 0]
        elif self.stored.space == "rgb":
            levels = cut.fractions() @ LUMA
        else:
            levels = (np.clip(srgb_encode(self._convert(cut)), 0.0, 1.0) @ LUMA).astype(np.float32)
        return cut.blank(levels)

    def clipped(self, box: Box | None = None) -> Mask:
        """Where a channel stands at an end of its range (h, w, 3): its true value is lost.

        The top counts from 254/255 on, since JPEG scatters a clipped white about its end. Inks, CIELAB
        and floating point files have no such end.
        """
        cut = self._cut(box)
        if self.stored.space not in ("grey", "rgb") or cut.array.dtype.kind == "f":
            return np.zeros((*cut.array.shape[:2], 3), dtype=bool)
        top = np.iinfo(cut.array.dtype).max
        ends = (cut.array == 0) | (cut.array >= top - top // 255)
        return np.array(np.broadcast_to(ends, (*ends.shape[:2], 3)))

    def opaque(self, box: Box | None = None) -> Mask:
        """Where the picture is no hole (h, w)."""
        return self._cut(box).opaque()

    def reduced(self, pixels: int = 1 << 18) -> Linear:
        """The whole picture in linear light, scaled down by averaging to at most about `pixels` pixels.

        A JPEG is decoded small (by halves, in its own transform), which costs a fraction of a full
        decoding; the rest of the way, neighbouring pixels are averaged in linear light. NaN where all
        of them are transparent. A picture that is small enough comes as it is.
        """
        small = self._small(pixels)
        height, width = small.array.shape[:2]
        step = max(1, math.ceil(math.sqrt(width * height / max(pixels, 1)) - 1e-9))
        if step == 1:
            return self._convert(small)
        rows = max(1, _STRIP // (width * step)) * step
        strips = [
            _average(self._convert(small.cut((0, top, width, min(top + rows, height)))), step)
            for top in range(0, height, rows)
        ]
        return np.concatenate(strips)

    def squeezed(self, side: int) -> Linear:
        """The whole picture as side × side cells in linear light, each by the mean of its stored levels."""
        from PIL import Image

        array = self._upright.array
        # Some rows do: with all their columns there are enough pixels to average grain and screens.
        rows = array[:: max(1, array.shape[0] // (8 * side))].astype(np.float32)
        cells = [
            np.asarray(Image.fromarray(rows[..., i]).resize((side, side), Image.Resampling.BOX))
            for i in range(array.shape[2])
        ]
        levels = np.stack(cells, axis=-1)
        return self.encoding.to_linear(
            (np.rint(levels) if array.dtype.kind == "u" else levels).astype(array.dtype)
        )

    def _small(self, pixels: int) -> Upright:
        # Even where all of it is decoded: to decode it small costs less than to average it.
        if self.stored.scalable and self.width * self.height > pixels:
            return self.stored.decode(pixels)
        return self._upright

    def _convert(self, part: Upright) -> Linear:
        """Stored levels to linear light, strip by strip."""
        height, width = part.array.shape[:2]
        out = np.empty((height, width, 3), dtype=np.float32)
        rows = max(1, _STRIP // max(width, 1))
        for top in range(0, height, rows):
            strip = part.array[top : top + rows]
            out[top : top + rows] = self.encoding.to_linear(strip)
        return part.blank(out)


def _spread_blocks(array: NDArray[Any]) -> NDArray[Any]:
    """Means of 8 × 8 pixels, which is what a JPEG decoded small holds, of one block in eight each way."""
    if min(array.shape[:2]) < 8 or array.dtype.kind != "u":
        return array[:0]
    blocks = np.lib.stride_tricks.sliding_window_view(array, (8, 8), axis=(0, 1))[::64, ::64]
    return np.asarray(np.rint(blocks.mean(axis=(-2, -1))), dtype=array.dtype)


def _equal_channels(array: NDArray[Any]) -> bool:
    """Whether the channels of (h, w, 3) levels are equal but for rounding."""
    unsigned = array.dtype.kind == "u"
    tolerance = _GREY_TOLERANCE * (np.iinfo(array.dtype).max if unsigned else 1.0)
    rows = max(1, _STRIP // max(array.shape[1], 1))
    for top in range(0, array.shape[0], rows):
        strip = array[top : top + rows].astype(np.int32 if unsigned else np.float32)
        for other in (1, 2):
            if (np.abs(strip[..., other] - strip[..., 0]) > tolerance).any():
                return False
    return True


def _average(linear: Linear, step: int) -> Linear:
    """Means of step × step blocks of (h, w, 3); the last block of a row or column may be smaller."""
    seen = np.isfinite(linear)
    whole = bool(seen.all())
    values = linear if whole else np.where(seen, linear, np.float32(0))
    total = sums(values, step)
    if whole:
        heights, widths = (np.diff(np.append(np.arange(0, s, step), s)) for s in linear.shape[:2])
        return np.asarray(total / (heights[:, None] * widths[None, :])[..., None], dtype=np.float32)
    count = sums(seen, step)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(count > 0, total / count, np.nan).astype(np.float32)


def open_picture(path: Path) -> Picture:
    """Read what a picture file says of itself; its pixels are decoded when they are asked for.

    Raises:
        InputError: no such file, a folder, an empty or damaged file, no picture, several pictures in
            one file, or more pixels than `guard.MOST_PIXELS`. A file that is cut off after its header
            raises when its pixels are asked for.
    """
    return Picture(Path(path), read_stored(Path(path)))


def thumbnail(path: Path, size: int) -> NDArray[np.uint8]:
    """A small upright copy in sRGB levels (h, w, 3), `size` pixels on its longer side or fewer.

    Wide-gamut colours are clipped to sRGB; transparent pixels are white.

    Raises:
        InputError: as `open_picture`.
    """
    picture = open_picture(path)
    scale = min(1.0, size / max(picture.width, picture.height))
    width, height = (max(1, round(side * scale)) for side in (picture.width, picture.height))
    return small_srgb(picture.reduced(4 * width * height), width, height)


def small_srgb(linear: Linear, width: int, height: int) -> NDArray[np.uint8]:
    """Linear light (h, w, 3) resampled in linear light to width × height, as sRGB levels; white where it is
    transparent."""
    small = resampled(np.where(np.isfinite(linear), linear, np.float32(1.0)), width, height)
    return np.rint(np.clip(srgb_encode(small), 0.0, 1.0) * 255).astype(np.uint8)


def resampled(linear: Linear, width: int, height: int) -> Linear:
    """Linear light (h, w, 3) resampled to width × height; NaN where most is transparent."""
    from PIL import Image

    if linear.shape[:2] == (height, width):
        return linear

    def sized(channel: NDArray[np.float32]) -> NDArray[np.float32]:
        image = Image.fromarray(np.ascontiguousarray(channel))
        return np.asarray(image.resize((width, height), Image.Resampling.LANCZOS))

    seen = np.isfinite(linear)
    filled = np.where(seen, linear, np.float32(1.0))
    small = np.stack([sized(channel) for channel in np.moveaxis(filled, -1, 0)], axis=-1)
    if not seen.all():
        small[sized(np.asarray(seen.all(axis=-1), np.float32)) < 0.5] = np.nan
    return small
