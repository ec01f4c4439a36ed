"""JPEG 2000 data (Rec. ITU-T T.800), and whether all of them are there.

Its decoder reads on through blank or foreign bytes and says nothing. What gives them away: parts of tiles,
and packets within them, that do not end where the next begins; a pair of bytes that stands for a marker; and
noughts in a row where an arithmetic code stands. Other bytes in such a code are other colours, which nobody
can tell.
"""

from __future__ import annotations

import re
import struct

from palette.evidence.pictures.packets import Broken, Coding, Component, TooMany, pieces

_START, _SIZE, _CODING, _COMPONENT, _TILE, _DATA, _END = (0x4F, 0x51, 0x52, 0x53, 0x90, 0x93, 0xD9)
_TILE_HEAD = 12  # bytes
# Another order midway, and headers that stand elsewhere.
_OTHER_ORDER, _HEADERS_AHEAD, _HEADERS_APART = 0x5F, 0x60, 0x61
_KNOWN_ORDERS = 5  # of packets
_BYPASS = 1  # a style of code blocks: bits that are not coded, where noughts in a row may be
_ODD_STYLES = 0xC0  # those of Part 15
_NEVER = re.compile(rb"\xff[\x90-\xff]")  # within a code block; some encoders part the two by its end
_BLANK = bytes(16)  # the arithmetic code writes a few noughts in a row on the plainest picture: measured
_CUT_OFF = "the file is cut off"
_DAMAGED = "a piece of the file is damaged"

_Segments = dict[int, list[bytes]]


class _CutOff(ValueError):
    """The file ends within a part."""


def damaged(raw: bytes) -> str | None:
    """What is wrong with a JPEG 2000 that decodes, or None.

    Args:
        raw: the whole file.
    """
    start = raw.find(bytes([0xFF, _START, 0xFF, _SIZE]))
    try:
        head, first = _segments(raw, start + 2)
        tiles = _tiles(raw, first)
        areas = _areas(head[_SIZE][0])
        if not tiles.keys() <= areas.keys() <= tiles.keys():
            return _DAMAGED
        if {_OTHER_ORDER, _HEADERS_AHEAD} & head.keys():
            return None
        for number, data in tiles.items():
            if data is not None and (what := _tile(data, _coding(head, areas[number]))):
                return what
    except _CutOff:
        return _CUT_OFF
    except (struct.error, IndexError, KeyError, ZeroDivisionError, Broken):
        return _DAMAGED
    except TooMany:
        return None
    return None


def _tile(data: bytes, coding: Coding | None) -> str | None:
    """What is wrong with a tile's data, or None."""
    if coding is None:
        return None
    coded = not any(part.style & _BYPASS for part in coding.components)
    for at, end in pieces(data, coding):
        if coded and _BLANK in data[at:end]:
            return "a piece of the file is blank"
        if _NEVER.search(data, at, end):
            return _DAMAGED
    return None


def _segments(raw: bytes, at: int) -> tuple[_Segments, int]:
    """What stands in a header, by marker, and the offset of the marker behind it."""
    found: _Segments = {}
    while True:
        mark, kind, length = struct.unpack(">BBH", raw[at : at + 4])
        if kind in (_TILE, _DATA):
            return found, at
        if mark != 0xFF or length < 2:
            raise IndexError
        found.setdefault(kind, []).append(raw[at + 4 : at + 2 + length])
        at += 2 + length


def _tiles(raw: bytes, at: int) -> dict[int, bytes | None]:
    """The data of each tile; None where it is coded in a way of its own."""
    parts: dict[int, list[bytes] | None] = {}
    while raw[at : at + 2] == bytes([0xFF, _TILE]):
        number, size = struct.unpack(">HI", raw[at + 4 : at + 10])
        end = at + size
        if not size:  # up to the end
            end = raw.rfind(bytes([0xFF, _END]))
        if end > len(raw):
            raise _CutOff
        head, body = _segments(raw, at + _TILE_HEAD)
        if body + 2 > end:
            raise IndexError
        if head.keys() & {_CODING, _COMPONENT, _OTHER_ORDER, _HEADERS_APART}:
            parts[number] = None
        elif (known := parts.setdefault(number, [])) is not None:
            known.append(raw[body + 2 : end])
        at = end
    if raw[at : at + 2] not in (bytes([0xFF, _END]), b""):
        raise IndexError
    return {number: None if data is None else b"".join(data) for number, data in parts.items()}


def _areas(size: bytes) -> dict[int, tuple[int, int, int, int]]:
    """Each tile's place on the reference grid: left, top, right, bottom."""
    right, bottom, left, top, wide, tall, x, y = struct.unpack(">8I", size[2:34])
    across, down = -(-(right - x) // wide), -(-(bottom - y) // tall)
    if across * down > 0xFFFF:
        raise IndexError
    return {
        row * across + column: (
            max(x + column * wide, left),
            max(y + row * tall, top),
            min(x + (column + 1) * wide, right),
            min(y + (row + 1) * tall, bottom),
        )
        for row in range(down)
        for column in range(across)
    }


def _coding(head: _Segments, area: tuple[int, int, int, int]) -> Coding | None:
    """How a tile is coded; None where it is in a way that is not known here."""
    size, (flags, order, layers) = head[_SIZE][0], struct.unpack(">BBH", head[_CODING][0][:4])
    count = struct.unpack(">H", size[34:36])[0]
    ways = [(head[_CODING][0][5:], flags & 1)] * count
    wide = 1 if count < 257 else 2
    for other in head.get(_COMPONENT, ()):
        ways[int.from_bytes(other[:wide], "big")] = (other[wide + 1 :], other[wide] & 1)
    parts = []
    for i, (way, own) in enumerate(ways):
        levels, across, down, style = way[:4]
        sides = [(way[5 + r] & 15, way[5 + r] >> 4) if own else (15, 15) for r in range(levels + 1)]
        steps = size[37 + 3 * i], size[38 + 3 * i]
        parts.append(Component(steps, levels, (across + 2, down + 2), style, tuple(sides)))
    if order >= _KNOWN_ORDERS or any(part.style & _ODD_STYLES for part in parts):
        return None
    return Coding(area, order, layers, bool(flags & 2), bool(flags & 4), tuple(parts))
