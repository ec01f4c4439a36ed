"""The recipes of two paints that may come near, without trying every one."""

from __future__ import annotations

from functools import partial

import numpy as np

from palette.paints.mixing.search.trying import Search, compositions, in_threads


def twos(search: Search) -> None:
    """Every recipe of two paints."""
    in_threads([partial(_of, search, at) for at in range(len(search.allowed) - 1)])


def _of(search: Search, at: int) -> None:
    """Recipes of the paint at `at` and a later one: they lie between the two most lopsided ones."""
    most = (search.drops - 1) / search.drops
    mates = search.allowed[at + 1 :]
    which = np.stack([np.full_like(mates, search.allowed[at]), mates], axis=1)
    one, two = search.film(which, (most, 1 - most)), search.film(which, (1 - most, most))
    left = search.bounds.spans(np.minimum(one, two), np.maximum(one, two)).nonzero()[0]
    which, one, two = which[left], one[left], two[left]
    half = search.film(which, (0.5, 0.5))
    drops = compositions(2, search.drops)
    first = drops[:, 0] >= drops[:, 1]
    for end, ours in ((one, drops[first]), (two, drops[~first])):
        pair = which[search.bounds.spans(np.minimum(end, half), np.maximum(end, half))]
        search.try_all(np.repeat(pair, len(ours), axis=0), np.tile(ours, (len(pair), 1)))
