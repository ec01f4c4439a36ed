"""TIFF files (TIFF 6.0 and BigTIFF), through tifffile, and what is missing of them."""

from __future__ import annotations

import io
import logging
import struct
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from palette.evidence.pictures import jpeg, jpeg2000, profiles, webp
from palette.evidence.pictures.guard import (
    ORIENTATION,
    check_size,
    one_of_many,
    problem,
    reading,
    to_full_range,
)
from palette.evidence.pictures.lost import Lost, described, lost, unknown
from palette.evidence.pictures.notes import FloatsUnprofiled, LevelsLeftOut, PartMissing
from palette.evidence.pictures.stored import Stored, Upright, turn

_RAW = "it is a camera's raw file"
_DEVELOP = "develop it first and save a 16-bit TIFF"
_SAVE_TIFF = "save it as a 16-bit TIFF in RGB or grey"
_SPACES = {0: "grey", 1: "grey", 2: "rgb", 3: "rgb", 5: "inks", 6: "rgb", 8: "lab", 9: "lab"}  # photometric


def _whole_2000(data: bytes) -> bool:
    return jpeg2000.damaged(data) is None


def _whole_webp(data: bytes) -> bool:
    return webp.damaged(data) is None


_JUDGES: dict[int, Callable[[bytes], bool]] = {  # by compression
    7: jpeg.intact,
    **dict.fromkeys((33003, 33004, 33005, 34712), _whole_2000),
    50001: _whole_webp,
}
_CUT_OFF = "data cut off"
_MOST_DIRECTORIES = 1000
_PLAIN = 0.1  # of what one colour is when it is not compressed: it takes less than that
_LEAST, _LARGEST, _BRIGHTEST = -0.5, 1.25, 1.05  # of a floating point channel; of the mean of three
_SLIPS = 0.01  # share of pixels that may lie outside


def read_tiff(path: Path) -> Stored:
    """Read a file's header; see `palette.evidence.pictures.decode.open_picture`."""
    import tifffile

    logging.getLogger("tifffile").setLevel(logging.CRITICAL)  # its warnings would stand among our answers
    _follow(path)
    with tifffile.TiffFile(path) as tiff:
        pages = [i for i, page in enumerate(tiff.pages) if not page.aspage().subfiletype & 0b101]
        if not pages:
            raise problem(path, _RAW, _DEVELOP)
        page = tiff.pages[pages[0]].aspage()
        if 50706 in page.tags or page.photometric in (32803, 34892):  # DNG; CFA and linear raw
            raise problem(path, _RAW, _DEVELOP)
        if len(pages) > 1:
            raise one_of_many(path, len(pages))
        width, height = int(page.imagewidth), int(page.imagelength)
        bits = max(np.atleast_1d(page.bitspersample).tolist())
        check_size(path, width, height, _bytes_a_pixel(page, bits))
        if page.imagedepth > 1:
            raise one_of_many(path, int(page.imagedepth))
        orientation = int(page.tags.valueof(ORIENTATION, 1))
        orientation = orientation if 1 <= orientation <= 8 else 1
        floats = int(np.atleast_1d(page.sampleformat)[0]) == 3
        photometric = int(page.photometric)
        space = _SPACES.get(photometric)
        channels = {"grey": 1, "inks": 4}.get(space or "", 3)
        if space is None or int(np.atleast_1d(page.sampleformat)[0]) not in (1, 3, 4):
            raise problem(path, "its kind of levels is not read", _SAVE_TIFF)
        if photometric != 3 and page.samplesperpixel < channels:
            raise problem(path, f"it has {page.samplesperpixel} channels", _SAVE_TIFF)
        if space == "lab" and (floats or bits not in (8, 16)):
            raise problem(path, "its kind of CIELAB levels is not read", _SAVE_TIFF)
        if photometric == 6 and page.compression != 7:  # chroma is spread by the JPEG decoder only
            data = _Data.of(page, path)
            if data.bad.any() and (gone := lost(path, data.missing(), orientation, _CUT_OFF)):
                assert isinstance(gone.note, PartMissing)
                raise unknown(path, described(gone.note))
            return _through_libtiff(path, width, height, orientation, page.iccprofile)
        encoding, notes = profiles.encoding(space, page.iccprofile)
        if floats and encoding.name == profiles.ASSUMED:
            notes = (*notes, FloatsUnprofiled())
        alpha = next((i for i, kind in enumerate(page.extrasamples) if int(kind) in (1, 2)), None)
        premultiplied = alpha is not None and int(page.extrasamples[alpha]) == 1
        data = _Data.of(page, path)

    @cache
    def cut() -> tuple[_Data, Lost | None]:
        with reading(path):
            remains = data.warned(path)
            if remains.bad.all() and not remains.rows.any():
                there = np.clip(path.stat().st_size - remains.offsets, 0, remains.counts).sum()
                short = 100 * (1 - there / max(1, remains.counts.sum()))
                if short < 0.5:
                    raise unknown(path, "its data are damaged, and nobody can tell where")
                raise unknown(
                    path, f"{short:.0f} % of its data are missing, and without them none can be read"
                )
            return remains, lost(
                path, remains.missing(), orientation, _CUT_OFF
            ) if remains.bad.any() else None

    odd: list[Lost] = []  # levels of a floating point file that are none, once it has been decoded

    def decode(_wanted: int | None) -> Upright:
        known, gone = cut()
        with reading(path), known.opened(path) as stream, tifffile.TiffFile(stream) as tiff:
            page = tiff.pages[pages[0]].aspage()
            known.mend(page)
            # Read one by one: tifffile 2026.3 takes pieces on both sides of a missing one for neighbours.
            array = page.asarray(buffersize=0) if known.bad.any() else page.asarray()
            if page.planarconfig == 2 and array.ndim == 3:
                array = np.moveaxis(array, 0, -1)
            if array.ndim == 2:
                array = array[..., None]
            if array.shape[:2] != (height, width):
                raise ValueError("its size is not what its header says")
            if photometric == 3:
                array = _painted(path, array[..., 0], np.asarray(page.colormap))
            elif space == "lab":
                array = _lab_fractions(array[..., :3], photometric)
            else:
                array = _plain_levels(array, bits)
        levels, hole = array[..., :channels], None
        if alpha is not None and channels + alpha < array.shape[-1]:
            hole = array[..., channels + alpha]
            if premultiplied:
                levels, hole = _divided(levels, hole)
        if gone is not None:
            hole = gone.hole(levels.dtype, hole)
        if floats:
            odd[:] = _within(path, levels, hole)
        if photometric == 0:
            levels = (1 if levels.dtype.kind == "f" else np.iinfo(levels.dtype).max) - levels
        return Upright(turn(levels, orientation), None if hole is None else turn(hole, orientation))

    @cache
    def gaps() -> Lost | None:
        if floats and not odd:
            decode(None)
        gone = cut()[1]
        return gone or next(iter(odd), None)

    return Stored("TIFF", width, height, orientation, space, bits, encoding, notes, decode, gaps=gaps)


