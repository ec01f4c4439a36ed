"""JPEG data (ITU-T T.81) decoded, and what is missing of them.

libjpeg goes on over damaged data with grey or with garbage. What gives damage away: its own warnings, data
that end before the picture does or go on after it, and a long run of nought bytes, which a disk or a
download leaves where data never arrived.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.evidence.pictures.lost import WHY, Lost, lost, unknown
from palette.evidence.pictures.regions import Mask

_MARKER = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")  # within a scan: neither a stuffed byte nor a restart
_MOST_SCANS = 100  # passes over a picture; each takes its time, and none has more than a dozen or two
_NOUGHT = bytes(64)  # no sequential scan has so many of them, unless they are its code for "all the same"
_END = b"\xff\xd9"
_HARMLESS = re.compile("extraneous bytes before marker 0x(?!d[0-7])|Adobe|JFIF|Invalid SOS")
_AFTER_DATA = (
    0xC4,
    0xCC,
    0xD9,
    0xDA,
    0xDB,
    0xDC,
    0xDD,
    0xFE,
    *range(0xE0, 0xF0),
)  # markers that may follow them


@dataclass(frozen=True)
class _Scans:
    """Where the data of the first picture of a file lie."""

    first: int  # offset of the first scan's data
    end: int  # offset behind the last scan's data
    sequential: bool  # each row is decoded once and for all
    mcu: int  # rows of pixels that are decoded together
    whole: bool  # an end marker stands behind the data
    flat_code: bool  # a nought byte may be the code of nothing new
    arithmetic: bool  # its decoder takes whatever follows for data
    foreign: bool  # a marker stands amid the data, where none can be


class TooManyScans(ValueError):
    """A file that has been made to take for ever."""


def decode(raw: bytes, grey: bool, size: tuple[int, int] = (0, 0)) -> NDArray[Any] | None:
    """Levels (h, w, channels), at the least of libjpeg's scales that gives `size`, height and width, where
    that is given; None where the data are not whole, or of a kind for Pillow."""
    import simplejpeg

    kind, (height, width) = "GRAY" if grey else "RGB", size
    decoded = partial(simplejpeg.decode_jpeg, raw, kind, min_height=height, min_width=width)
    try:
        if not _scans(raw).whole:
            return None
        array = decoded()
    except TooManyScans:
        raise
    except ValueError as error:
        if not _HARMLESS.search(str(error)):
            return None
        array = decoded(strict=False)
    return np.atleast_3d(array)


def missing(path: Path, raw: bytes, orientation: int, decoded: bool) -> Lost | None:
    """What is missing of a JPEG; None where nothing is. `decoded` says that `decode` found nothing wrong.

    Raises:
        InputError: more is missing than is there, or it cannot be told what.
    """
    try:
        scans = _scans(raw)
    except TooManyScans as error:
        raise unknown(path, str(error)) from None
    except ValueError:
        raise unknown(path, "the picture is damaged or cut off") from None
    end = scans.end
    if (hole := _blank(raw, scans)) is not None:
        if not raw[hole:end].strip(b"\0"):
            return _rows(path, raw, scans, hole, orientation, "never written")
        return _rows(path, raw, scans, hole, orientation, "blank")
    warned = None if decoded else _warning(raw)
    if not scans.whole and not scans.foreign:
        return _rows(path, raw, scans, end, orientation, "cut off")
    if not scans.foreign and warned is None and not _left_over(raw, scans):
        return None
    short = 1 - _good_rows(raw, scans, end) if scans.sequential else 0.0
    how_much = (
        f"about {100 * short:.0f} % of its data are missing" if short > 0.005 else "its data are damaged"
    )
    raise unknown(path, f"{how_much}, and nobody can tell where in the picture")


def _rows(path: Path, raw: bytes, scans: _Scans, end: int, orientation: int, why: str) -> Lost | None:
    """What is missing where the data are good up to an offset."""
    if not scans.sequential:
        raise unknown(path, f"{WHY[why]}, and as it was saved in passes none of the picture is sharp")
    mask = _mask(raw, scans, end)
    return lost(path, mask, orientation, why)


def _mask(raw: bytes, scans: _Scans, end: int) -> Mask:
    """Rows that the data up to an offset say nothing of: what is put behind them shows there."""
    one, other = (loose(raw[:end].rstrip(b"\xff") + more + _END) for more in (b"", 200 * b"\x55\x2a"))
    differ = np.flatnonzero((one != other).any(axis=(1, 2)))
    missing = np.zeros(one.shape[:2], dtype=bool)
    if differ.size:
        missing[int(differ[0]) // scans.mcu * scans.mcu :] = True
    return missing


def _good_rows(raw: bytes, scans: _Scans, end: int) -> float:
    """The share of rows that data up to an offset suffice for."""
    return 1.0 - float(_mask(raw, scans, end).mean())


def loose(raw: bytes) -> NDArray[np.uint8]:
    """Levels (h, w, channels) of whatever there is."""
    import simplejpeg

    return np.atleast_3d(simplejpeg.decode_jpeg(raw, _kind(raw), strict=False))


def _kind(raw: bytes) -> str:
    import simplejpeg

    kind = simplejpeg.decode_jpeg_header(raw, strict=False)[2]
    return {"Gray": "GRAY", "CMYK": "CMYK", "YCCK": "CMYK"}.get(kind, "RGB")


def breaks_off(raw: bytes) -> bool:
    """Whether a file ends without saying so: perhaps only its last two bytes are missing."""
    try:
        return not _scans(raw).whole
    except ValueError:
        return False


def intact(raw: bytes) -> bool:
    """Whether the data of a part of a picture are as they were written, where libjpeg decodes them at all."""
    try:
        scans = _scans(raw)
        if scans.foreign or _blank(raw, scans) is not None or _warning(raw) is not None:
            return False
        return not _left_over(raw, scans)
    except TooManyScans:
        return False
    except ValueError:
        return True  # of another kind, which another decoder judges


def _warning(raw: bytes) -> str | None:
    """What libjpeg says of the data, decoded at an eighth of their size, which is quickest."""
    import simplejpeg

    kind = _kind(raw)
    height, width, *_ = simplejpeg.decode_jpeg_header(raw, strict=False)
    try:
        simplejpeg.decode_jpeg(raw, kind, min_height=math.ceil(height / 8), min_width=math.ceil(width / 8))
    except ValueError as error:
        return None if _HARMLESS.search(str(error)) else str(error)
    return None


def _blank(raw: bytes, scans: _Scans) -> int | None:
    """Where a piece of the data is blank, or None."""
    if not scans.sequential or scans.flat_code:
        return None
    hole = raw.find(_NOUGHT, scans.first, scans.end)
    return hole if hole >= 0 else None


def _left_over(raw: bytes, scans: _Scans) -> bool:
    """Whether there are data behind the picture's last pixel: without the last bytes it must come short.

    Nought bytes and ones behind the data are padding, which some programs leave.
    """
    end = scans.first + len(raw[scans.first : scans.end].rstrip(b"\0\xff"))
    if not scans.sequential or scans.arithmetic or end - scans.first < 16:
        return False
    last = raw[: end - 3].rstrip(b"\xff")
    return _warning(last + _END) is None


def _scans(raw: bytes) -> _Scans:
    """Find the data of the first picture of a file.

    Raises:
        ValueError: its segments do not follow each other; it has no data; there are too many scans.
    """
    at, first, count, sequential, parts, mcu = 2, 0, 0, True, 0, 8
    tables: dict[int, bytes] = {}
    end, whole, foreign, arithmetic = len(raw), False, False, False
    while (marker := raw.find(b"\xff", at)) >= 0 and marker + 1 < len(raw):
        kind = raw[marker + 1]
        if count and (marker > at or kind not in (0xFF, *_AFTER_DATA)):
            foreign = True
            break
        if kind == 0xFF:
            at = marker + 1
            continue
        if kind == 0xD9 and count:
            end, whole = marker, True
            break
        if kind in (0, 1) or 0xD0 <= kind <= 0xD9:
            at = marker + 2
            continue
        length = int.from_bytes(raw[marker + 2 : marker + 4], "big")
        body = raw[marker + 4 : marker + 2 + length]
        at = marker + 2 + max(length, 2)
        if 0xC0 <= kind <= 0xCF and kind not in (0xC4, 0xC8, 0xCC) and len(body) > 5:
            sequential, parts, arithmetic = kind in (0xC0, 0xC1, 0xC9), body[5], kind >= 0xC9
            mcu = 8 * max([part & 15 for part in body[7::3]] or [1])
        elif kind == 0xC4:
            tables |= _codes(body)
        elif kind == 0xDA:
            count += 1
            if count > _MOST_SCANS:
                raise TooManyScans(f"it was saved in more than {_MOST_SCANS} passes")
            first = first or at
            sequential &= body[:1] == bytes([parts])
            following = _MARKER.search(raw, at)
            if following is None:
                break
            at = following.start()
    foreign |= bool(count) and at > len(raw)  # a segment that is longer than what is left
    if not count or first >= end:
        raise ValueError("there are no data")
    flat = bool(tables) and all(symbol in (b"\0", b"") for symbol in tables.values())
    return _Scans(first, end, sequential, mcu, whole, flat, arithmetic, foreign)


def _codes(body: bytes) -> dict[int, bytes]:
    """The symbol of the code of noughts alone in each Huffman table of a segment; 0 says nothing is new."""
    symbols = {}
    while len(body) >= 17:
        total = sum(body[1:17])
        symbols[body[0]] = body[17:18] if total else b""
        body = body[17 + total :]
    return symbols
