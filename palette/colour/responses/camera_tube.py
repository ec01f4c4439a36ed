"""Camera tube: a photocathode or photoconductor behind a television lens."""

import numpy as np

from palette.colour.families import cut, even_normals, hump, members
from palette.colour.responses import Response
from palette.colour.spaces import Array


def _member(z: Array) -> Array:
    """One broad hump: image orthicons peaked near 450 nm with a long tail, vidicons near 550."""
    curve = hump(505.0 + 30.0 * z[0], 75.0 + 12.0 * z[1], 72.0 + 12.0 * z[2])
    return np.asarray(curve * cut(690.0 + 25.0 * z[3], 12.0) * (1 - cut(385.0, 6.0)))


def _outlier(z: Array) -> Array:
    """Trimmed by a filter towards the eye's own curve."""
    return np.asarray(hump(545.0 + 15.0 * z[0], 42.0 + 7.0 * z[1], 45.0 + 7.0 * z[2]))


RESPONSE = Response(
    "camera-tube",
    "camera tube",
    "tubes differ from the eye and from each other (Wood, Research Department Report T-081, 1962); "
    "the curves from memory",
    from_memory=True,
    members=members(_member, 4, ripple=0.15, outliers=[_outlier(z) for z in even_normals(3, 3)]),
)
