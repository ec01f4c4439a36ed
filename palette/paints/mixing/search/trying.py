"""Trying recipes one by one."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import combinations

import numpy as np
from threadpoolctl import threadpool_limits

from palette.colour.difference import difference
from palette.colour.spaces import Array, xyz_to_lab
from palette.colour.spectra import tristimulus
from palette.paints.mixing import law
from palette.paints.mixing.colourants import Colourants
from palette.paints.mixing.search.best import ROUNDING, Best, Floats, Ints
from palette.paints.mixing.search.bounds import Bounds, reflect
from palette.paints.mixing.search.region import KEPT, region

_CACHED = 2048  # recipes at a time, so that the arrays stay in the processor's cache


@cache
def compositions(paints: int, most: int) -> Ints:
    """Every way of `paints` whole counts, each at least 1, adding up to at most `most`, in lowest terms."""

    def rows(left: int, parts: int) -> list[tuple[int, ...]]:
        if parts == 1:
            return [(n,) for n in range(1, left + 1)]
        return [(n, *rest) for n in range(1, left - parts + 2) for rest in rows(left - n, parts - 1)]

    drops = np.array(rows(most, paints), dtype=np.int64).reshape(-1, paints)
    return np.asarray(drops[np.gcd.reduce(drops, axis=1) == 1])


class Search:
    """One target, some paints of a list (`allowed`), at most `drops` drops."""

    def __init__(self, paints: Colourants, allowed: Ints, best: Best, drops: int) -> None:
        self.paints, self.allowed, self.best, self.drops = paints, allowed, best, drops
        # Impossible colours give K and S beyond single precision; past these ends nothing reflects, or all.
        self.k = np.clip(paints.absorption, 1e-12, 1e12).astype(np.float32)
        self.s = np.clip(paints.scattering, 1e-6, 1e12).astype(np.float32)
        self.gloss = paints.gloss.astype(np.float32)
        table, self.white = tristimulus("D65")
        self.xyz = (table / self.white).astype(np.float32)
        self.bounds = Bounds(self.xyz, self.gloss[allowed])
        self.radius = -1.0
        self.region: tuple[Floats, Floats] = (np.zeros(0, np.float32), np.zeros(0, np.float32))
        self.aim()

    def aim(self) -> None:
        """Set the region of X, Y, Z, X − Y and Y − Z that any colour within the best so far lies in."""
        radius = self.best.limit + ROUNDING
        if radius == self.radius:
            return
        least, most = region(self.best.lab, radius, self.white)
        self.region = (least - 1e-5).astype(np.float32), (most + 1e-5).astype(np.float32)
        self.bounds.aim(*self.region)
        self.radius = radius

    def try_all(self, which: Ints, drops: Ints) -> None:
        """Recipes (m, p): keep those that are among the best."""
        for start in range(0, len(which), _CACHED):
            rows = slice(start, start + _CACHED)
            parts = drops[rows].T.astype(np.float32)[..., None]
            k, s, gloss = (self.mixed(x, which[rows], parts) for x in (self.k, self.s, self.gloss[:, None]))
            xyz = reflect(k, s) @ self.xyz
            xyz += law.K1 * gloss / parts.sum(axis=0) * self.xyz.sum(axis=0)
            least, most = self.region
            kept = xyz @ KEPT.astype(np.float32)
            near = np.flatnonzero(((kept >= least) & (kept <= most)).all(axis=1))
            if len(near):
                lab = xyz_to_lab(xyz[near].astype(np.float64) * self.white, self.white)
                self.offer(which[rows][near], drops[rows][near], lab)
        with self.best.lock:
            self.best.tried += len(which)

    def offer(self, which: Ints, drops: Ints, lab: Array | Floats) -> None:
        """Recipes (m, p) that look like `lab` (m, 3): keep those that are among the best."""
        self.best.offer(which, drops, difference(self.best.lab, lab).astype(np.float32))
        self.aim()

    def every(self, sets: Ints) -> None:
        """Try every recipe of every set of paints (m, p)."""
        drops = compositions(sets.shape[1], self.drops)
        if not len(drops) or not len(sets):
            return
        for part in np.array_split(sets, max(1, len(sets) * len(drops) // 65536)):
            self.try_all(np.repeat(part, len(drops), axis=0), np.tile(drops, (len(part), 1)))

    def singles(self) -> None:
        """Every paint alone."""
        one = np.ones((len(self.allowed), 1), dtype=np.int64)
        self.offer(self.allowed[:, None], one, self.paints.lab[self.allowed])

    def sets(self, p: int) -> Ints:
        """Every set of p paints (m, p)."""
        return np.array(list(combinations(self.allowed, p)), dtype=np.int64).reshape(-1, p)

    def film(self, which: Ints, shares: Sequence[float]) -> Floats:
        """Reflectance without gloss (m, 31) of paints `which` (m, p) mixed by `shares` (p,)."""
        parts = np.array(shares, dtype=np.float32)
        return reflect(self.mixed(self.k, which, parts), self.mixed(self.s, which, parts))

    @staticmethod
    def mixed(of_each: Floats, which: Ints, parts: Floats) -> Floats:
        """The sum (m, k), over paints `which` (m, p), of `parts` (p, …) of what is known of each (n, k)."""
        total = of_each.take(which[:, 0], axis=0)
        total *= parts[0]
        for paint, part in zip(which.T[1:], parts[1:], strict=True):
            more = of_each.take(paint, axis=0)
            more *= part
            total += more
        return total


def in_threads(tasks: Sequence[Callable[[], None]]) -> None:
    """Do all tasks."""
    # The threads are here; more of them inside each product of matrices would only get in the way.
    with threadpool_limits(1), ThreadPoolExecutor(os.cpu_count()) as pool:
        for done in [pool.submit(task) for task in tasks]:
            done.result()
