"""The painted area of a part: as its kit states it, or measured on its mesh.

Meshes are STL, binary or text, in millimetres as printed, so they are at the model's scale already. The
area counts every facet: inner walls of a hollow print too.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.kit.model import Kit

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])


def areas(kit: Kit) -> dict[str, float]:
    """Painted areas in cm² by part id, of the parts whose area is stated or that have a mesh.

    Raises:
        InputError: every mesh that cannot be read.
    """
    measured: dict[Path, float] = {}
    problems: list[Problem] = []
    meshes = (part.mesh for part in kit.parts if part.area_cm2 is None and part.mesh is not None)
    for mesh in dict.fromkeys(meshes):
        try:
            measured[mesh] = mesh_area(mesh)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError.of(problems)
    stated = {part.id: part.area_cm2 for part in kit.parts if part.area_cm2 is not None}
    return {part.id: measured[part.mesh] for part in kit.parts if part.mesh in measured} | stated


def mesh_area(path: Path) -> float:
    """The area of an STL mesh in cm².

    Raises:
        InputError: it cannot be read, is no STL, is cut short, or has no area.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(Problem(str(path), None, reason, "make sure the file may be read")) from error
    corners = _corners(data, path)
    with np.errstate(over="ignore", invalid="ignore"):
        edges = corners[:, 1:] - corners[:, :1]
        area = 0.5 * float(np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1).sum()) / 100
    if not np.isfinite(area) or area <= 0:
        what = "the mesh has no area" if area == 0 else "the mesh has corners that are no numbers"
        raise InputError(Problem(str(path), None, what, "export it again, or give area_cm2 instead"))
    return area


def _corners(data: bytes, path: Path) -> Array:
    """(n, 3, 3) in mm. A binary file may begin with 'solid' too: its length tells."""
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
