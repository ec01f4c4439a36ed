"""The exact nearest neighbours under CIEDE2000."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palette.colour.difference import difference
from palette.colour.spaces import Array


class NearestIndex:
    """Colours (m, 3) in CIELAB, to be asked for the ones nearest to others."""

    def __init__(self, lab: ArrayLike) -> None:
        self.lab: Array = np.array(lab, dtype=np.float64).reshape(-1, 3)

    def query(self, lab: ArrayLike, count: int = 5) -> tuple[NDArray[np.intp], Array]:
        """The `count` nearest of each colour (n, 3) -> indices (n, count), CIEDE2000 (n, count).

        (3,) gives (count,). Nearest first, ties in list order; a count above the list's length is cut to it.
        """
        wanted = np.asarray(lab, dtype=np.float64)
        flat = wanted.reshape(-1, 3)
        count = min(count, len(self.lab))
        indices = np.empty((len(flat), count), dtype=np.intp)
        differences = np.empty((len(flat), count))
        step = max(1, 200_000 // max(1, len(self.lab)))
        for start in range(0, len(flat), step):
            rows = slice(start, start + step)
            d = difference(flat[rows, None, :], self.lab[None, :, :])
            order = np.argsort(d, axis=1, kind="stable")[:, :count]
            indices[rows] = order
            differences[rows] = np.take_along_axis(d, order, axis=1)
        if wanted.ndim == 1:
            return indices[0], differences[0]
        return indices, differences
