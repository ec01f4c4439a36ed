"""The recipes of two paints that may come near."""

from __future__ import annotations

from functools import partial

import numpy as np

from palette.colour.spaces import Array, xyz_to_lab
from palette.memory import remembered
from palette.paints.mixing import law
from palette.paints.mixing.inference import lab_of
from palette.paints.mixing.search.best import Floats, Ints
from palette.paints.mixing.search.bounds import reflect
from palette.paints.mixing.search.region import at_least, box
from palette.paints.mixing.search.trying import Search, compositions, in_threads

_PAIRS = 2048  # asked for at a time: few, since the first find what the others are held against
_KEPT = 1_200_000  # recipes whose looks are kept for the next colour: 14 MB
_FIRST = 64  # recipes that look nearest, which the others are held against
_SLACK = 1e-3  # of L*, a* and b* in single precision


def twos(search: Search) -> None:
    """Every recipe of two paints.

    Of a list that is not too long all are worked out, once for every colour that is asked for. Of a longer
    one only those are that may come near.
    """
    drops = compositions(2, search.drops)
    pairs = np.stack(np.triu_indices(len(search.allowed), 1), axis=1)
    if len(pairs) * len(drops) <= _KEPT:
        _looked_up(search, pairs, drops)
        return
    pairs = search.allowed[pairs]
    starts = range(0, len(pairs), _PAIRS)
    in_threads([partial(_of, search, pairs[start : start + _PAIRS]) for start in starts])


def _looked_up(search: Search, pairs: Ints, drops: Ints) -> None:
    """Recipes of pairs (m, 2) of paints that are allowed: those that look nearest, and then all that the
    best of these do not rule out."""
    if not len(pairs) or not len(drops):
        return
    k, s, gloss = (x.take(search.allowed, axis=0) for x in (search.k, search.s, search.gloss))
    lab = _looks(k, s, gloss, search.drops)
    pairs = search.allowed[pairs]

    def offer(rows: Ints) -> None:
        search.offer(pairs[rows % len(pairs)], drops[rows // len(pairs)], lab[:, rows].T)

    apart = ((lab - search.best.lab.astype(np.float32)[:, None]) ** 2).sum(axis=0)
    first = 4 * search.best.count + _FIRST
    offer(np.argpartition(apart, first)[:first] if first < len(apart) else np.arange(len(apart)))
    least, most, weights = box(search.best.lab, search.radius)
    near = np.ones(len(apart), dtype=bool)
    for seen, low, high in zip(lab, least - _SLACK, most + _SLACK, strict=True):
        near &= (seen >= np.float32(low)) & (seen <= np.float32(high))
    rows = np.flatnonzero(near)
    bound = at_least(search.best.lab, lab[:, rows], weights)
    best = np.argsort(bound, kind="stable") if len(rows) <= first else np.argpartition(bound, first)[:first]
    offer(rows[best])
    bound[best] = np.inf
    offer(rows[bound <= (search.radius + _SLACK) ** 2])


@remembered()
def _looks(k: Floats, s: Floats, gloss: Floats, most: int) -> Floats:
    """CIELAB (3, d · m) of every recipe of two paints: m pairs for each of d ways to count drops.

    `k` and `s` (n, 31), `gloss` (n,), `most` drops at the most.
    """
    drops = compositions(2, most).astype(np.float32)
    one, two = np.triu_indices(len(k), 1)
    looks = np.empty((3, len(drops), len(one)), np.float32)

    def look(row: int, rows: slice) -> None:
        first, second = drops[row]
        films = reflect(
            *(first * x.take(one[rows], axis=0) + second * x.take(two[rows], axis=0) for x in (k, s))
        )
        shine = (first * gloss[one[rows]] + second * gloss[two[rows]]) / (first + second)
        looks[:, row, rows] = lab_of(films + law.K1 * shine[:, None]).T

    starts = range(0, len(one), _PAIRS)
    in_threads([partial(look, row, slice(at, at + _PAIRS)) for row in range(len(drops)) for at in starts])
    return looks.reshape(3, -1)


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
