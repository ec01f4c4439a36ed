"""HEIF through libheif, at full precision."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from palette.evidence.pictures import boxes
from palette.evidence.pictures.guard import check_size, reading, to_full_range
from palette.evidence.pictures.profiles import CodedPoints
from palette.evidence.pictures.stored import Stored, Upright

_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")


def accepts(start: bytes) -> bool:
    """HEIC and its kin; AVIF, which is of the same family, is Pillow's."""
    return start[4:8] == b"ftyp" and start[8:12] in _BRANDS and b"avif" not in start


def read(path: Path) -> Stored:
    """HEIC and its kin.

    libheif turns the picture itself; an Exif orientation beside that is void (ISO 23008-12).
    """
    import pillow_heif

    from palette.evidence.pictures.formats import apart, checked, encoding_of

    heif = pillow_heif.open_heif(path, convert_hdr_to_8bit=False)
    image: Any = heif[heif.primary_index]
    width, height = image.size
    check_size(path, width, height)
    bits = int(image.info.get("bit_depth", 8))
    space = "grey" if image.mode.startswith("L") else "rgb"
    icc = image.info.get("icc_profile")
    points = image.info.get("nclx_profile")
    coded = None
    if not icc and points:
        coded = CodedPoints(int(points["color_primaries"]), int(points["transfer_characteristics"]))
    encoding, notes = encoding_of(space, icc, coded)

    def decode(_wanted: int | None) -> Upright:
        with reading(path):
            heif = pillow_heif.open_heif(path, convert_hdr_to_8bit=False)
            image = heif[heif.primary_index]
            array = np.atleast_3d(np.asarray(image))
        if array.dtype == np.uint16:  # its top bits are used, the rest is zero
            array = to_full_range(array >> (16 - bits), bits)
        return apart(array)

    whole, gaps = checked(path, decode, boxes.damaged)
    return Stored("HEIF", width, height, 1, space, bits, encoding, notes, whole, gaps=gaps)
