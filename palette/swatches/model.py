"""A swatch list: the user's own paints as arrays, one row a paint, in the order of the file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array


@dataclass(frozen=True)
class Swatch:
    """One paint. Optional cells that were blank are None (or '' for words)."""

    id: str
    name: str
    lab: Array  # (3,), CIELAB D65
    measured: str  # where the colour came from: 'reflectance' | 'lab' | 'hex'
    reflectance: Array | None = None  # (31,), 400…700 nm
    range: str = ""
    finish: str = ""
    medium: str = ""  # what thins it: 'water', 'enamel', 'lacquer' or 'oil'; '' where that is not known
    opacity: float | None = None  # 0..1
    owned: bool | None = None
    retired: bool = False
    volume_ml: float | None = None
    price: float | None = None
    coverage_cm2_per_ml: float | None = None
    source: str = ""
    notes: str = ""
    tint_lab: Array | None = None  # (3,), a let-down in white
    tint_reflectance: Array | None = None  # (31,)
    tint_share: float | None = None  # volume of this paint in that mixture
    tint_white: str | None = None  # id of the white
    specular: str = "excluded"  # included | excluded
    spread: float | None = None  # CIEDE2000 radius, nine times in ten, of the reading itself, where known
    file: str = ""
    line: int | None = None


@dataclass(frozen=True, eq=False)
class SwatchList:
    """Swatches of one or several lists, ids unique over all of them."""

    swatches: tuple[Swatch, ...]

    @classmethod
    def read(cls, *paths: str | Path) -> SwatchList:
        """Read one or more lists (CSV, or CGATS.17 / ISO 28178 text) as one.

        Raises:
            InputError: with every problem of every row, each with its line.
        """
        from palette.swatches.reading import read

        return cls(tuple(read([Path(path) for path in paths])))

    def __len__(self) -> int:
        return len(self.swatches)

    @property
    def lab(self) -> Array:
        """(n, 3)"""
        return np.array([swatch.lab for swatch in self.swatches], dtype=np.float64).reshape(-1, 3)

    @property
    def ids(self) -> list[str]:
        return [swatch.id for swatch in self.swatches]

    def where(self, keep: Sequence[bool]) -> SwatchList:
        """The swatches for which `keep` is true, in order."""
        return SwatchList(tuple(s for s, k in zip(self.swatches, keep, strict=True) if k))

    def among(self, rows: Iterable[int]) -> SwatchList:
        """The swatches of those rows, in their order."""
        return SwatchList(tuple(self.swatches[i] for i in rows))

    def nearest(self, lab: ArrayLike, count: int = 5) -> tuple[np.ndarray, Array]:
        """The nearest swatches by CIEDE2000, exactly: (n, 3) -> indices (n, count), differences (n, count).

        (3,) gives (count,). Nearest first, ties in list order; a count above the list's length is cut to it.
        """
        from palette.colour.nearest import NearestIndex

        index = self.__dict__.get("_index")
        if index is None:
            index = NearestIndex(self.lab)
            object.__setattr__(self, "_index", index)
        nearest: tuple[np.ndarray, Array] = index.query(np.asarray(lab, dtype=np.float64), count)
        return nearest
