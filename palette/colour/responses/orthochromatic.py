"""Orthochromatic: blue and green, blind beyond about 590 nm."""

import numpy as np

from palette.colour.families import cut, even_normals, hump, members
from palette.colour.responses import Response
from palette.colour.spaces import Array


def _member(z: Array) -> Array:
    """Two humps, the silver halide's in the blue and the dye's in the green; ratio and end vary."""
    blue = hump(425.0 + 8.0 * z[0], 60.0, 42.0 + 5.0 * z[1])
    green = 0.6 * np.exp(0.30 * z[2]) * hump(548.0 + 7.0 * z[3], 34.0, 24.0)
    return np.asarray((blue + green) * cut(586.0 + 6.0 * z[4], 4.0) * (1 - cut(392.0, 4.0)))


def _outlier(z: Array) -> Array:
    """Behind the yellow filter usual with it, hardly any blue is left."""
    green = hump(543.0 + 6.0 * z[0], 26.0 + 5.0 * z[1], 20.0)
    return np.asarray(green + 0.25 * np.exp(0.6 * z[2]) * hump(440.0, 35.0, 30.0))


RESPONSE = Response(
    "orthochromatic",
    "orthochromatic",
    "blind beyond about 590 nm (Langford, Basic Photography, 7th ed.); the shape from memory",
    from_memory=True,
    members=members(_member, 5, ripple=0.12, outliers=[_outlier(z) for z in even_normals(3, 3)]),
)
