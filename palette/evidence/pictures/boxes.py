"""HEIC and AVIF (ISO/IEC 23008-12, 14496-12), and whether the data of their pictures are all there.

Their decoders conceal blank data with what stands beside them, and say nothing. What gives it away: data that
lie behind the end of the file, bytes that the coding never produces, and a decoder that is done before the
data are: whatever their end holds, the picture is the same.
"""

from __future__ import annotations

import io
import re
import struct
from collections.abc import Iterator
from typing import Any

_HEVC, _AV1 = b"hvc1", b"av01"
_NEVER = re.compile(rb"\0\0[\0-\2]")  # within a unit of HEVC: Rec. ITU-T H.265, 7.4.2.1
_BLANK = bytes(16)  # AV1's arithmetic code writes a few noughts in a row, on the plainest picture: measured
_END = 128  # bytes at the end of coded data that always tell something: a quarter of them did, measured
_CONTAINERS = (b"meta", b"iprp", b"ipco")


def damaged(raw: bytes) -> str | None:
    """What is wrong with the coded pictures of a file, or None.

    Args:
        raw: the whole file.
    """
    try:
        boxes = dict(_boxes(raw, 0, len(raw)))
        kinds = dict(_kinds(raw, *boxes[b"iinf"]))
        places = list(_places(raw, *boxes[b"iloc"]))
        size = (raw[boxes[b"hvcC"][0] + 21] & 3) + 1 if b"hvcC" in boxes else 4
    except (KeyError, IndexError, struct.error):
        return None  # put together in another way, which the decoder judges
    ends = []
    for item, extents in places:
        if kinds.get(item) not in (_HEVC, _AV1) or not extents:
            continue
        if any(start + length > len(raw) for start, length in extents):
            return "the file is cut off"
        data = b"".join(raw[start : start + length] for start, length in extents)
        if _blank_units(data, size) if kinds[item] == _HEVC else _BLANK in data:
            return "a piece of the file is blank or damaged"
        ends += [start + length for start, length in extents[-1:] if length > 8 * _END]
    other = bytearray(raw)
    for end in ends:
        other[end - _END : end] = bytes(byte ^ 0x55 for byte in raw[end - _END : end])
    if ends and (picture := _decoded(raw)) is not None and picture == _decoded(bytes(other)):
        return "its data go on behind the end of the picture"
    return None


def _decoded(raw: bytes) -> bytes | None:
    """The levels of a picture, or None."""
    import pillow_heif
    from PIL import Image

    try:
        if b"avif" in raw[8:32]:
            with Image.open(io.BytesIO(raw), formats=("AVIF",)) as image:
                return image.tobytes()
        heif: Any = pillow_heif.open_heif(io.BytesIO(raw), convert_hdr_to_8bit=False)
        return bytes(heif[heif.primary_index].data)
    except Exception:  # decoders raise nearly anything at a damaged file
        return None


def _boxes(raw: bytes, at: int, end: int) -> Iterator[tuple[bytes, tuple[int, int]]]:
    """Kind, and where the contents begin and end, of the boxes that matter."""
    while at + 8 <= end:
        size, kind = struct.unpack(">I4s", raw[at : at + 8])
        inner = at + 8
        if size == 1:
            size, inner = struct.unpack(">Q", raw[at + 8 : at + 16])[0], at + 16
        stop = end if size == 0 else min(end, at + size)
        if stop < inner:
            return
        yield kind, (inner, stop)
        if kind in _CONTAINERS:
            yield from _boxes(raw, inner + 4 * (kind == b"meta"), stop)
        at = stop


def _kinds(raw: bytes, at: int, end: int) -> Iterator[tuple[int, bytes]]:
    """Number and kind of each item."""
    at += 6 if raw[at] == 0 else 8
    for kind, (inner, _) in _boxes(raw, at, end):
        if kind == b"infe" and raw[inner] >= 2:
            wide = raw[inner] > 2
            number = int.from_bytes(raw[inner + 4 : inner + 6 + 2 * wide], "big")
            yield number, raw[inner + 8 + 2 * wide : inner + 12 + 2 * wide]


def _places(raw: bytes, at: int, end: int) -> Iterator[tuple[int, list[tuple[int, int]]]]:
    """Number of each item, and where its pieces are in the file; none where they lie elsewhere."""
    version, sizes = raw[at], struct.unpack(">H", raw[at + 4 : at + 6])[0]
    offset, length, base, index = (sizes >> shift & 15 for shift in (12, 8, 4, 0))
    at += 6

    def number(size: int) -> int:
        nonlocal at
        at += size
        if at > end:
            raise IndexError
        return int.from_bytes(raw[at - size : at], "big")

    for _ in range(number(4 if version == 2 else 2)):
        item = number(4 if version == 2 else 2)
        method = number(2) & 15 if version else 0
        elsewhere = number(2)
        start = number(base)
        extents = []
        for _ in range(number(2)):
            if version:
                number(index)
            first = start + number(offset)
            extents.append((first, number(length)))
        whole = len(extents) == 1 and extents[0][1] == 0  # to the end of the file
        yield item, [] if method or elsewhere or whole else extents


def _blank_units(data: bytes, size: int) -> bool:
    """Whether units of HEVC, each behind its length, hold what none can, or do not fill their item."""
    at = 0
    while at + size <= len(data):
        length = int.from_bytes(data[at : at + size], "big")
        at += size
        if not length or at + length > len(data) or _NEVER.search(data, at, at + length):
            return True
        at += length
    return at != len(data)
