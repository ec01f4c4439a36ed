"""The recipes of three paints that may come near, without trying every one.

Each three is cut into recipes of more than half of one paint, three corners, and the others, its middle
(`cells`). They are asked for in turn, each time only those that are left:

1. corners and middles of whole groups of paints much alike, spanned by mixtures of two;
2. those of single paints, spanned likewise: such mixtures are few, and known once for all threes;
3. each by itself, spanned by the outermost mixtures of three that its recipes can be mixed from;
4. each of the cells it is cut into;
5. each recipe, by the chords of its cell.

What is left then is worked out.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from palette.paints.mixing.search.best import Floats, Ints
from palette.paints.mixing.search.bounds import reflect
from palette.paints.mixing.search.cells import Mesh, corner, middle
from palette.paints.mixing.search.trying import Search, compositions, in_threads

_GROUP = 8  # paints much alike that are asked for together
_PAINTS = 32  # whose threes are asked for together
_PAIRS = 8192  # asked for at a time: enough for threads not to wait on each other, and little memory
_THREES = 8192  # likewise
_RECIPES = 1 << 19  # of cells by recipes at a time


class Threes:
    """Every recipe of three paints of a search. Paints are numbered here so that like ones are together."""

    def __init__(self, search: Search) -> None:
        self.search, self.bounds = search, search.bounds
        self.ids = search.allowed[_alike_together(_beside_all(search))]
        self.k, self.s = search.k.take(self.ids, axis=0), search.s.take(self.ids, axis=0)
        level = self.s @ search.xyz[:, 1]
        self.level, self.shape = level, np.log(self.s / level[:, None]) / 4
        drops = compositions(3, search.drops)
        self.corner, self.middle = corner(drops), middle(drops)
        n = len(self.ids)
        fill = -(-n // _GROUP) * _GROUP
        self.groups = np.minimum(np.arange(fill), n - 1).reshape(-1, _GROUP)

    def run(self) -> None:
        n = len(self.ids)
        self.halves = np.empty((n, n, self.k.shape[1]), np.float32)  # of each two paints, half and half
        for at in range(n):
            self.halves[at] = reflect(self.k + self.k[at], self.s + self.s[at])
        lows = [self.halves[group].min(axis=0)[self.groups].min(axis=1) for group in self.groups]
        highs = [self.halves[group].max(axis=0)[self.groups].max(axis=1) for group in self.groups]
        self.halves_low, self.halves_high = np.stack(lows), np.stack(highs)
        parts = np.array_split(np.arange(n), -(-n // _PAINTS))
        in_threads([] if self.corner is None else [partial(self.corners, part) for part in parts])
        in_threads([partial(self.middles, part) for part in parts])

    def corners(self, paints: Ints) -> None:
        """Recipes that are more than half of one of `paints`."""
        assert self.corner is not None
        mates = []
        for at in paints:
            # of it and each other one, with the most of the other that there is and with the least
            films = [
                reflect(w * self.k[at] + (1 - w) * self.k, w * self.s[at] + (1 - w) * self.s)
                for w in (self.corner.outer[0, 0], self.corner.outer[2, 0])
            ]
            mates.append(self.mates(at, np.minimum(*films), np.maximum(*films), between=False))
        self.ask(self.corner, np.concatenate(mates, axis=1))

    def middles(self, paints: Ints) -> None:
        """Recipes none of which is more than half, the first of the three in the list one of `paints`."""
        mates = [self.mates(at, self.halves[at], self.halves[at], between=True) for at in paints]
        self.ask(self.middle, np.concatenate(mates, axis=1))

    def mates(self, at: int, low: Floats, high: Floats, between: bool) -> Ints:
        """Threes (3, m) that may come near, of the paint at `at` and pairs of others.

        `low` and `high` (n, 31) are what the mixtures of each with it lie between. With `between` what the
        two have between them, half and half, counts too, and only paints after `at` do.
        """
        one, two = np.triu_indices(len(self.groups))
        if between:
            late = one >= at // _GROUP
            one, two = one[late], two[late]
        lows, highs = low.take(self.groups, axis=0).min(axis=1), high.take(self.groups, axis=0).max(axis=1)
        least, most = np.minimum(lows[one], lows[two]), np.maximum(highs[one], highs[two])
        if between:
            np.minimum(least, self.halves_low[one, two], out=least)
            np.maximum(most, self.halves_high[one, two], out=most)
        left = self.bounds.spans(least, most).nonzero()[0]

        i, j = np.divmod(np.arange(_GROUP * _GROUP), _GROUP)
        first, second = (one[left, None] * _GROUP + i).ravel(), (two[left, None] * _GROUP + j).ravel()
        ok = (first < second) & (second < len(self.ids)) & (first != at) & (second != at)
        if between:
            ok &= first > at
        first, second = first[ok], second[ok]
        near = [np.zeros(0, dtype=np.int64)]
        for start in range(0, len(first), _PAIRS):
            a, b = first[start : start + _PAIRS], second[start : start + _PAIRS]
            least = np.minimum(low.take(a, axis=0), low.take(b, axis=0))
            most = np.maximum(high.take(a, axis=0), high.take(b, axis=0))
            if between:
                half = self.halves.reshape(-1, least.shape[1]).take(a * len(self.ids) + b, axis=0)
                np.minimum(least, half, out=least)
                np.maximum(most, half, out=most)
            near.append(start + self.bounds.spans(least, most).nonzero()[0])
        left = np.concatenate(near)
        return np.stack([np.full_like(left, at), first[left], second[left]])

    def ask(self, mesh: Mesh, threes: Ints) -> None:
        """Try those recipes of a mesh, of threes (3, m), that may come near."""
        if not threes.size:
            return
        left: list[list[_Left]] = [[] for _ in mesh.cells]
        for start in range(0, threes.shape[1], _THREES):
            for of_cell, some in zip(left, self.cells(mesh, threes[:, start : start + _THREES]), strict=True):
                of_cell.append(some)
        which = [np.zeros((0, 3), dtype=np.int64)]
        drops = which.copy()
        for cell, blocks in zip(mesh.cells, left, strict=True):
            three, seen, losses = (np.concatenate(parts, axis=1) for parts in zip(*blocks, strict=True))
            levels = mesh.nodes[cell.corners] @ self.level.take(three)
            width = max(1, _RECIPES // len(cell.drops))
            for start in range(0, three.shape[1], width):
                rows = slice(start, start + width)
                recipe, row = self.bounds.mixed(cell.weights, levels[:, rows], seen[:, rows], losses[:, rows])
                which.append(self.ids[three[:, start + row].T])
                drops.append(cell.drops[recipe])
        self.search.try_all(np.concatenate(which), np.concatenate(drops))

    def cells(self, mesh: Mesh, three: Ints) -> list[_Left]:
        """Of each cell of a mesh, of which three paints (3, m) it may come near."""
        k, s = self.k.take(three, axis=0), self.s.take(three, axis=0)
        films = _mixed(mesh.outer, k, s)
        left = self.bounds.spans(films.min(axis=0), films.max(axis=0)).nonzero()[0]
        three = three[:, left]
        more = _mixed(mesh.inner, k.take(left, axis=1), s.take(left, axis=1))
        films = np.concatenate([films.take(left, axis=1), more])
        seen = self.bounds.seen(films)
        return [self.cell(three, films[cell.corners], seen[cell.corners]) for cell in mesh.cells]

    def cell(self, three: Ints, films: Floats, seen: Floats) -> _Left:
        """Of which three paints (3, m) a cell may come near, by `films` and what is `seen` of its corners."""
        low, high = films.min(axis=0), films.max(axis=0)
        rows = self.bounds.spans(low, high).nonzero()[0]
        three, seen = three[:, rows], seen.take(rows, axis=1)
        shape = self.shape.take(three, axis=0)
        shift = shape.max(axis=0) - shape.min(axis=0)
        losses = self.bounds.losses(low.take(rows, axis=0), high.take(rows, axis=0), shift)
        rows = self.bounds.chords(seen, losses).nonzero()[0]
        return three[:, rows], seen[:, rows], losses[:, rows]


_Left = tuple[Ints, Floats, Floats]  # the paints (3, m), and `seen` and `losses` of the cell of each three


def _mixed(shares: Floats, k: Floats, s: Floats) -> Floats:
    """Reflectances without gloss (c, m, 31), of each of m threes (3, m, 31) the mixtures `shares` (c, 3)."""
    flat = reflect(shares @ k.reshape(3, -1), shares @ s.reshape(3, -1))
    return flat.reshape(len(shares), *k.shape[1:])


def _beside_all(search: Search) -> Floats:
    """How each paint looks half and half with all of them together (n, 31)."""
    k, s = search.k.take(search.allowed, axis=0), search.s.take(search.allowed, axis=0)
    return reflect(*(x + np.exp(np.log(x).mean(axis=0)) for x in (k, s)))


def _alike_together(film: Floats) -> Ints:
    """Rows (n, 31) in an order in which every `_GROUP` of them are much alike."""

    def ordered(rows: Ints) -> list[int]:
        if len(rows) <= _GROUP:
            return list(rows.tolist())
        off = film[rows] - film[rows].mean(axis=0)
        along = off @ np.linalg.svd(off, full_matrices=False)[2][0]
        rows = rows[np.argsort(along, kind="stable")]
        middle = max(1, round(len(rows) / 2 / _GROUP)) * _GROUP
        return ordered(rows[:middle]) + ordered(rows[middle:])

    return np.array(ordered(np.arange(len(film))))
