"""A picture laid out for looking at any part of it at any size, without decoding it again.

Its levels, as stored, lie in a file of their own from which parts are mapped, not read; copies of half the
size, of a quarter and so on follow, each averaged in linear light. Files are named by the picture's content
and kept beside other cached things, up to `MOST_BYTES`; the ones not looked at for longest go.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
from dataclasses import dataclass
from functools import cache as once
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette import cache
from palette.colour.spaces import srgb_encode
from palette.evidence.pictures.decode import Linear, Picture, open_picture, small_srgb
from palette.evidence.pictures.regions import Box
from palette.evidence.pictures.stored import Upright
from palette.evidence.pictures.tiles import level_size, levels, tile_box

MOST_BYTES = 3 << 30
_STRIP = 512  # rows converted at a time; even
_FEW = 32  # the same where a table converts them: what is at work stays in the processor's cache


@dataclass(frozen=True)
class Pyramid:
    """One picture. Level 0 is one pixel, each level twice the one below, the last the picture itself."""

    picture: Picture  # its stored levels mapped from a file
    smaller: tuple[NDArray[np.uint8], ...]  # encoded sRGB (h, w, 3), half the size, a quarter …

    @property
    def levels(self) -> int:
        return levels(self.picture.width, self.picture.height)

    def tile(self, level: int, x: int, y: int) -> NDArray[np.uint8] | None:
        """Encoded sRGB (h, w, 3) of a tile; None where there is none."""
        box = tile_box(self.picture.width, self.picture.height, level, x, y)
        if box is None:
            return None
        return self.part(level, box)

    def part(self, level: int, box: Box) -> NDArray[np.uint8]:
        """Encoded sRGB (h, w, 3) of a box (x0, y0, x1, y1) of a level."""
        down = self.levels - 1 - level
        if down == 0:
            linear = self.picture.linear(box)
            return small_srgb(linear, linear.shape[1], linear.shape[0])
        return np.asarray(self.smaller[down - 1][box[1] : box[3], box[0] : box[2]])


def ready(path: Path) -> Pyramid | None:
    """The pyramid of a picture where it has been laid out before; None otherwise.

    Raises:
        InputError: as `open_picture`.
    """
    picture = open_picture(path)
    return _load(picture, _name(path))


def lay_out(path: Path) -> Pyramid:
    """The pyramid of a picture, laid out where it has not been yet: the picture is decoded once.

    Raises:
        InputError: as `open_picture`.
    """
    picture = open_picture(path)
    name = _name(path)
    pyramid = _load(picture, name)
    if pyramid is None:
        _make(picture, name)
        pyramid = _load(open_picture(path), name)
    if pyramid is None:  # nothing can be written: it is kept in memory
        pyramid = Pyramid(picture, tuple(_halved(picture)))
    return pyramid


def mapped(path: Path) -> Picture:
    """The picture, its levels mapped where it has been laid out, so that a region of it costs its own pixels
    only; as `open_picture` otherwise."""
    picture = open_picture(path)
    pyramid = _load(picture, _name(path))
    return picture if pyramid is None else pyramid.picture


def _name(path: Path) -> str:
    return cache.key("pyramid", cache.content(path))


@once
def _own_folder() -> Path:
    """Where nothing may be kept: a folder that goes with this process."""
    import atexit
    import shutil

    made = Path(tempfile.mkdtemp(prefix="palette-"))
    atexit.register(shutil.rmtree, made, True)
    return made


def _folder() -> Path:
    place = cache.folder()
    return _own_folder() if place is None else place / "pictures"


def _load(picture: Picture, name: str) -> Pyramid | None:
    folder = _folder()
    try:
        array = np.load(folder / f"{name}.levels.npy", mmap_mode="r")
        flat = np.load(folder / f"{name}.smaller.npy", mmap_mode="r")
        alpha_file = folder / f"{name}.alpha.npy"
        alpha = np.load(alpha_file, mmap_mode="r") if alpha_file.exists() else None
        with contextlib.suppress(OSError):
            os.utime(folder / f"{name}.levels.npy")
    except (OSError, ValueError):
        return None
    width, height = picture.width, picture.height
    if array.shape[:2] != (height, width) or array.ndim != 3 or flat.dtype != np.uint8:
        return None
    smaller, at = [], 0
    for level in range(levels(width, height) - 2, -1, -1):
        wide, high = level_size(width, height, level)
        size = wide * high * 3
        if at + size > len(flat):
            return None
        smaller.append(flat[at : at + size].reshape(high, wide, 3))
        at += size
    picture.__dict__["_upright"] = Upright(array, alpha)
    return Pyramid(picture, tuple(smaller))


def _make(picture: Picture, name: str) -> None:
    """Write a picture's files; where they cannot be written there are none."""
    folder = _folder()
    upright = picture._upright
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        smaller = np.concatenate([level.ravel() for level in _halved(picture)] or [np.zeros(0, np.uint8)])
        _write(folder / f"{name}.smaller.npy", smaller)
        if upright.alpha is not None:
            _write(folder / f"{name}.alpha.npy", upright.alpha)
        _write(folder / f"{name}.levels.npy", upright.array)  # last: with it all is there
        _make_room(folder)
    except OSError:
        return


