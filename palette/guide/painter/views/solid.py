"""Meshes seen from a side, without a screen: which part every pixel shows, hidden surfaces right, edges
drawn.

Rays are cast by Embree, in parallel projection. Up is +z, as the 3MF core specification has it and most
slicers do. What every ray hits hangs on the meshes alone, and is kept: new colours cost no new rays.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from hashlib import blake2b
from importlib.metadata import version
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette import cache
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.paints.mesh import corners

NOTHING = -1
_CREASE = np.cos(np.radians(28.0))  # a sharper fold is an edge
_STEP = 0.012  # of the model's size: a jump in depth from here up is an edge
_LIGHT = np.array([-0.35, 0.55, 0.76])  # from the left, above and in front of whoever looks
_DIM, _LIT = 0.70, 0.34  # what light reaches a face at worst, and how much more at best
FINER = 2  # samples each way in a pixel
_SCALE = 100.0  # of the model's size, in what Embree reckons with in single precision
_AWAY = 2.0  # of the model's size: where rays begin
_STEEP = 1e-9

Index = NDArray[np.int32]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Model:
    """Triangles (n, 3, 3) in model units, and which part each belongs to (n,)."""

    corners: Array
    part: Index


@dataclass(frozen=True, eq=False)
class Pairs:
    """Neighbouring samples that show different triangles: rows and columns of the first and of the second,
    and whether they lie at nearly the same depth."""

    first: tuple[NDArray[np.int64], NDArray[np.int64]]
    second: tuple[NDArray[np.int64], NDArray[np.int64]]
    level: Mask


@dataclass(frozen=True, eq=False)
class Seen:
    """One view. `hit` (h, w) is the triangle that a sample shows, or `NOTHING`. The tables have a row for
    each triangle and a last one for nothing: its part, its normal on the viewer's axes (right, up, towards),
    and its plane (3,), which gives the depth as a share of the model's size, growing away, from 1 and the
    place `x`, `y` of a sample."""

    hit: Index
    parts: Index
    normals: Array
    planes: Array
    x: Array
    y: Array

    @cached_property
    def part(self) -> Index:
        """The part (h, w) that a sample shows, or `NOTHING`."""
        return np.asarray(self.parts[self.hit])

    def depth(self, rows: NDArray[np.int64], columns: NDArray[np.int64]) -> Array:
        """How far away some samples are; infinite where nothing is."""
        plane = self.planes[self.hit[rows, columns]]
        away = plane[:, 0] + plane[:, 1] * self.x[columns] + plane[:, 2] * self.y[rows]
        return np.where(self.hit[rows, columns] == NOTHING, np.inf, away)

    @cached_property
    def pairs(self) -> tuple[Pairs, Pairs]:
        """Down, then across."""
        along = []
        for axis in (0, 1):
            here, there = _pair(axis)
            rows, columns = np.nonzero(self.hit[here] != self.hit[there])
            second = rows + (axis == 0), columns + (axis == 1)
            with np.errstate(invalid="ignore"):
                level = np.abs(self.depth(rows, columns) - self.depth(*second)) < _STEP
            along.append(Pairs((rows, columns), second, level))
        return along[0], along[1]

    @cached_property
    def edges(self) -> tuple[Mask, Mask]:
        """Where lines are drawn (h, w): between parts or against nothing, and at folds and steps within a
        part."""
        border, fold = np.zeros(self.hit.shape, bool), np.zeros(self.hit.shape, bool)
        for pairs in self.pairs:
            one, other = self.hit[pairs.first], self.hit[pairs.second]
            same = self.parts[one] == self.parts[other]
            sharp = (self.normals[one] * self.normals[other]).sum(axis=1) < _CREASE
            rows, columns = pairs.first
            border[rows[~same], columns[~same]] = True
            line = same & (sharp | ~pairs.level)
            fold[rows[line], columns[line]] = True
        return border, fold


def available() -> bool:
    """Whether what draws meshes is installed (the extra `mesh`)."""
    from importlib.util import find_spec

    return find_spec("embreex") is not None


def load(paths: Sequence[Path], units: Sequence[float] = ()) -> Model:
    """The parts' meshes, one path a part: STL, OBJ or 3MF, all in one place as they stand together; `units`
    in millimetres, 1 where not given.

    Raises:
        InputError: every one that cannot be read.
    """
    each, part = [], []
    problems: list[Problem] = []
    for index, path in enumerate(paths):
        try:
            triangles = corners(path) * (units[index] if units else 1.0)
        except InputError as error:
            problems += error.problems
            continue
        if not len(triangles) or not np.isfinite(triangles).all():
            what = "the mesh cannot be read: it holds no triangles"
            problems.append(Problem(str(path), None, what, "export it again as STL, OBJ or 3MF"))
            continue
        each.append(triangles)
        part.append(np.full(len(triangles), index, np.int32))
    if problems:
        raise InputError.of(problems)
    return Model(np.concatenate(each), np.concatenate(part))


def axes(azimuth: float, elevation: float) -> Array:
    """The viewer's axes (3, 3): right, up, towards the viewer. Degrees; azimuth 0 looks from −y."""
    a, e = np.radians(azimuth), np.radians(elevation)
    towards = np.array([np.sin(a) * np.cos(e), -np.cos(a) * np.cos(e), np.sin(e)])
    right = np.array([np.cos(a), np.sin(a), 0.0])
    return np.stack([right, np.cross(towards, right), towards])


