"""The recipes that are worth keeping, of all that are tried."""

from __future__ import annotations

from threading import Lock
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.paints.mixing.colourants import Colourants

Ints = NDArray[np.int64]
Floats = NDArray[np.float32]

DOUBT = 0.5  # the share of the expected error that is counted where the surest recipes are sought
STEP = 0.001  # CIEDE2000: differences that round to the same are a tie
ROUNDING = 0.01  # CIEDE2000 that single precision may be off


class RankedRecipe(NamedTuple):
    """A recipe; recipes are better the earlier they sort."""

    off: float  # CIEDE2000 to 3 decimals: predicted, or to be expected where the surest are sought
    paints: int
    total: int  # drops
    one_drop_off: float
    which: tuple[int, ...]
    drops: tuple[int, ...]


class Best:
    """The best recipes so far, of exact difference."""

    def __init__(self, paints: Colourants, lab: Array, count: int) -> None:
        self.paints, self.lab, self.count = paints, lab, count
        self.recipes: list[RankedRecipe] = []
        self.tried = 0  # recipes worked out in full
        self.lock = Lock()

    @property
    def limit(self) -> float:
        """No recipe that differs by more than this is among the best."""
        recipes = self.recipes
        return recipes[-1].off + STEP if len(recipes) == self.count else np.inf

    def offer(self, which: Ints, drops: Ints, off: Floats) -> None:
        """Recipes (m, p) with their differences in single precision (m,)."""
        rows = self.hopeful(off)
        if not len(rows):
            return
        exact = self.measured(which[rows], drops[rows] / drops[rows].sum(axis=1, keepdims=True))
        near = np.flatnonzero(exact <= self.limit)
        if len(near) > self.count:  # and no others can be among the best, tied or not
            near = near[exact[near] <= np.partition(exact[near], self.count - 1)[self.count - 1] + STEP]
        exact, which, drops = exact[near], which[rows[near]], drops[rows[near]]
        order = np.argsort(which, axis=1)
        which, drops = np.take_along_axis(which, order, axis=1), np.take_along_axis(drops, order, axis=1)
        robust = self.paints.one_drop_off(which, drops)
        self.keep(
            [
                RankedRecipe(round(off, 3), len(ids), sum(counts), round(moved, 3), tuple(ids), tuple(counts))
                for off, moved, ids, counts in zip(
                    exact.tolist(), robust.tolist(), which.tolist(), drops.tolist(), strict=True
                )
            ]
        )

    def hopeful(self, off: Floats) -> Ints:
        """Which recipes may be among the best."""
        rows = np.flatnonzero(off <= self.limit + ROUNDING)
        if len(rows) > 4 * self.count + 64:  # those beyond cannot be among the best whatever the rounding
            cut = np.partition(off[rows], self.count - 1)[self.count - 1] + 2 * ROUNDING + STEP
            rows = rows[off[rows] <= cut]
        return rows

    def measured(self, which: Ints, shares: Array) -> Array:
        """What recipes (m, p) are ranked by, never less than how far they are predicted to be off."""
        return difference(self.lab, self.paints.predict(shares, which))

    def keep(self, new: list[RankedRecipe]) -> None:
        with self.lock:  # the list is replaced, never changed: other threads read the limit meanwhile
            self.recipes = sorted({*self.recipes, *new})[: self.count]


class Surest(Best):
    """The recipes that are likely to come nearest, the error of the prediction counted, too."""

    def hopeful(self, off: Floats) -> Ints:
        return np.flatnonzero(off <= self.limit + ROUNDING)

    def measured(self, which: Ints, shares: Array) -> Array:
        return np.hypot(super().measured(which, shares), DOUBT * self.paints.expected_errors(which, shares))


class Within(Best):
    """Every recipe that differs by no more than `farthest`."""

    def __init__(self, paints: Colourants, lab: Array, farthest: float) -> None:
        super().__init__(paints, lab, 0)
        self.farthest = farthest
        self.near: list[tuple[Ints, Ints, Floats]] = []

    @property
    def limit(self) -> float:
        return self.farthest

    def offer(self, which: Ints, drops: Ints, off: Floats) -> None:
        rows = off <= self.farthest + ROUNDING
        with self.lock:
            self.near.append((which[rows], drops[rows], off[rows]))
