"""Reflectances measured at other wavelengths than palette's 31, brought to these.

Between the measured wavelengths, cubic Lagrange interpolation as in ASTM E2022; beyond the first and
last, the end value is held, as ASTM E308 prescribes for shortened data. At a measured wavelength the
reading itself is kept.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array
from palette.colour.spectra import NM

COVERED = (420.0, 680.0)  # what a reading must reach to at both ends
WIDEST_GAP = 25.0  # between neighbouring readings, nm


def trouble(nm: ArrayLike) -> str | None:
    """What is wrong with a set of wavelengths, in words; None where it will do."""
    grid = np.array(sorted({float(one) for one in np.ravel(nm)}))
    if grid.size == 0 or grid[0] > COVERED[0] or grid[-1] < COVERED[1]:
        reach = f"{grid[0]:g} to {grid[-1]:g} nm" if grid.size else "no wavelength"
        return f"the reflectances cover {reach} only"
    inside = grid[(grid >= 390) & (grid <= 710)]
    gaps = np.diff(inside)
    widest = int(np.argmax(gaps))
    if gaps[widest] > WIDEST_GAP:
        return f"the reflectances have a gap from {inside[widest]:g} to {inside[widest + 1]:g} nm"
    return None


def to_31(nm: ArrayLike) -> Array:
    """(k, 31): readings at ascending wavelengths (k,) times this are reflectances at 400…700 nm."""
    grid = np.asarray(nm, dtype=np.float64)
    table = np.zeros((grid.size, NM.size))
    for column, target in enumerate(np.clip(NM, grid[0], grid[-1])):
        right = int(np.searchsorted(grid, target))
        if grid[right] == target:
            table[right, column] = 1.0
            continue
        first = min(max(right - 2, 0), max(grid.size - 4, 0))
        nodes = grid[first : first + 4]
        for i in range(nodes.size):
            others = np.delete(nodes, i)
            table[first + i, column] = np.prod((target - others) / (nodes[i] - others))
    return table
