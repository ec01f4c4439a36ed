"""Meshes seen from a side, without a screen: which part every pixel shows, hidden surfaces right, edges
drawn.

Rays are cast by Embree (through trimesh), in parallel projection. Up is +z, as the 3MF core specification has
it and most slicers do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.files import refuse_huge

NOTHING = -1
_CREASE = np.cos(np.radians(28.0))  # a sharper fold is an edge
_STEP = 0.012  # of the model's size: a jump in depth from here up is an edge
_LIGHT = np.array([-0.35, 0.55, 0.76])  # from the left, above and in front of whoever looks
_DIM, _LIT = 0.70, 0.34  # what light reaches a face at worst, and how much more at best
_FINER = 2  # samples each way in a pixel

Index = NDArray[np.int32]


@dataclass(frozen=True)
class Model:
    """Triangles (n, 3, 3) in model units, and which part each belongs to (n,)."""

    corners: Array
    part: Index


@dataclass(frozen=True)
class Seen:
    """One view: `part` (h, w) index or `NOTHING`, `normal` (h, w, 3) to the viewer's axes (right, up,
    towards), `depth` (h, w) as a share of the model's size, growing away."""

    part: Index
    normal: Array
    depth: Array


def available() -> bool:
    """Whether what draws meshes is installed (the extra `mesh`)."""
    from importlib.util import find_spec

    return find_spec("trimesh") is not None and find_spec("embreex") is not None


def load(paths: Sequence[Path], units: Sequence[float] = ()) -> Model:
    """The parts' meshes, one path a part: STL, OBJ or 3MF, all in one place as they stand together; `units`
    in millimetres, 1 where not given.

    Raises:
        InputError: every one that cannot be read.
    """
    import trimesh

    corners, part = [], []
    problems: list[Problem] = []
    for index, path in enumerate(paths):
        try:
            refuse_huge(path)
            mesh: Any = trimesh.load(path, force="mesh", process=False)
            triangles = np.asarray(mesh.triangles, dtype=np.float64) * (units[index] if units else 1.0)
            if not len(triangles) or not np.isfinite(triangles).all():
                raise ValueError("it holds no triangles")
        except InputError as error:
            problems += error.problems
            continue
        except Exception as error:  # trimesh raises whatever the format's reader met
            remedy = "export it again as STL, OBJ or 3MF"
            problems.append(Problem(str(path), None, f"the mesh cannot be read: {error}", remedy))
            continue
        corners.append(triangles)
        part.append(np.full(len(triangles), index, np.int32))
    if problems:
        raise InputError.of(problems)
    return Model(np.concatenate(corners), np.concatenate(part))


def axes(azimuth: float, elevation: float) -> Array:
    """The viewer's axes (3, 3): right, up, towards the viewer. Degrees; azimuth 0 looks from −y."""
    a, e = np.radians(azimuth), np.radians(elevation)
    towards = np.array([np.sin(a) * np.cos(e), -np.cos(a) * np.cos(e), np.sin(e)])
    right = np.array([np.cos(a), np.sin(a), 0.0])
    return np.stack([right, np.cross(towards, right), towards])


class Caster:
    """Casts rays at one model; built once for all views."""

    def __init__(self, model: Model) -> None:
        import trimesh
        from trimesh.ray.ray_pyembree import RayMeshIntersector

        self.part = model.part
        low, high = model.corners.min(axis=(0, 1)), model.corners.max(axis=(0, 1))
        self.size = float(np.linalg.norm(high - low)) or 1.0
        self.corners = (model.corners - (low + high) / 2) / self.size
        mesh = trimesh.Trimesh(
            self.corners.reshape(-1, 3), np.arange(3 * len(self.corners)).reshape(-1, 3), process=False
        )
        edges = self.corners[:, 1:] - self.corners[:, :1]
        normal = np.cross(edges[:, 0], edges[:, 1])
        length = np.linalg.norm(normal, axis=1, keepdims=True)
        self.normal = normal / np.where(length > 0, length, 1.0)
        self.cast = RayMeshIntersector(mesh)

    def extent(self, frame: Array) -> tuple[float, float, float, float]:
        """What the model takes of the viewer's plane: left, bottom, right, top."""
        flat = self.corners.reshape(-1, 3) @ frame[:2].T
        (left, bottom), (right, top) = flat.min(axis=0), flat.max(axis=0)
        return float(left), float(bottom), float(right), float(top)

    def aspect(self, frame: Array) -> float:
        """Width by height."""
        left, bottom, right, top = self.extent(frame)
        return (right - left + 0.02) / (top - bottom + 0.02)

    def look(self, frame: Array, width: int) -> Seen:
        """The model from one side, `width` pixels wide, with a little white around it."""
        left, bottom, right, top = self.extent(frame)
        left, right, bottom, top = left - 0.01, right + 0.01, bottom - 0.01, top + 0.01
        step = (right - left) / width
        height = max(1, round((top - bottom) / step))
        x = left + (np.arange(width) + 0.5) * step
        y = top - (np.arange(height) + 0.5) * step
        grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        origins = grid @ frame[:2] + 2.0 * frame[2]
        directions = np.broadcast_to(-frame[2], origins.shape)
        hit = np.asarray(self.cast.intersects_first(origins, directions))
        there = hit >= 0
        part = np.full(len(hit), NOTHING, np.int32)
        part[there] = self.part[hit[there]]
        normal = np.zeros((len(hit), 3))
        facing = self.normal[hit[there]] @ frame.T
        normal[there] = facing * np.where(facing[:, 2:] < 0, -1.0, 1.0)  # a face turned inside out is a face
        depth = np.full(len(hit), np.inf)
        corner = self.corners[hit[there], 0]
        away = ((corner - origins[there]) * self.normal[hit[there]]).sum(axis=1)
        slope = -(self.normal[hit[there]] @ frame[2])
        depth[there] = away / np.where(np.abs(slope) > 1e-9, slope, 1e-9)
        shape = (height, width)
        return Seen(part.reshape(shape), normal.reshape(*shape, 3), depth.reshape(shape))


