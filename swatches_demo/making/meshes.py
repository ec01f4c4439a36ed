"""The car's parts as STL meshes, at 1:35 in millimetres, z up: what a maker of such a kit would print."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from swatches_demo.making.kit import HEAD
from swatches_demo.making.raycast import Array, Shape
from swatches_demo.making.tram import car

SCALE = 1000.0 / 35.0
AROUND = 24  # flats of a cylinder

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])


def write(folder: Path) -> None:
    """One `PART.stl` for every part that kit.toml gives a mesh."""
    shapes = car()
    for part in re.findall(r"\"meshes/(\w+)\.stl\"", HEAD):
        own = [triangles(shape) for shape in shapes if shape.material == part]
        (folder / f"{part}.stl").write_bytes(stl(np.concatenate(own)))


def triangles(shape: Shape) -> Array:
    """(n, 3, 3), outwards, in millimetres: the scene's y is up, the meshes' is z, and the near side faces
    −y."""
    unit = _box() if shape.kind == "box" else _cylinder()
    placed = unit @ shape.matrix.T + shape.offset
    if np.linalg.det(shape.matrix) < 0:
        placed = placed[:, ::-1]
    turned = np.stack([placed[..., 0], -placed[..., 2], placed[..., 1]], axis=-1)
    return np.asarray(turned * SCALE)


def _box() -> Array:
    faces = []
    for axis in range(3):
        for side in (-1.0, 1.0):
            u, v = np.eye(3)[(axis + 1) % 3], np.eye(3)[(axis + 2) % 3]
            middle = side * np.eye(3)[axis]
            a, b, c, d = middle - u - v, middle + u - v, middle + u + v, middle - u + v
            faces += [(a, b, c), (a, c, d)] if side > 0 else [(a, c, b), (a, d, c)]
    return np.array(faces)


def _cylinder() -> Array:
    turns = 2 * np.pi * np.arange(AROUND + 1) / AROUND
    low = np.stack([np.cos(turns), np.full_like(turns, -1.0), -np.sin(turns)], axis=-1)
    high = low + np.array([0.0, 2.0, 0.0])
    top, bottom = np.array([0.0, 1.0, 0.0]), np.array([0.0, -1.0, 0.0])
    faces = []
    for i in range(AROUND):
        faces += [(low[i], low[i + 1], high[i + 1]), (low[i], high[i + 1], high[i])]
        faces += [(top, high[i], high[i + 1]), (bottom, low[i + 1], low[i])]
    return np.array(faces)


def stl(corners: Array) -> bytes:
    """A binary STL of triangles (n, 3, 3)."""
    edges = corners[:, 1:] - corners[:, :1]
    normal = np.cross(edges[:, 0], edges[:, 1])
    facets = np.zeros(len(corners), _FACET)
    facets["normal"] = normal / np.linalg.norm(normal, axis=1, keepdims=True)
    facets["corners"] = corners
    return b"palette demo".ljust(80, b" ") + np.uint32(len(corners)).tobytes() + facets.tobytes()