class Caster:
    """Casts rays at one model; built once for all views."""

    def __init__(self, model: Model) -> None:
        low, high = model.corners.min(axis=(0, 1)), model.corners.max(axis=(0, 1))
        self.size = float(np.linalg.norm(high - low)) or 1.0
        self.corners = (model.corners - (low + high) / 2) / self.size
        self.parts = np.append(model.part, np.int32(NOTHING))
        edges = self.corners[:, 1:] - self.corners[:, :1]
        normal = np.cross(edges[:, 0], edges[:, 1])
        length = np.linalg.norm(normal, axis=1, keepdims=True)
        self.normal = normal / np.where(length > 0, length, 1.0)
        self.digest = blake2b(self.corners.tobytes(), digest_size=16).hexdigest()

    @cached_property
    def _scene(self) -> Any:
        from embreex.mesh_construction import TriangleMesh
        from embreex.rtcore_scene import EmbreeScene

        scene = EmbreeScene()
        vertices = (_SCALE * self.corners).astype(np.float32).reshape(-1, 3)
        TriangleMesh(scene, vertices, np.arange(len(vertices), dtype=np.int32).reshape(-1, 3))
        return scene

    def extent(self, frame: Array) -> tuple[float, float, float, float]:
        """What the model takes of the viewer's plane: left, bottom, right, top."""
        flat = self.corners.reshape(-1, 3) @ frame[:2].T
        (left, bottom), (right, top) = flat.min(axis=0), flat.max(axis=0)
        return float(left), float(bottom), float(right), float(top)

    def look(self, frame: Array, width: int) -> Seen:
        """The model from one side, `width` samples wide, with a little white around it."""
        left, bottom, right, top = self.extent(frame)
        left, right, bottom, top = left - 0.01, right + 0.01, bottom - 0.01, top + 0.01
        step = (right - left) / width
        height = max(1, round((top - bottom) / step))
        x = np.asarray(left + (np.arange(width) + 0.5) * step, dtype=np.float64)
        y = np.asarray(top - (np.arange(height) + 0.5) * step, dtype=np.float64)
        normals = np.append(self.normal @ frame.T, np.zeros((1, 3)), axis=0)
        corner = np.append(self.corners[:, 0] @ frame.T, np.zeros((1, 3)), axis=0)
        # the depth of a plane n·p = c along the viewer's third axis
        slope = np.where(np.abs(normals[:, 2]) > _STEEP, normals[:, 2], _STEEP)
        across = (corner * normals).sum(axis=1)
        planes = np.stack([_AWAY - across / slope, normals[:, 0] / slope, normals[:, 1] / slope], axis=1)
        normals *= np.where(normals[:, 2:] < 0, -1.0, 1.0)  # a face turned inside out is a face
        return Seen(self._hits(frame, x, y), self.parts, normals, planes, x, y)

    def _hits(self, frame: Array, x: Array, y: Array) -> Index:
        """The triangle that each ray hits, or `NOTHING`: (h, w)."""
        shape = len(y), len(x)
        program = cache.code("guide/painter/views/solid.py"), version("embreex")
        key = cache.key("hits", self.digest, frame.tolist(), shape, program)
        kept = cache.recall(key)
        if kept is cache.MISSING:
            hit = self._cast(frame, x, y)
            cache.keep(key, zlib.compress(hit.tobytes(), 1))
            return hit
        return np.frombuffer(zlib.decompress(kept), np.int32).reshape(shape)

    def _cast(self, frame: Array, x: Array, y: Array) -> Index:
        origins = np.empty((len(y), len(x), 3), np.float32)
        for i in range(3):
            column = _SCALE * (y * frame[1, i] + _AWAY * frame[2, i])
            origins[..., i] = column[:, None] + (_SCALE * frame[0, i]) * x
        directions = np.empty((len(y) * len(x), 3), np.float32)
        directions[:] = -frame[2]
        hit = self._scene.run(origins.reshape(-1, 3), directions)
        return np.asarray(hit, np.int32).reshape(len(y), len(x))


