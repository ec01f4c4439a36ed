"""WebP data (RFC 9649), and whether all of them are there.

Its decoder reads on through blank or foreign bytes and says nothing. But a coded picture ends where its data
end: one that still decodes without its last bytes stopped short of them, so something before is not as it
was written. One that wants more than there is, the decoder refuses itself.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator

_FRAME = 10  # bytes of a lossy picture's frame header (RFC 6386, 9.1)
_START = b"\x9d\x01\x2a"
_SPARE = 4  # bytes by which an encoder may round the end up
_FEWEST = 4 * _SPARE  # data shorter than this are nearly all header


def damaged(raw: bytes) -> str | None:
    """What is wrong with a still WebP that decodes, or None.

    Args:
        raw: the whole file.
    """
    chunks = list(_chunks(raw))
    for i, (kind, data) in enumerate(chunks):
        for shorter, other in _changed(kind, data):
            files = [_file([*chunks[:i], (kind, ends), *chunks[i + 1 :]]) for ends in (shorter, other)]
            # A plain end of a picture may take no data at all: then other data must change what is before.
            if _decoded(files[0]) is not None and _decoded(files[1]) == _decoded(raw):
                return "its data go on behind the end of the picture"
    return None


def _decoded(raw: bytes) -> bytes | None:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(raw), formats=("WEBP",)) as image:
            return image.tobytes()
    except Exception:  # decoders raise nearly anything at a damaged file
        return None


def _changed(kind: bytes, data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """For each part of coded data: the data without the end of that part, and with another end."""
    if kind == b"VP8L" and len(data) > _FEWEST:
        yield data[:-_SPARE], _inverted(data, len(data))
    if kind != b"VP8 " or data[3:6] != _START:
        return
    tag = int.from_bytes(data[:3], "little")
    first = tag >> 5  # bytes of the first part: the header, and how each block is predicted
    end = _FRAME + first
    if first > _FEWEST:
        shorter = (tag - (_SPARE << 5)).to_bytes(3, "little")
        yield shorter + data[3 : end - _SPARE] + data[end:], _inverted(data, end)
    if len(data) - end > _FEWEST:  # the last of one, two, four or eight parts with what remains of each block
        yield data[:-_SPARE], _inverted(data, len(data))


def _inverted(data: bytes, end: int) -> bytes:
    return data[: end - _SPARE] + bytes(b ^ 0xFF for b in data[end - _SPARE : end]) + data[end:]


def _chunks(raw: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 12
    while at + 8 <= len(raw):
        kind, size = struct.unpack("<4sI", raw[at : at + 8])
        yield kind, raw[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def _file(chunks: list[tuple[bytes, bytes]]) -> bytes:
    body = b"".join(
        kind + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2) for kind, data in chunks
    )
    return b"RIFF" + struct.pack("<I", 4 + len(body)) + b"WEBP" + body