def _follow(path: Path) -> None:
    """Follow the file's directories, which tifffile does for ever where they point in a circle.

    Raises:
        InputError: they do, or there are more than any picture has.
    """
    size = path.stat().st_size
    with path.open("rb") as stream:
        start = stream.read(16)
        order = "<" if start[:2] == b"II" else ">"
        big = start[2:4] in (b"+\0", b"\0+")
        count, step, pointer = ("Q", 20, "Q") if big else ("H", 12, "I")
        at = struct.unpack(order + pointer, start[8:16] if big else start[4:8])[0]
        seen: set[int] = set()
        while at and at < size:
            if at in seen:
                raise unknown(path, "its directories point in a circle")
            if len(seen) >= _MOST_DIRECTORIES:
                raise one_of_many(path, None)
            seen.add(at)
            stream.seek(at)
            head = stream.read(struct.calcsize(count))
            if len(head) < struct.calcsize(count):
                return
            stream.seek(struct.unpack(order + count, head)[0] * step, 1)
            following = stream.read(struct.calcsize(pointer))
            if len(following) < struct.calcsize(pointer):
                return
            at = struct.unpack(order + pointer, following)[0]


def _bytes_a_pixel(page: Any, bits: int) -> float:
    """Bytes that a pixel takes once it is decoded and, where it must be, divided by its alpha."""
    channels = max(int(page.samplesperpixel), 3 if int(page.photometric) == 3 else 1)
    divided = any(int(kind) == 1 for kind in page.extrasamples)
    return channels * (8 if divided else max(1, bits / 8))