def meetings(seen: Seen) -> set[tuple[int, int]]:
    """Which parts touch in a view: neighbours in the picture and in depth."""
    touching: set[tuple[int, int]] = set()
    for pairs in seen.pairs:
        a, b = seen.part[pairs.first], seen.part[pairs.second]
        meet = (a != b) & (a != NOTHING) & (b != NOTHING) & pairs.level
        each, count = np.unique(
            np.sort(np.stack([a[meet], b[meet]], axis=-1), axis=-1), axis=0, return_counts=True
        )
        touching |= {(int(p[0]), int(p[1])) for p, n in zip(each, count, strict=True) if n >= 4}
    return touching


def _pair(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    first, rest = slice(None, -1), slice(1, None)
    whole = slice(None)
    return ((first, whole), (rest, whole)) if axis == 0 else ((whole, first), (whole, rest))


def paint(seen: Seen, colours: Array, lit: Sequence[int] | None = None) -> NDArray[np.uint8]:
    """The view as sRGB (h, w, 3), half as large each way. `colours` (parts, 3) are sRGB 0..1. With `lit`
    just those parts have their colour and a heavy outline; the others are lines."""
    shade = _DIM + _LIT * np.clip(seen.normals @ (_LIGHT / np.linalg.norm(_LIGHT)), 0.0, 1.0)
    table = np.clip(colours[seen.parts] * shade[:, None], 0.0, 1.0).astype(np.float32)
    table[-1] = 1.0
    border, fold = seen.edges
    if lit is None:
        picture = table[seen.hit]
        drawn = picture[fold]
        dark = drawn @ np.array([0.2126, 0.7152, 0.0722], np.float32) < 0.16
        picture[fold] = np.where(dark[:, None], drawn + 0.22, drawn * 0.55)
        picture[_wider(border)] = 0.0
    else:
        bright = np.isin(seen.parts, list(lit))
        table[:-1][~bright[:-1]] = 0.97
        picture, on = table[seen.hit], bright[seen.hit]
        picture[fold & ~on] = 0.82
        picture[border & ~on] = 0.55
        rim = np.zeros_like(on)
        for axis in (0, 1):
            here, beyond = _pair(axis)
            change = on[here] != on[beyond]
            rim[here] |= change
            rim[beyond] |= change
        picture[_wider(_wider(rim)) & ~on] = 0.0  # around the part, so that a thin one keeps its colour
        picture[border & on] *= 0.55
    height, width = (side // FINER * FINER for side in seen.hit.shape)
    samples = [picture[i:height:FINER, j:width:FINER] for i in range(FINER) for j in range(FINER)]
    return np.asarray(np.round((255 / len(samples)) * sum(samples)), dtype=np.uint8)


def _wider(mask: Mask) -> Mask:
    out = mask.copy()
    for axis in (0, 1):
        here, there = _pair(axis)
        out[here] |= mask[there]
        out[there] |= mask[here]
    return out


def png(levels: NDArray[np.uint8]) -> bytes:
    """Levels (h, w, 3) as a PNG, the same bytes for the same levels."""
    from PIL import Image

    stream = BytesIO()
    Image.fromarray(levels).save(stream, "PNG", optimize=False, compress_level=6)
    return stream.getvalue()
