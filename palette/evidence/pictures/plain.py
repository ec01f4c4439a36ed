"""Pictures whose levels stand in the file as they are (BMP, PPM and its kin): whether there are too many.

Fewer, their decoder refuses. More stand there where the header states another size than the picture's, or
where bytes were put in on the way: then each row begins at another place than the one before.
"""

from __future__ import annotations

import io
import struct

_NOT_PACKED = (0, 3)  # ways of a BMP
_TOO_MANY = "its data go on behind the end of the picture"
_SPARE = 16  # bytes that a program may leave behind the levels
_PROFILED = 124  # bytes of the header of a BMP that may have a profile behind its levels


def bmp_damaged(raw: bytes) -> str | None:
    """What is wrong with a BMP that decodes, or None.

    Args:
        raw: the whole file.
    """
    start, header = struct.unpack("<10xII", raw[:18])
    if not 40 <= header < _PROFILED:
        return None
    width, height, bits, way, stated = struct.unpack("<ii2xHII", raw[18:38])
    row = (width * bits + 31) // 32 * 4
    needed = row * abs(height)
    longer = min(stated or len(raw), len(raw) - start) - needed  # some state a few bytes more
    return _TOO_MANY if way in _NOT_PACKED and longer >= row else None


def ppm_damaged(raw: bytes) -> str | None:
    """What is wrong with a binary PPM, PGM or PBM that decodes, or None.

    Args:
        raw: the whole file.
    """
    from PIL import Image

    if raw[:2] not in (b"P4", b"P5", b"P6"):
        return None  # written in digits
    with Image.open(io.BytesIO(raw), formats=("PPM",)) as image:
        (_, _, at, how), (width, height) = image.tile[0], image.size
    wide = image.mode == "I" or (isinstance(how, tuple) and how[-1] > 255)
    row = (width * (1 if image.mode == "1" else 8 * len(image.getbands()) * (2 if wide else 1)) + 7) // 8
    behind = raw[at + row * height :].strip(b" \r\n\t\0")
    return _TOO_MANY if len(behind) > _SPARE and behind[:1] != b"P" else None  # there may be another one