@dataclass(frozen=True)
class _Data:
    """Where the strips or tiles of a picture lie in its file, and which of them are not there."""

    width: int
    height: int
    across: int  # tiles across
    down: int
    tile: tuple[int, int]  # rows and columns of one
    offsets: NDArray[np.int64]  # of as many as there should be, plane by plane
    counts: NDArray[np.int64]
    bad: NDArray[np.bool_]
    rows: NDArray[np.int64]  # of each that are there
    plain: bool  # not compressed
    tables: bytes  # of JPEG
    whole: Callable[[bytes], bool] | None  # whether the data of one that a decoder reads without a word are

    @classmethod
    def of(cls, page: Any, path: Path) -> _Data:
        """As the directory of a file has them.

        Raises:
            ValueError: most of them are not even named.
            InputError: they lie over each other.
        """
        size = path.stat().st_size
        width, height = int(page.imagewidth), int(page.imagelength)
        rows, columns = int(page.rowsperstrip or height), width
        if page.is_tiled:
            rows, columns = int(page.tilelength), int(page.tilewidth)
        rows, columns = min(rows, height) if not page.is_tiled else rows, columns
        across, down = -(-width // columns), -(-height // rows)
        planes = int(page.samplesperpixel) if page.planarconfig == 2 else 1
        needed = across * down * planes
        if needed > 2 * len(page.dataoffsets):
            raise ValueError("most of the picture's data are not named")
        offsets, counts = np.zeros(needed, np.int64), np.zeros(needed, np.int64)
        for place, given in ((offsets, page.dataoffsets), (counts, page.databytecounts)):
            known = np.array(given[:needed], dtype=np.float64).clip(0, 2**62).astype(np.int64)
            place[: len(known)] = known
        plain = int(page.compression) == 1
        samples = 1 if page.planarconfig == 2 else int(page.samplesperpixel)
        whole_piece = rows * columns * samples * max(np.atleast_1d(page.bitspersample).tolist()) // 8
        if _overlap(offsets, counts, whole_piece, plain):
            raise unknown(path, "pieces of its data lie over each other")
        there = np.clip(size - offsets, 0, counts)
        bad = (offsets <= 0) | (there < np.maximum(counts, 1))
        whole = np.minimum(rows, height - np.arange(needed) // across % down * rows)
        kept = np.zeros(needed, np.int64)
        if plain and columns >= width:  # the rows before the end of the file are good
            kept = np.where(offsets > 0, whole * there // np.maximum(counts, 1), 0)
        kept = np.where(bad, kept, whole)
        tables, judge = page.jpegtables or b"", _JUDGES.get(int(page.compression))
        return cls(
            width, height, across, down, (rows, columns), offsets, counts, bad, kept, plain, tables, judge
        )

    def warned(self, path: Path) -> _Data:
        """These, without the strips or tiles that are damaged, where their decoder says nothing of it."""
        if self.whole is None:
            return self
        bad = self.bad.copy()
        with path.open("rb") as stream:
            for i in np.flatnonzero(~bad).tolist():
                stream.seek(int(self.offsets[i]))
                data = stream.read(int(self.counts[i]))
                if self.tables:
                    data = self.tables[:-2] + data[2:]
                bad[i] = not self.whole(data)
        return replace(self, bad=bad, rows=np.where(bad, 0, self.rows))

    def missing(self) -> NDArray[np.bool_]:
        """Which pixels (h, w) are not there."""
        gone = np.zeros((self.height, self.width), dtype=bool)
        tall, wide = self.tile
        for i in np.flatnonzero(self.bad).tolist():
            top, left = i // self.across % self.down * tall, i % self.across * wide
            gone[top + int(self.rows[i]) : top + tall, left : left + wide] = True
        return gone

    def opened(self, path: Path) -> BinaryIO:
        """The file, with noughts behind it where rows that are there end amid a strip."""
        if not (self.bad & (self.rows > 0)).any():
            return path.open("rb")
        raw = path.read_bytes()
        end = int((self.offsets + self.counts)[self.rows > 0].max())
        if end > len(raw) + 8 * self.width * self.height * 16:
            raise ValueError("its data are longer than its pixels")
        return io.BytesIO(raw.ljust(end, b"\0"))

    def mend(self, page: Any) -> None:
        """Let a page know which of its data are there."""
        if self.bad.any():
            page.dataoffsets = tuple(self.offsets.tolist())
            page.databytecounts = tuple(np.where(self.rows > 0, self.counts, 0).tolist())


def _overlap(offsets: NDArray[np.int64], counts: NDArray[np.int64], decoded: int, plain: bool) -> bool:
    """Whether pieces of a picture lie over each other in the file.

    Counts may be too large, against the standard, and plain pieces may share their data. So what counts is
    what begins within the levels of another, or is the same and more than one plain colour.

    Args:
        offsets, counts: (n,) of each piece.
        decoded: bytes of a whole piece.
        plain: whether they are not compressed.
    """
    known = np.flatnonzero((offsets > 0) & (counts > 0))
    order = known[np.argsort(offsets[known], kind="stable")]
    apart = np.diff(offsets[order])
    if plain:
        return bool((apart < np.minimum(counts[order][:-1], decoded)).any())
    return bool(((apart == 0) & (counts[order][:-1] > decoded * _PLAIN)).any())


def _through_libtiff(path: Path, width: int, height: int, orientation: int, icc: bytes | None) -> Stored:
    from PIL import Image

    encoding, notes = profiles.encoding("rgb", icc)

    def decode(_wanted: int | None) -> Upright:
        with reading(path), Image.open(path, formats=("TIFF",)) as image:
            return Upright(turn(np.asarray(image.convert("RGB")), orientation))

    return Stored("TIFF", width, height, orientation, "rgb", 8, encoding, notes, decode)


def _painted(path: Path, indices: NDArray[Any], colours: NDArray[Any]) -> NDArray[Any]:
    """Indices through a TIFF colour map of 16 bits: all its reds, then its greens, then its blues."""
    entries = colours.size // 3
    if not entries or colours.size != 3 * entries or int(indices.max(initial=0)) >= entries:
        what = (
            f"its colour map has {entries} entries, and its pixels ask for {int(indices.max(initial=0)) + 1}"
        )
        raise problem(path, what, _SAVE_TIFF)
    table = np.ascontiguousarray(colours.reshape(3, entries).T)
    if not (table & 255).any():  # levels of 8 bits, moved up …
        table = (table >> 8) * np.uint16(257)
    elif table.max() < 256:  # … or, against the standard, not
        table = table * np.uint16(257)
    return np.asarray(table.astype(np.uint16)[indices])


def _plain_levels(array: NDArray[Any], bits: int) -> NDArray[Any]:
    """Unsigned 8 or 16 bits, or 32-bit floats, in the machine's byte order."""
    if array.dtype.kind == "f":
        with np.errstate(over="ignore", invalid="ignore"):
            return array.astype(np.float32)
    if array.dtype == bool:
        return array.astype(np.uint8) * np.uint8(255)
    if array.dtype.itemsize > 2:
        return (array / np.iinfo(array.dtype).max).astype(np.float32)
    native = array.astype(array.dtype.newbyteorder("="), copy=False)
    return to_full_range(native, bits if bits <= 16 else 8 * array.dtype.itemsize)


def _within(path: Path, levels: NDArray[np.float32], hole: NDArray[Any] | None) -> list[Lost]:
    """Floating point levels that no surface has become holes, in place; what is said of them.

    A colour of a wide gamut has channels a little below 0 or above 1, but none is brighter than white.

    Raises:
        InputError: there are too many of them for slips: the levels are on another scale.
    """
    seen = np.ones(levels.shape[:2], dtype=bool) if hole is None else hole >= 0.5
    numbers = np.isfinite(levels).all(axis=-1)
    if not (seen & numbers).any():
        raise problem(path, "none of its levels is a number", "save it anew")
    with np.errstate(invalid="ignore"):
        wide = (levels < _LEAST).any(axis=-1) | (levels > _LARGEST).any(axis=-1)
        wide |= levels.mean(axis=-1) > _BRIGHTEST
    wide &= seen & numbers
    if wide.sum() > _SLIPS * (seen & numbers).sum():
        own = levels[seen & numbers]
        what = f"its floating point levels go from {own.min():.3g} to {own.max():.3g}"
        raise problem(path, what, "scale them so that black is 0 and white is 1")
    odd = seen & (wide | ~numbers)
    levels[odd] = np.nan
    if not odd.any():
        return []
    return [Lost(odd, LevelsLeftOut(int(odd.sum()), float(odd.mean())))]


def _lab_fractions(array: NDArray[Any], photometric: int) -> NDArray[np.float32]:
    """CIELAB as `profiles.LabEncoding` wants it, from TIFF's CIELab (8, a* and b* signed) or ICCLab (9)."""
    half = 1 << (8 * array.dtype.itemsize - 1)
    wide = array.astype(np.float32)
    if photometric == 8:
        wide[..., 1:] = array[..., 1:].astype(np.int32) ^ half
    if array.dtype.itemsize == 1:
        return wide / np.float32(255)
    top = 65535.0 if photometric == 8 else 65280.0  # ICC's 16-bit lightness ends at FF00
    return np.asarray(wide / np.array([top, 256 * 255, 256 * 255]), dtype=np.float32)


def _divided(levels: NDArray[Any], alpha: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Levels that were multiplied by alpha, set free of it, as floats."""
    top = 1.0 if levels.dtype.kind == "f" else float(np.iinfo(levels.dtype).max)
    cover = (alpha / top).astype(np.float32)
    return (levels / top / np.maximum(cover, 1e-6)[..., None]).astype(np.float32), cover
