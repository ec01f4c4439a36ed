"""JPEG 2000 data (Rec. ITU-T T.800), and whether a piece of them is blank.

Its decoder reads blank data as a picture with less in it, and says nothing. A nought byte is the header of a
packet with nothing in it, so a plain picture has some in a row: never more than a tile has packets.
"""

from __future__ import annotations

import struct

_SIZE, _CODING, _TILE = b"\xff\x51", b"\xff\x52", b"\xff\x90"
_FEWEST = 64  # noughts in a row that mean something in any case


def damaged(raw: bytes) -> str | None:
    """What is wrong with a JPEG 2000 that decodes, or None.

    Args:
        raw: the whole file.
    """
    start = raw.find(b"\xff\x4f" + _SIZE)
    first = raw.find(_TILE, start)
    if start < 0 or first < 0:
        return None
    try:
        most = max(_FEWEST, _packets(raw[start:first]))
    except (struct.error, IndexError, ZeroDivisionError):
        return None
    return "a piece of the file is blank" if bytes(most + 1) in raw[first:] else None


def _packets(head: bytes) -> int:
    """The most packets that a tile can have, by the main header."""
    at = head.find(_SIZE) + 6
    width, height, left, top, across, down = struct.unpack(">6I", head[at : at + 24])
    parts = struct.unpack(">H", head[at + 32 : at + 34])[0]
    across, down = min(across, width - left), min(down, height - top)
    at = head.index(_CODING) + 4
    style, _, layers = struct.unpack(">BBH", head[at : at + 4])
    levels = head[at + 5]
    precincts = 0
    for level in range(levels + 1):  # the smallest first
        wide = head[at + 10 + level] if style & 1 else 0xFF
        columns, rows = (
            side // (1 << levels - level + step) + 2
            for side, step in ((across, wide & 15), (down, wide >> 4))
        )
        precincts += columns * rows if style & 1 else 1
    return int(layers * parts * precincts)
