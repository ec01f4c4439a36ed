"""The best recipes for a colour, found without trying every one.

Three paints in up to twelve drops make 190 recipes; 200 paints have 1.3 million threes. What allows
most of them to be passed over is that the look of all that can be mixed from a few mixtures is bounded by
the look of those (`bounds`). Recipes are cut into cells (`cells`), and a cell whose bounds miss all colours
as near as the best recipes so far (`region`) is dropped with all in it. Cells of paints much alike are asked
for together first, and those left one by one; what is left then is cut finer and asked again (`threes`;
`twos` for two paints). Only recipes that may still be near are worked out in full (`trying`), and the best of
them kept (`best`). All bounds hold for any paints, so the answer is that of trying everything.

Bounding runs in single precision with room for its rounding; recipes are compared in double.
"""

from __future__ import annotations

import math

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.paints.mixing.colourants import Colourants
from palette.paints.mixing.search.best import ROUNDING, Best, Ints, RankedRecipe, Surest, Within
from palette.paints.mixing.search.threes import Threes
from palette.paints.mixing.search.trying import Search, compositions
from palette.paints.mixing.search.twos import nearest_of_two, twos

__all__ = ["FEWER", "WIDE", "Best", "RankedRecipe", "compositions", "searched", "thinned_alike", "within"]

_TRIED = 400_000  # this many recipes are simply tried
WIDE = 350  # of lists of more paints than this, only so many, the most promising, are mixed by threes
FEWER = 200  # the same where the list itself is too long to be mixed whole
_TRIED_OUT = 30  # paints of which every three is simply tried
_FIRST = 16  # the most promising paints, whose recipes are what those of the others are held against


def searched(
    paints: Colourants,
    allowed: Ints,
    lab: Array,
    max_paints: int,
    max_drops: int,
    count: int,
    surest: bool = False,
    wide: int = WIDE,
) -> Best:
    """The `count` best recipes for `lab` (3,) from the paints `allowed`, and how many were worked out.

    Nearest first, then fewest paints, fewest drops, least harm from a drop too many, first in the list. With
    `surest` nearness is √(difference² + (error / 2)²), `error` being that of the prediction.
    At most `wide` paints are mixed by threes.
    """
    keep = (Surest if surest else Best)(paints, lab, count)
    Search(paints, allowed, keep, max_drops).singles()
    for some in thinned_alike(paints, allowed):
        _mixed(Search(paints, some, keep, max_drops), max_paints, max_drops, wide)
    return keep


def thinned_alike(paints: Colourants, allowed: Ints) -> list[Ints]:
    """The paints `allowed` in groups that may be mixed: those that one thinner thins, with those of which
    nobody says what does."""
    medium = np.array(paints.medium)[allowed]
    known = sorted(set(medium.tolist()) - {""})
    return [allowed[(medium == one) | (medium == "")] for one in known] if len(known) > 1 else [allowed]


def _mixed(search: Search, max_paints: int, max_drops: int, wide: int) -> None:
    """Every recipe of two paints and more."""
    paints, keep = search.paints, search.best
    for p in range(2, min(max_paints, len(search.allowed), max_drops) + 1):
        if p == 2:
            twos(search)
        elif not _bounded(search, p):
            search.every(search.sets(p))
        else:
            promising = search.allowed[np.argsort(nearest_of_two(search), kind="stable")]
            few = _TRIED_OUT if wide <= _TRIED_OUT else _FIRST
            tried = Search(paints, np.sort(promising[: min(few, wide)]), keep, max_drops)
            tried.every(tried.sets(p))
            if wide > few:
                Threes(Search(paints, np.sort(promising[:wide]), keep, max_drops)).run()


def within(
    paints: Colourants, allowed: Ints, lab: Array, p: int, max_drops: int, farthest: float
) -> tuple[Ints, Ints, Array]:
    """Of every set of p paints, two or three, that comes within `farthest` of `lab` (3,) its best recipe.

    Returns paints (m, p), drops (m, p) and CIEDE2000 (m,), sets in the order of the list.
    """
    keep = Within(paints, lab, farthest)
    for some in thinned_alike(paints, allowed):
        search = Search(paints, some, keep, max_drops)
        if p == 2:
            twos(search)
        elif not _bounded(search, p):
            search.every(search.sets(p))
        else:
            Threes(search).run()
    none = np.zeros((0, p), dtype=np.int64)
    nearly = np.concatenate([np.zeros(0, np.float32), *(off for _, _, off in keep.near)])
    which = np.concatenate([none, *(rows for rows, _, _ in keep.near)])
    drops = np.concatenate([none, *(rows for _, rows, _ in keep.near)])
    order = np.argsort(which, axis=1)
    which, drops = np.take_along_axis(which, order, axis=1), np.take_along_axis(drops, order, axis=1)
    # of each set only what may be its best, whatever the rounding, is worked out once more in double
    _, number = np.unique(which @ len(paints.ids) ** np.arange(p)[::-1], return_inverse=True)
    least = np.full(number.max(initial=-1) + 1, np.inf, np.float32)
    np.minimum.at(least, number, nearly)
    rows = np.flatnonzero(nearly <= least[number] + 2 * ROUNDING)
    which, drops = which[rows], drops[rows]
    off = difference(lab, paints.predict(drops / drops.sum(axis=1, keepdims=True), which))
    # of recipes whose differences are the same but for rounding the one of the fewest drops
    order = np.lexsort((*drops.T, drops.sum(axis=1), off.round(9), *which.T[::-1]))
    which, drops, off = which[order], drops[order], off[order]
    best = np.ones(len(which), dtype=bool)
    best[1:] = (which[1:] != which[:-1]).any(axis=1)
    best &= off <= farthest
    return which[best], drops[best], off[best]


def _bounded(search: Search, p: int) -> bool:
    """Whether recipes of p paints, three or more, are so many that they are bounded and not simply tried."""
    return p == 3 and math.comb(len(search.allowed), p) * len(compositions(p, search.drops)) > _TRIED
