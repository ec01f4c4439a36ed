"""Small ICC profiles for the tests, built by the words of ICC.1 and by nothing of palette."""

from __future__ import annotations

import struct
from collections.abc import Sequence

import numpy as np


def _fixed(values: Sequence[float] | np.ndarray) -> bytes:
    return np.rint(np.asarray(values, dtype=float).ravel() * 65536).astype(">i4").tobytes()


def xyz(values: Sequence[float] | np.ndarray) -> bytes:
    return b"XYZ \0\0\0\0" + _fixed(values)


def gamma(value: float) -> bytes:
    """A curveType of one u8Fixed8 number."""
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(value * 256))


def table(values: Sequence[float] | np.ndarray) -> bytes:
    """A sampled curveType of 16 bits; an empty one is the identity."""
    levels = np.rint(np.asarray(values, dtype=float) * 65535).astype(">u2")
    return b"curv\0\0\0\0" + struct.pack(">I", len(levels)) + levels.tobytes()


def parametric(kind: int, *values: float) -> bytes:
    return b"para\0\0\0\0" + struct.pack(">HH", kind, 0) + _fixed(values)


def text(value: str) -> bytes:
    """textDescriptionType, version 2."""
    raw = value.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(raw)) + raw + b"\0" * 78


def unicode(value: str) -> bytes:
    """multiLocalizedUnicodeType, version 4."""
    raw = value.encode("utf-16-be")
    return b"mluc\0\0\0\0" + struct.pack(">II2s2sII", 1, 12, b"en", b"GB", len(raw), 28) + raw


def lut16(grid: np.ndarray) -> bytes:
    """lut16Type with straight input and output curves; grid (n,) * inputs + (3,) of 0..1 values."""
    inputs, points = grid.ndim - 1, grid.shape[0]
    straight = np.array([0, 65535], dtype=">u2").tobytes()
    return (
        b"mft2\0\0\0\0"
        + struct.pack(">BBBB", inputs, 3, points, 0)
        + _fixed(np.eye(3))
        + struct.pack(">HH", 2, 2)
        + straight * inputs
        + np.rint(grid * 65535).astype(">u2").tobytes()
        + straight * 3
    )


def build(
    tags: dict[bytes, bytes],
    space: bytes = b"RGB ",
    pcs: bytes = b"XYZ ",
    kind: bytes = b"mntr",
    version: int = 4,
) -> bytes:
    """A profile of those tagged elements."""
    body, entries = b"", b""
    start = 132 + 12 * len(tags)
    for signature, data in tags.items():
        entries += struct.pack(">4sII", signature, start + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    header = (
        struct.pack(">I4sI4s4s4s", start + len(body), b"none", version << 24, kind, space, pcs)
        + struct.pack(">6H", 2000, 1, 1, 0, 0, 0)
        + b"acsp"
        + b"\0" * 28
        + _fixed([0.9642, 1.0, 0.8249])
        + b"\0" * 48
    )
    return header + struct.pack(">I", len(tags)) + entries + body


def matrix(
    columns: np.ndarray, curves: Sequence[bytes], name: bytes = text("test profile"), version: int = 4
) -> bytes:
    """A matrix profile; columns (3, 3): XYZ D50 of red, green, blue in its columns."""
    tags = {b"desc": name, b"wtpt": xyz([0.9642, 1.0, 0.8249])}
    for i, letter in enumerate((b"r", b"g", b"b")):
        tags[letter + b"XYZ"] = xyz(columns[:, i])
        tags[letter + b"TRC"] = curves[i % len(curves)]
    return build(tags, version=version)
