"""Members of a class of stocks: smooth variations of a central curve, the same ones every time."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from palette.colour.spaces import Array
from palette.colour.spectra import FINE

MEMBERS = 24
# More of stocks stay close to a known one, and more lie far off, than a normal distribution has it: members
# in turn are drawn towards the central curve or away from it.
_SCALES = (0.4, 1.5)


def even_normals(count: int, dimensions: int) -> Array:
    """Standard normals (count, dimensions) spread evenly: an additive recurrence on the generalised
    golden ratio (Roberts 2018), centred and scaled to unit variance."""
    from scipy.special import ndtri

    ratio = 1.5
    for _ in range(60):
        ratio = (1 + ratio) ** (1 / (dimensions + 1))
    steps = ratio ** -np.arange(1.0, dimensions + 1)
    points = (0.5 + np.arange(1, count + 1)[:, None] * steps) % 1.0
    normal = np.asarray(ndtri(points))
    return np.asarray((normal - normal.mean(axis=0)) / normal.std(axis=0))


def hump(centre: float, left: float, right: float) -> Array:
    """A bell at `FINE` with standard deviations in nm on either side, 1 at its centre."""
    away = FINE - centre
    return np.asarray(np.exp(-0.5 * (away / np.where(away < 0, left, right)) ** 2))


def cut(nm: float, width: float) -> Array:
    """1 below `nm`, 0 above: a logistic edge at `FINE`, `width` nm from 0.73 to 0.5."""
    return np.asarray(1.0 / (1.0 + np.exp(np.clip((FINE - nm) / width, -60, 60))))


def members(
    shape: Callable[[Array], Array],
    parameters: int,
    ripple: float = 0.08,
    outliers: Sequence[Array] = (),
) -> Array:
    """(m, 471): `shape` of standard normals (parameters,), each with a smooth ripple of its own.

    `ripple` is the standard deviation of the natural logarithm, correlated over about 40 nm: what the
    parameters do not say of one emulsion against another. `outliers` are members that the name may
    mean though they are unlike the rest, since an anchor in grey tells nothing of the stock and only
    they keep a posterior honest where the stock is none of the class.
    """
    knots = np.arange(360.0, 761.0, 40.0)
    normals = even_normals(MEMBERS, parameters + len(knots))
    log = np.exp(-0.5 * ((FINE[:, None] - knots) / 32.0) ** 2)
    log /= np.sqrt((log**2).sum(axis=1, keepdims=True)) + 1e-12
    normals *= np.resize(_SCALES, MEMBERS)[:, None]
    curves = [shape(row[:parameters]) * np.exp(ripple * log @ row[parameters:]) for row in normals]
    return np.array([*curves, *outliers])
