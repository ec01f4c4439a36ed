"""Blue-sensitive: silver halide without dyes (plates, and prints copied on ordinary stock)."""

import numpy as np

from palette.colour.families import cut, even_normals, hump, members
from palette.colour.responses import Response
from palette.colour.spaces import Array


def _member(z: Array) -> Array:
    """Falls from the violet to nothing near 500 nm; chloride ends sooner, iodide later."""
    return np.asarray(
        hump(412.0 + 12.0 * z[0], 60.0, 42.0 + 6.0 * z[1])
        * cut(500.0 + 10.0 * z[2], 6.0)
        * (1 - cut(392.0, 4.0))
    )


def _outlier(z: Array) -> Array:
    """Through glass that eats the violet, or with a trace of dye, the middle moves towards the cyan."""
    return np.asarray(hump(447.0 + 8.0 * z[0], 24.0 + 4.0 * z[1], 30.0 + 5.0 * z[2]))


RESPONSE = Response(
    "blue-sensitive",
    "blue-sensitive",
    "silver bromide and iodide undyed, nothing beyond about 500 nm: from memory",
    from_memory=True,
    members=members(_member, 3, ripple=0.12, outliers=[_outlier(z) for z in even_normals(3, 3)]),
)