def _write(path: Path, array: NDArray[np.generic]) -> None:
    handle, temporary = tempfile.mkstemp(prefix=".", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            np.save(stream, np.ascontiguousarray(array))
        os.replace(temporary, path)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise


def _make_room(folder: Path) -> None:
    pyramids = []
    for path in folder.glob("*.levels.npy"):
        with contextlib.suppress(OSError):
            status = path.stat()
            pyramids.append((status.st_mtime, int(status.st_size * 1.34), path))
    total = sum(size for _, size, _ in pyramids)
    for _, size, path in sorted(pyramids)[:-1]:
        if total <= MOST_BYTES:
            return
        stem = path.name.removesuffix(".levels.npy")
        for other in (path, path.with_name(f"{stem}.smaller.npy"), path.with_name(f"{stem}.alpha.npy")):
            with contextlib.suppress(OSError):
                other.unlink()
        total -= size


def _halved(picture: Picture) -> list[NDArray[np.uint8]]:
    """Copies of half the size, a quarter … down to one pixel, as encoded sRGB."""
    width, height = picture.width, picture.height
    out: list[NDArray[np.uint8]] = []
    if max(width, height) == 1:
        return out
    if _plain(picture):
        out.append(_half_encoded(picture._upright.array))
    else:
        strips = [
            _encoded(_half(picture.linear((0, top, width, min(height, top + _STRIP)))))
            for top in range(0, height, _STRIP)
        ]
        out.append(np.concatenate(strips))
    while max(out[-1].shape[:2]) > 1:
        out.append(_half_encoded(out[-1]))
    return out


def _plain(picture: Picture) -> bool:
    """Whether a picture holds 8-bit sRGB as it is shown, as most do: halved in a third of the time."""
    from palette.colour.spaces import srgb_decode

    upright = picture._upright
    if upright.alpha is not None or upright.array.dtype != np.uint8 or picture.stored.space != "rgb":
        return False
    ramps = np.zeros((3, 256, 3), dtype=np.uint8)
    for channel in range(3):
        ramps[channel, :, channel] = np.arange(256)
    return bool(np.allclose(picture.encoding.to_linear(ramps), srgb_decode(ramps / 255), atol=1e-5))


def _half_encoded(whole: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Encoded sRGB at half the size, averaged in linear light."""
    to_light, back = _tables()
    height, width = whole.shape[:2]
    out = np.empty(((height + 1) // 2, (width + 1) // 2, 3), dtype=np.uint8)
    for top in range(0, height, _FEW):
        light = np.take(to_light, _even(whole[top : top + _FEW]))
        rows = light[0::2] + light[1::2]
        pairs = rows.reshape(len(rows), -1, 2, 3)
        out[top // 2 : top // 2 + len(rows)] = np.take(back, pairs[:, :, 0] + pairs[:, :, 1])
    return out


@once
def _tables() -> tuple[NDArray[np.uint16], NDArray[np.uint8]]:
    """Encoded levels to linear light in 16383rds, so that four of them make a 16-bit number; and such a
    number back to the level of their mean."""
    from palette.colour.spaces import srgb_decode

    most = (1 << 14) - 1
    to_light = np.rint(srgb_decode(np.arange(256) / 255) * most).astype(np.uint16)
    back = np.rint(np.clip(srgb_encode(np.arange(4 * most + 1) / (4 * most)), 0, 1) * 255).astype(np.uint8)
    return to_light, back


def _even(array: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """With its last row or column twice where their number is odd."""
    rows, columns = array.shape[0] % 2, array.shape[1] % 2
    return np.pad(array, ((0, rows), (0, columns), (0, 0)), mode="edge") if rows or columns else array


def _half(linear: Linear) -> Linear:
    rows, columns = linear.shape[0] % 2, linear.shape[1] % 2
    if rows or columns:
        linear = np.pad(linear, ((0, rows), (0, columns), (0, 0)), mode="edge")
    linear = np.where(np.isfinite(linear), linear, np.float32(1.0))
    total = linear[0::2, 0::2] + linear[1::2, 0::2] + linear[0::2, 1::2] + linear[1::2, 1::2]
    return np.asarray(total / np.float32(4))


def _encoded(linear: Linear) -> NDArray[np.uint8]:
    levels = np.rint(np.clip(linear, 0.0, 1.0) * np.float32(65535)).astype(np.uint16)
    return np.asarray(np.take(_encoding(), levels))


@once
def _encoding() -> NDArray[np.uint8]:
    """Linear light in 65535ths to sRGB levels."""
    return np.rint(np.clip(srgb_encode(np.arange(65536) / 65535), 0, 1) * 255).astype(np.uint8)
