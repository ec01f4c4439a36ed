"""TIFF and BigTIFF through tifffile, at full precision."""

from __future__ import annotations

from pathlib import Path

from palette.evidence.pictures.stored import Stored

_MAGIC = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")


def accepts(start: bytes) -> bool:
    """Either byte order, 32 or 64 bits."""
    return start[:4] in _MAGIC


def read(path: Path) -> Stored:
    """A file's header."""
    from palette.evidence.pictures.tiff import read_tiff

    return read_tiff(path)
