"""The best recipes for a colour."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.paints.mixing.colourants import Colourants


@cache
def compositions(paints: int, most: int) -> np.ndarray:
    """Every way of `paints` whole counts, each at least 1, adding up to at most `most`, in lowest terms."""

    def rows(left: int, parts: int) -> list[tuple[int, ...]]:
        if parts == 1:
            return [(n,) for n in range(1, left + 1)]
        return [(n, *rest) for n in range(1, left - parts + 2) for rest in rows(left - n, parts - 1)]

    found = np.array(rows(most, paints), dtype=np.int64).reshape(-1, paints)
    return found[np.gcd.reduce(found, axis=1) == 1]


def best(
    paints: Colourants, lab: Array, max_paints: int, max_drops: int, count: int
) -> list[tuple[Array, Array]]:
    """The `count` best recipes for `lab` (3,): (indices of paints, drops of each)."""
    pool: list[tuple[float, int, int, tuple[int, ...], tuple[int, ...]]] = []
    n = len(paints.ids)
    for p in range(1, min(max_paints, n, max_drops) + 1):
        drops = compositions(p, max_drops)
        shares = drops / drops.sum(axis=1, keepdims=True)
        sets = np.array(list(combinations(range(n), p)))
        block = max(1, 20_000 // len(drops))
        for start in range(0, len(sets), block):
            part = sets[start : start + block]
            which = np.repeat(part, len(drops), axis=0)
            off = difference(lab, paints.predict(np.tile(shares, (len(part), 1)), which))
            for i in np.argsort(off, kind="stable")[:count]:
                recipe = drops[i % len(drops)]
                pool.append((round(float(off[i]), 3), p, int(recipe.sum()), tuple(which[i]), tuple(recipe)))
        pool = sorted(pool)[:count]
    return [(np.array(which), np.array(recipe)) for _, _, _, which, recipe in pool]
