"""The painted area of a part: as its kit states it, or measured on its mesh.

Meshes are STL, binary or text, in millimetres as printed unless the kit names another unit, so they are at
the model's scale already. The area counts every facet: inner walls of a hollow print too. STL itself knows no
unit: a size that no model has is asked about, not taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.files import refuse_huge
from palette.kit.model import MESH_UNITS, Kit
from palette.kit.scale import scale_number

UNITS = dict(zip(MESH_UNITS, (1.0, 10.0, 25.4, 1000.0), strict=True))  # mm
_NAMES = {"mm": "millimetres", "cm": "centimetres", "inch": "inches", "m": "metres"}
_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])


def areas(kit: Kit) -> dict[str, float]:
    """Painted areas in cm² by part id, of the parts whose area is stated or that have a mesh.

    Raises:
        InputError: every mesh that cannot be read.
    """
    measured: dict[tuple[Path, str], _Measured] = {}
    problems: list[Problem] = []
    meshed = [part for part in kit.parts if part.area_cm2 is None and part.mesh is not None]
    for part in meshed:
        assert part.mesh is not None
        try:
            if (part.mesh, part.mesh_unit) not in measured:
                measured[part.mesh, part.mesh_unit] = _measure(part.mesh, UNITS[part.mesh_unit or "mm"])
        except InputError as error:
            problems += error.problems
    problems = list(dict.fromkeys(problems)) or list(_sizes(kit, measured))
    if problems:
        raise InputError.of(problems)
    of_meshes = {
        part.id: measured[part.mesh, part.mesh_unit].area for part in meshed if part.mesh is not None
    }
    return of_meshes | {part.id: part.area_cm2 for part in kit.parts if part.area_cm2 is not None}


def mesh_area(path: Path) -> float:
    """The area of an STL mesh in millimetres, in cm².

    Raises:
        InputError: it cannot be read, is no STL, is cut short, or has no area.
    """
    return _measure(path, 1.0).area


@dataclass(frozen=True)
class _Measured:
    area: float  # cm²
    extent: float  # mm, the longest side of the box round it


_SMALLEST, _LARGEST = 6.0, 3000.0  # mm, of a whole model; common practice, no source
_SMALLEST_PART = 0.3  # mm, of the only mesh there is: no printer makes a smaller part
_USUAL = 150.0  # mm


def _sizes(kit: Kit, measured: Mapping[tuple[Path, str], _Measured]) -> Iterator[Problem]:
    """Meshes of a size that no model has, where the kit does not name their unit: the largest of a kit that
    is too small as a whole, and each that is too large."""
    unnamed = {path: mesh.extent for (path, unit), mesh in measured.items() if not unit}
    if not unnamed:
        return
    largest = max(unnamed, key=unnamed.__getitem__)
    least = _SMALLEST if len(unnamed) > 1 else _SMALLEST_PART
    if unnamed[largest] < least:
        unit = min(UNITS, key=lambda unit: abs(math.log(UNITS[unit] * unnamed[largest] / _USUAL)))
        yield _asked(
            largest, unnamed[largest], "small", f'is it in {_NAMES[unit]}? Then write mesh_unit = "{unit}"'
        )
    for path, extent in unnamed.items():
        if extent > _LARGEST:
            scale = scale_number(kit.scale)
            remedy = "export it in millimetres, at the size it is printed in"
            if scale and _SMALLEST < extent / scale < _LARGEST:
                remedy = f"is it as large as the original? Then scale it to {kit.scale}"
            yield _asked(path, extent, "large", remedy)


def _asked(path: Path, extent: float, how: str, remedy: str) -> Problem:
    size = f"{extent:,.0f}" if 10 <= extent < 1e7 else f"{extent:.2g}"
    return Problem(str(path), None, f"the mesh is {size} mm long, too {how} for a model", remedy)


def corners(path: Path) -> Array:
    """The corners of a mesh's triangles, (n, 3, 3), in its own unit.

    Raises:
        InputError: it cannot be read, is no STL, OBJ or 3MF, or is cut short.
    """
    refuse_huge(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(Problem(str(path), None, reason, "make sure the file may be read")) from error
    return _corners(data, path)


def _measure(path: Path, unit: float) -> _Measured:
    """Area and extent of a mesh whose corners are in units of so many millimetres."""
    triangles = corners(path) * unit
    with np.errstate(over="ignore", invalid="ignore"):
        extent = float(np.ptp(triangles.reshape(-1, 3), axis=0).max(initial=0.0))
        edges = triangles[:, 1:] - triangles[:, :1]
        area = 0.5 * float(np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1).sum()) / 100
    if not np.isfinite(area) or area <= 0:
        what = "the mesh has no area" if area == 0 else "the mesh has corners that are no numbers"
        raise InputError(Problem(str(path), None, what, "export it again, or give area_cm2 instead"))
    return _Measured(area, extent)


def _loaded(path: Path) -> Array:
    """The corners (n, 3, 3) of an OBJ or 3MF mesh, which the extra `mesh` reads."""
    remedy = "export it as STL, or give area_cm2 instead"
    try:
        import trimesh
    except ImportError as error:
        what = f"{path.suffix} is read by the extra 'mesh', which is not installed"
        raise InputError(Problem(str(path), None, what, remedy)) from error
    try:
        mesh: Any = trimesh.load(path, force="mesh", process=False)
        return np.asarray(mesh.triangles, dtype=np.float64).reshape(-1, 3, 3)
    except Exception as error:  # whatever the format's reader met
        raise InputError(Problem(str(path), None, "the mesh cannot be read", remedy)) from error


def _corners(data: bytes, path: Path) -> Array:
    """(n, 3, 3) in mm. A binary file may begin with 'solid' too: its length tells."""
    if path.suffix.lower() in (".obj", ".3mf"):
        return _loaded(path)
    remedy = "export it as STL, or give area_cm2 instead"
    count = int.from_bytes(data[80:84], "little") if len(data) >= 84 else -1
    if count > 0 and len(data) == 84 + count * _FACET.itemsize:
        return np.frombuffer(data, _FACET, count, 84)["corners"].astype(np.float64)
    if data.lstrip()[:5].lower() == b"solid" and b"facet" in data[:100_000]:
        words = data.split()
        at = [i for i, word in enumerate(words) if word.lower() == b"vertex"]
        try:
            numbers = np.array([[float(word) for word in words[i + 1 : i + 4]] for i in at], dtype=np.float64)
            facets = sum(word.lower() == b"endfacet" for word in words)
            if numbers.shape == (3 * facets, 3) and facets and words[-1].lower() != b"vertex":
                return numbers.reshape(-1, 3, 3)
        except ValueError:
            pass
        raise InputError(Problem(str(path), None, "the STL is cut short or damaged", remedy))
    if b"\0" in data and 84 + count * _FACET.itemsize > len(data) > 84 and path.suffix.lower() == ".stl":
        what = f"the STL is cut short: {(len(data) - 84) // _FACET.itemsize} of {count} facets are there"
        raise InputError(Problem(str(path), None, what, remedy))
    raise InputError(Problem(str(path), None, "it is no STL mesh", remedy))
