"""PNG data (ISO/IEC 15948), and what is missing of them.

Decoders fill rows that never arrived with black and do not look at the checksums of the data; here both
count. What is above the first damaged byte is good, since the rows are packed in one stream.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from palette.evidence.pictures.lost import WHY, Lost, lost, unknown

_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}  # by colour type
_PIECE = 1 << 20  # bytes unpacked at a time
_SIGNATURE = 8
_BLANK = bytes(64)


def chunks(raw: bytes) -> Iterator[tuple[bytes, bytes, bool]]:
    """The chunks of a PNG: kind, data, whether all of it is there with the right checksum."""
    at = _SIGNATURE
    while at + 8 <= len(raw):
        length, kind = struct.unpack(">I4s", raw[at : at + 8])
        data = raw[at + 8 : at + 8 + length]
        intact = raw[at + 8 + length : at + 12 + length] == struct.pack(">I", zlib.crc32(kind + data))
        yield kind, data, intact
        at += 12 + length
        if kind == b"IEND":
            return


def intact(raw: bytes) -> bool:
    """Whether every chunk of a PNG arrived as it was written, the last one too."""
    kind = b""
    for kind, _, whole in chunks(raw):  # noqa: B007 - the last one is asked for below
        if not whole:
            return False
    return kind == b"IEND"


def missing(path: Path, raw: bytes, orientation: int) -> tuple[Lost | None, bytes]:
    """What is missing of a PNG, None where nothing is; and a PNG with black in its place.

    Raises:
        InputError: more is missing than is there, or it cannot be told what.
    """
    head, stream, damaged = b"", [], False
    before: list[bytes] = []
    cut = True
    for kind, data, whole in chunks(raw):
        cut = kind != b"IEND"
        if kind == b"IHDR":
            head = data
        if kind == b"IDAT":
            if not damaged:  # what came before the end of the file, or before a blank, is good
                blank = -1 if whole else data.find(_BLANK)
                damaged = blank >= 0 or not (whole or raw.endswith(data))
                stream.append(data[:blank] if blank >= 0 else b"" if damaged else data)
        elif whole and not stream and not damaged:
            before.append(_chunk(kind, data))
    if len(head) != 13:
        raise unknown(path, "the picture is damaged or cut off")
    width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", head)
    bits = depth * _CHANNELS.get(colour, 1)
    stride = 1 + (width * bits + 7) // 8
    size = _interlaced_size(width, height, bits) if interlaced else stride * height
    pixels, broken = _unpacked(stream, size)
    if len(pixels) >= size:
        return None, raw
    why = "damaged" if damaged or broken else "cut off" if cut else "no more rows"
    if interlaced:
        raise unknown(path, f"{WHY[why]}, and as it was saved in passes none of the picture is sharp")
    rows = len(pixels) // stride
    mask = np.zeros((height, width), dtype=bool)
    mask[rows:] = True
    gap = lost(path, mask, orientation, why)
    packed = zlib.compress(bytes(pixels[: rows * stride]).ljust(size, b"\0"), 1)
    return gap, raw[:_SIGNATURE] + b"".join([*before, _chunk(b"IDAT", packed), _chunk(b"IEND", b"")])


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _unpacked(stream: list[bytes], size: int) -> tuple[bytearray, bool]:
    """Up to `size` bytes of a packed stream, and whether it is broken."""
    pixels, packed = bytearray(), zlib.decompressobj()
    for data in stream:
        while data and len(pixels) < size:
            try:
                pixels += packed.decompress(data, min(_PIECE, size - len(pixels)))
            except zlib.error:
                return pixels, True
            data = packed.unconsumed_tail
    return pixels, False


def _interlaced_size(width: int, height: int, bits: int) -> int:
    """Bytes of a picture saved in the seven passes of Adam7."""
    passes = (
        (0, 0, 8, 8),
        (4, 0, 8, 8),
        (0, 4, 4, 8),
        (2, 0, 4, 4),
        (0, 2, 2, 4),
        (1, 0, 2, 2),
        (0, 1, 1, 2),
    )
    size = 0
    for x, y, across, down in passes:
        columns, rows = -(-(width - x) // across), -(-(height - y) // down)
        if columns > 0 and rows > 0:
            size += rows * (1 + (columns * bits + 7) // 8)
    return size
