"""The recipes of two paints that may come near, without trying every one."""

from __future__ import annotations

from functools import partial

import numpy as np

from palette.colour.spaces import Array, xyz_to_lab
from palette.paints.mixing.search.best import Ints
from palette.paints.mixing.search.trying import Search, compositions, in_threads

_PAIRS = 2048  # asked for at a time: few, since the first find what the others are held against


def twos(search: Search) -> None:
    """Every recipe of two paints."""
    pairs = search.allowed[np.stack(np.triu_indices(len(search.allowed), 1), axis=1)]
    starts = range(0, len(pairs), _PAIRS)
    in_threads([partial(_of, search, pairs[start : start + _PAIRS]) for start in starts])


def _of(search: Search, pairs: Ints) -> None:
    """Recipes of pairs (m, 2): between the two most lopsided ones, and on one side of half and half."""
    most = (search.drops - 1) / search.drops
    one, two = search.film(pairs, (most, 1 - most)), search.film(pairs, (1 - most, most))
    left = search.bounds.spans(np.minimum(one, two), np.maximum(one, two)).nonzero()[0]
    pairs, one, two = pairs[left], one.take(left, axis=0), two.take(left, axis=0)
    half = search.film(pairs, (0.5, 0.5))
    drops = compositions(2, search.drops)
    first = drops[:, 0] >= drops[:, 1]
    for end, ours in ((one, drops[first]), (two, drops[~first])):
        pair = pairs[search.bounds.spans(np.minimum(end, half), np.maximum(end, half))]
        search.try_all(np.repeat(pair, len(ours), axis=0), np.tile(ours, (len(pair), 1)))


def nearest_of_two(search: Search) -> Array:
    """How near each paint allowed (n,) comes, mixed with one other: the square of CIE 1976's difference."""
    n = len(search.allowed)
    first, second = np.triu_indices(n, 1)
    pairs = search.allowed[np.stack([first, second], axis=1)]
    nearest = np.full(len(pairs), np.inf)

    def look(rows: slice) -> None:
        for w in (0.25, 0.5, 0.75):
            xyz = search.film(pairs[rows], (w, 1 - w)) @ search.xyz
            off = ((xyz_to_lab(xyz * search.white, search.white) - search.best.lab) ** 2).sum(axis=1)
            nearest[rows] = np.minimum(nearest[rows], off)

    starts = range(0, len(pairs), 4 * _PAIRS)
    in_threads([partial(look, slice(start, start + 4 * _PAIRS)) for start in starts])
    score = np.full(n, np.inf)
    np.minimum.at(score, first, nearest)
    np.minimum.at(score, second, nearest)
    return score