def edges(seen: Seen) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Where lines are drawn (h, w): between parts or against nothing, and at folds and steps within a
    part."""
    border = np.zeros(seen.part.shape, bool)
    fold = np.zeros(seen.part.shape, bool)
    for axis in (0, 1):
        here, there = _pair(axis)
        other = seen.part[here] != seen.part[there]
        same = ~other & (seen.part[here] != NOTHING)
        sharp = (seen.normal[here] * seen.normal[there]).sum(axis=-1) < _CREASE
        with np.errstate(invalid="ignore"):
            jump = np.abs(seen.depth[here] - seen.depth[there]) > _STEP
        border[here] |= other
        fold[here] |= same & (sharp | jump)
    return border, fold


def meetings(seen: Seen) -> set[tuple[int, int]]:
    """Which parts touch in a view: neighbours in the picture and in depth."""
    found: set[tuple[int, int]] = set()
    for axis in (0, 1):
        here, there = _pair(axis)
        a, b = seen.part[here], seen.part[there]
        with np.errstate(invalid="ignore"):
            near = np.abs(seen.depth[here] - seen.depth[there]) < _STEP
        meet = (a != b) & (a != NOTHING) & (b != NOTHING) & near
        pairs, count = np.unique(
            np.sort(np.stack([a[meet], b[meet]], axis=-1), axis=-1), axis=0, return_counts=True
        )
        found |= {(int(p[0]), int(p[1])) for p, n in zip(pairs, count, strict=True) if n >= 4}
    return found


def _pair(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    first, rest = slice(None, -1), slice(1, None)
    whole = slice(None)
    return ((first, whole), (rest, whole)) if axis == 0 else ((whole, first), (whole, rest))


def paint(seen: Seen, colours: Array, lit: Sequence[int] | None = None) -> NDArray[np.uint8]:
    """The view as sRGB (h, w, 3), half as large each way. `colours` (parts, 3) are sRGB 0..1. With `lit`
    just those parts have their colour and a heavy outline; the others are lines."""
    shade = _DIM + _LIT * np.clip(seen.normal @ (_LIGHT / np.linalg.norm(_LIGHT)), 0.0, 1.0)
    there = seen.part != NOTHING
    picture = np.ones((*seen.part.shape, 3))
    border, fold = edges(seen)
    if lit is None:
        picture[there] = np.clip(colours[seen.part[there]] * shade[there][:, None], 0.0, 1.0)
        dark = picture @ np.array([0.2126, 0.7152, 0.0722]) < 0.16
        picture[fold] = np.where(dark[fold][:, None], picture[fold] + 0.22, picture[fold] * 0.55)
        picture[_wider(border)] = 0.0
    else:
        on = np.isin(seen.part, list(lit))
        picture[there] = 0.97
        picture[fold & ~on] = 0.82
        picture[border] = 0.55
        picture[on] = np.clip(colours[seen.part[on]] * shade[on][:, None], 0.0, 1.0)
        rim = np.zeros_like(on)
        for axis in (0, 1):
            here, beyond = _pair(axis)
            change = on[here] != on[beyond]
            rim[here] |= change
            rim[beyond] |= change
        picture[_wider(_wider(rim)) & ~on] = 0.0  # around the part, so that a thin one keeps its colour
        picture[border & on] *= 0.55
    height, width = (side // _FINER for side in seen.part.shape)
    picture = picture[: height * _FINER, : width * _FINER]
    small = picture.reshape(height, _FINER, width, _FINER, 3).mean(axis=(1, 3))
    return np.asarray(np.round(255 * small), dtype=np.uint8)


def _wider(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
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
    Image.fromarray(levels).save(stream, "PNG", optimize=False, compress_level=9)
    return stream.getvalue()
