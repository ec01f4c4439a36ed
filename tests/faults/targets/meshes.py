"""Meshes, damaged and of any size."""

from __future__ import annotations

import random
import struct
from pathlib import Path

from palette.errors import InputError
from palette.kit.model import Kit, Part
from palette.paints.mesh import areas
from tests.faults.budget import cpu_seconds
from tests.faults.registry import mutated

TRIES = 60


def check(rng: random.Random, folder: Path) -> None:
    """A mesh gives an area that a model can have, or is one problem."""
    size = 10 ** rng.uniform(-6, 6)
    corners = [[rng.uniform(-size, size) for _ in range(9)] for _ in range(rng.randint(1, 20))]
    if rng.random() < 0.5:
        data = bytes(80) + struct.pack("<I", len(corners))
        data += b"".join(struct.pack("<12fH", 0, 0, 0, *facet, 0) for facet in corners)
    else:
        lines = ["solid part"]
        for facet in corners:
            lines += ["facet normal 0 0 0", "outer loop"]
            lines += [f"vertex {facet[i]:e} {facet[i + 1]:e} {facet[i + 2]:e}" for i in (0, 3, 6)]
            lines += ["endloop", "endfacet"]
        data = "\n".join([*lines, "endsolid part", ""]).encode()
    path = folder / "part.stl"
    path.write_bytes(mutated(data, rng) if rng.random() < 0.7 else data)
    kit = Kit(folder / "kit.toml", "Kit", scale="1:35", parts=(Part("a", "A", mesh=path),))
    with cpu_seconds(10):
        try:
            (area,) = areas(kit).values()
        except InputError as error:
            assert len(error.problems) == 1
            return
    assert 0 < area < 1e7
