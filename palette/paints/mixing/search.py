"""The best recipes for a colour, found without trying every one.

Three paints in up to twelve drops make 190 recipes; 200 paints have 1.3 million threes. What allows
most of them to be passed over is that at every wavelength K/S of a mixture lies between those of any
mixtures it can itself be mixed from, so the reflectance does too. The recipes of three paints are cut
into cells, each spanned by a few mixtures, mostly of two paints, whose reflectances are known. The
lowest and the highest reflectance among those, wavelength by wavelength, bound X, Y, Z, X − Y and
Y − Z of every recipe in the cell. A cell whose bounds miss all colours as near as the best recipes so
far is dropped with all in it; one that does not is cut into four and asked again; what is left is
tried. Bounds hold for any paints, so the answer is that of trying everything.

Bounding runs in single precision with room for its rounding; recipes are compared in double.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import combinations
from threading import Lock
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from threadpoolctl import threadpool_limits

from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_xyz, xyz_to_lab
from palette.colour.spectra import tristimulus
from palette.paints.mixing import law
from palette.paints.mixing.colourants import Colourants

Ints = NDArray[np.int64]
Floats = NDArray[np.float32]

STEP = 0.001  # CIEDE2000: differences that round to the same are a tie
_ROUNDING = 0.01  # CIEDE2000 that single precision may be off
_TRIED = 400_000  # this many recipes are simply tried
_WIDE = 250  # lists of more paints than this are first searched among their most promising
_PROMISING = 160
_ENOUGH = 0.25  # CIEDE2000: the search of a longer list may end once all recipes asked for are this near
_BLOCK = 32
_CACHED = 2048  # recipes at a time, so that the arrays stay in the processor's cache
# The combinations of X, Y and Z (columns), each over its white's, that bounds are kept of.
_KEPT = np.array([[1, 0, 0, 1, 0], [0, 1, 0, -1, 1], [0, 0, 1, 0, -1]], dtype=np.float64)


@cache
def compositions(paints: int, most: int) -> Ints:
    """Every way of `paints` whole counts, each at least 1, adding up to at most `most`, in lowest terms."""

    def rows(left: int, parts: int) -> list[tuple[int, ...]]:
        if parts == 1:
            return [(n,) for n in range(1, left + 1)]
        return [(n, *rest) for n in range(1, left - parts + 2) for rest in rows(left - n, parts - 1)]

    found = np.array(rows(most, paints), dtype=np.int64).reshape(-1, paints)
    return np.asarray(found[np.gcd.reduce(found, axis=1) == 1])


class Found(NamedTuple):
    """A recipe; recipes are better the earlier they sort."""

    difference: float  # CIEDE2000 to 3 decimals
    paints: int
    total: int  # drops
    one_drop_off: float
    which: tuple[int, ...]
    drops: tuple[int, ...]


class _Best:
    """The best recipes so far, of exact difference."""

    def __init__(self, paints: Colourants, lab: Array, count: int) -> None:
        self.paints, self.lab, self.count = paints, lab, count
        self.found: list[Found] = []
        self.lock = Lock()

    @property
    def limit(self) -> float:
        """No recipe that differs by more than this is among the best."""
        found = self.found
        return found[-1].difference + STEP if len(found) == self.count else np.inf

    def offer(self, which: Ints, drops: Ints, off: Floats) -> None:
        """Recipes (m, p) with their differences in single precision (m,)."""
        rows = np.flatnonzero(off <= self.limit + _ROUNDING)
        if len(rows) > 4 * self.count + 64:  # those beyond cannot be among the best whatever the rounding
            cut = np.partition(off[rows], self.count - 1)[self.count - 1] + 2 * _ROUNDING + STEP
            rows = rows[off[rows] <= cut]
        if not len(rows):
            return
        total = drops[rows].sum(axis=1, keepdims=True)
        exact = difference(self.lab, self.paints.predict(drops[rows] / total, which[rows]))
        new = []
        for i, row in enumerate(rows):
            if exact[i] <= self.limit:
                recipe = sorted(zip(which[row].tolist(), drops[row].tolist(), strict=True))
                ids, counts = tuple(paint for paint, _ in recipe), tuple(n for _, n in recipe)
                robust = self.paints.one_drop_off(np.array(ids), np.array(counts))
                new.append(
                    Found(round(float(exact[i]), 3), len(ids), sum(counts), round(robust, 3), ids, counts)
                )
        with self.lock:  # the list is replaced, never changed: other threads read the limit meanwhile
            self.found = sorted({*self.found, *new})[: self.count]


class _Search:
    """One target, some paints of a list (`allowed`), at most `drops` drops."""

    def __init__(self, paints: Colourants, allowed: Ints, best: _Best, drops: int) -> None:
        self.paints, self.allowed, self.best, self.drops = paints, allowed, best, drops
        self.k = paints.absorption.astype(np.float32)
        self.s = paints.scattering.astype(np.float32)
        self.gloss = paints.gloss.astype(np.float32)
        self.strength = self.k.mean(axis=1) + 0.3 * self.s.mean(axis=1)
        table, self.white = tristimulus("D65")
        x, y, z = (table / self.white).T
        self.xyz = np.stack([x, y, z], axis=1).astype(np.float32)
        # A span is the lowest reflectances of a cell beside its highest ones, these negative, so that the
        # spans of several cells are joined by one minimum. Times `bounds` it gives both bounds.
        kept = np.stack([x, y, z], axis=1) @ _KEPT
        up, down = np.maximum(kept, 0), np.minimum(kept, 0)
        self.bounds = np.block([[up, down], [-down, -up]]).astype(np.float32)
        # where gloss differs from paint to paint its share is bounded apart, by its whole range
        gloss = law.K1 * self.gloss[allowed]
        low, high = gloss.min(initial=law.K1), gloss.max(initial=0.0)
        sums = kept.sum(axis=0)
        more = np.concatenate([np.minimum(low * sums, high * sums), np.maximum(low * sums, high * sums)])
        self.extra = more.astype(np.float32)
        self.radius = -1.0
        self.region: tuple[Floats, Floats] = (np.zeros(0, np.float32), np.zeros(0, np.float32))
        self.aim()

    def aim(self) -> None:
        """Set the region of X, Y, Z, X − Y and Y − Z that any colour within the best so far lies in."""
        radius = self.best.limit + _ROUNDING
        if radius == self.radius:
            return
        self.radius = radius
        if not np.isfinite(radius):
            self.region = (
                np.full(len(_KEPT.T), -np.inf, np.float32),
                np.full(len(_KEPT.T), np.inf, np.float32),
            )
            return
        ways = _directions()
        low, high = np.zeros(len(ways)), np.full(len(ways), 400.0)
        for _ in range(24):
            middle = (low + high) / 2
            inside = difference(self.best.lab, self.best.lab + ways * middle[:, None]) <= radius
            low, high = np.where(inside, middle, low), np.where(inside, high, middle)
        rim = lab_to_xyz(self.best.lab + ways * (1.05 * high + 0.01)[:, None], self.white) / self.white
        seen = rim @ _KEPT
        self.region = (
            (seen.min(axis=0) - 1e-5).astype(np.float32), (seen.max(axis=0) + 1e-5).astype(np.float32)
        )  # fmt: skip

    def possible(self, span: Floats) -> NDArray[np.bool_]:
        """Which cells (…, 62) may hold a recipe in the region."""
        bound = span.reshape(-1, span.shape[-1]) @ self.bounds
        bound += self.extra
        least, most = self.region
        ok = (bound[:, : len(least)] <= most) & (bound[:, len(least) :] >= least)
        return np.asarray(ok.all(axis=1).reshape(span.shape[:-1]))

    def span(self, which: Ints, shares: Floats) -> Floats:
        """The span (m, 62) of single mixtures, as `film`."""
        film = self.film(which, shares)
        return np.concatenate([film, -film], axis=1)

    def film(self, which: Ints, shares: Floats) -> Floats:
        """Reflectance without gloss (m, 31) of `shares` (m, p), or (p,), of the paints `which` (m, p)."""
        part = np.broadcast_to(shares, which.shape).T[..., None]
        k = part[0] * self.k[which[:, 0]]
        s = part[0] * self.s[which[:, 0]]
        for i in range(1, which.shape[1]):
            k += part[i] * self.k[which[:, i]]
            s += part[i] * self.s[which[:, i]]
        return self.reflect(k, s)

    def reflect(self, k: Floats, s: Floats) -> Floats:
        # law.reflectance in place and in single precision
        q = np.divide(k, s, out=k)
        root = np.add(q, 2, out=s)
        root *= q
        np.sqrt(root, out=root)
        q += root
        q += 1 - law.K2  # 1 / inside − K2
        return np.asarray(np.divide(np.float32((1 - law.K1) * (1 - law.K2)), q, out=q))

    def try_all(self, which: Ints, drops: Ints) -> None:
        """Recipes (m, p): keep those that are among the best."""
        for start in range(0, len(which), _CACHED):
            rows = slice(start, start + _CACHED)
            shares = (drops[rows] / drops[rows].sum(axis=1, keepdims=True)).astype(np.float32)
            gloss = law.K1 * (shares * self.gloss[which[rows]]).sum(axis=1, keepdims=True)
            xyz = (self.film(which[rows], shares) + gloss) @ self.xyz
            least, most = self.region
            seen = xyz @ _KEPT.astype(np.float32)
            near = np.flatnonzero(((seen >= least) & (seen <= most)).all(axis=1))
            if len(near):
                lab = xyz_to_lab(xyz[near].astype(np.float64) * self.white, self.white)
                off = difference(self.best.lab, lab).astype(np.float32)
                self.best.offer(which[rows][near], drops[rows][near], off)
                self.aim()

    def every(self, sets: Ints) -> None:
        """Try every recipe of every set of paints (m, p)."""
        drops = compositions(sets.shape[1], self.drops)
        if not len(drops) or not len(sets):
            return
        for part in np.array_split(sets, max(1, len(sets) * len(drops) // 65536)):
            self.try_all(np.repeat(part, len(drops), axis=0), np.tile(drops, (len(part), 1)))

    def singles(self) -> None:
        one = np.ones((len(self.allowed), 1), dtype=np.int64)
        lab = self.paints.lab[self.allowed]
        self.best.offer(self.allowed[:, None], one, difference(self.best.lab, lab).astype(np.float32))
        self.aim()

    def pairs(self) -> None:
        """Every recipe of two paints."""
        _in_threads([(self.pairs_of, at) for at in range(len(self.allowed) - 1)])

    def pairs_of(self, at: int) -> None:
        """Recipes of the paint at `at` and a later one: they lie between the two most lopsided ones."""
        most = np.float32((self.drops - 1) / self.drops)
        mates = self.allowed[at + 1 :]
        which = np.stack([np.full_like(mates, self.allowed[at]), mates], axis=1)
        one = self.span(which, np.array([most, 1 - most], np.float32))
        two = self.span(which, np.array([1 - most, most], np.float32))
        ok = self.possible(np.minimum(one, two))
        if not ok.any():
            return
        half = self.span(which[ok], np.array([0.5, 0.5], np.float32))
        drops = compositions(2, self.drops)
        first = drops[:, 0] >= drops[:, 1]
        for end, half_drops in ((one[ok], drops[first]), (two[ok], drops[~first])):
            left = self.possible(np.minimum(end, half))
            pair = which[ok][left]
            self.try_all(np.repeat(pair, len(half_drops), axis=0), np.tile(half_drops, (len(pair), 1)))

    def triples(self) -> None:
        drops = compositions(3, self.drops)
        shares = drops / drops.sum(axis=1, keepdims=True)
        self.corner_drops = drops[shares[:, 0] > 0.5]
        self.middle_drops = drops[(shares <= 0.5).all(axis=1)]
        n = len(self.allowed)
        pairs = np.stack(np.meshgrid(self.allowed, self.allowed, indexing="ij"), axis=-1)
        self.halves = np.stack([self.span(row, np.array([0.5, 0.5], np.float32)) for row in pairs])
        tasks = [(self.corners, at) for at in range(n)] + [(self.middles, at) for at in range(n - 2)]
        _in_threads(tasks)

    def corners(self, at: int) -> None:
        """Recipes of three that are more than half of the paint at `at`."""
        if not len(self.corner_drops):
            return
        n, i = len(self.allowed), self.allowed[at]
        which = np.stack([np.full(n, i), self.allowed], axis=1)
        most = np.float32((self.drops - 2) / self.drops)
        cuts = np.linspace(most, 0.5, 4, dtype=np.float32)  # share of i where the cell is cut
        edges = [self.span(which, np.array([w, 1 - w], np.float32)) for w in cuts]
        outer = np.minimum(edges[0], edges[-1])
        others = np.arange(n) != at
        share = self.corner_drops[:, 0] / self.corner_drops.sum(axis=1)
        rest = self.corner_drops[:, 1] / self.corner_drops[:, 1:].sum(axis=1)
        for start in range(0, n, _BLOCK):
            j = slice(start, min(start + _BLOCK, n))
            ok = self.possible(np.minimum(outer[j, None], outer[None, start:]))
            ok &= (
                (np.arange(start, n)[None] > np.arange(start, j.stop)[:, None])
                & others[j, None]
                & others[None, start:]
            )
            a, b = np.nonzero(ok)
            a, b = a + start, b + start
            if not len(a):
                continue
            # between j and k cut where neither drowns the other
            weight = self.strength[self.allowed]
            cut = (weight[b] / (weight[a] + weight[b])).astype(np.float32)
            three = np.stack([np.full(len(a), i), self.allowed[a], self.allowed[b]], axis=1)
            inner = [
                self.span(three, np.stack([np.full_like(cut, w), (1 - w) * cut, (1 - w) * (1 - cut)], axis=1))
                for w in cuts
            ]
            for m in range(len(cuts) - 1):
                in_slice = (share <= cuts[m] + 1e-6) & (share >= cuts[m + 1] - 1e-6)
                side_of = np.minimum(edges[m], edges[m + 1])
                lean = np.minimum(inner[m], inner[m + 1])
                for mate, side in (
                    (a, rest[in_slice] >= cut[:, None] - 1e-6),
                    (b, rest[in_slice] <= cut[:, None] + 1e-6),
                ):
                    left = np.flatnonzero(self.possible(np.minimum(side_of[mate], lean)))
                    row, column = np.nonzero(side[left])
                    self.try_all(three[left[row]], self.corner_drops[in_slice][column])

    def middles(self, at: int) -> None:
        """Recipes of three, none of which is more than half, the paint at `at` the first of the list."""
        n, half = len(self.allowed), self.halves
        shares = self.middle_drops / self.middle_drops.sum(axis=1, keepdims=True)
        quarter = np.float32(0.25)
        for start in range(at + 1, n, _BLOCK):
            j = slice(start, min(start + _BLOCK, n))
            ij, ik, jk = half[at, j, None], half[at, None, start:], half[j, start:]
            ok = self.possible(np.minimum(np.minimum(ij, ik), jk))
            ok &= np.arange(start, n)[None] > np.arange(start, j.stop)[:, None]
            a, b = np.nonzero(ok)
            a, b = a + start, b + start
            if not len(a):
                continue
            three = np.stack([np.full(len(a), self.allowed[at]), self.allowed[a], self.allowed[b]], axis=1)
            inner = [self.span(three, np.where(np.arange(3) == m, 2 * quarter, quarter)) for m in range(3)]
            sides = (half[a, b], half[at, b], half[at, a])  # without the first, the second, the third
            cells = [(inner, (shares >= 0.25 - 1e-6).all(axis=1))]
            for m in range(3):
                cells.append(
                    ([sides[m], *(inner[o] for o in range(3) if o != m)], shares[:, m] <= 0.25 + 1e-6)
                )
            for corners, inside in cells:
                left = np.flatnonzero(self.possible(np.minimum.reduce(corners)))
                drops = self.middle_drops[inside]
                self.try_all(np.repeat(three[left], len(drops), axis=0), np.tile(drops, (len(left), 1)))


def _in_threads(tasks: Sequence[tuple[Callable[[int], None], int]]) -> None:
    # The threads are here; more of them inside each product of matrices would only get in the way.
    with threadpool_limits(1), ThreadPoolExecutor(os.cpu_count()) as pool:
        for done in [pool.submit(work, at) for work, at in tasks]:
            done.result()


def _promising(search: _Search) -> Ints:
    """The paints allowed, first those that come nearest to the target when mixed with one other."""
    allowed, score = search.allowed, np.full(len(search.allowed), np.inf)
    for at in range(len(allowed)):
        which = np.stack([np.full_like(allowed, allowed[at]), allowed], axis=1)
        for w in (0.25, 0.5):
            xyz = search.film(which, np.array([w, 1 - w], np.float32)) @ search.xyz
            off = ((xyz_to_lab(xyz * search.white, search.white) - search.best.lab) ** 2).sum(axis=1)
            score = np.minimum(score, off)
            score[at] = min(score[at], off.min())
    return np.asarray(allowed[np.argsort(score, kind="stable")])


@cache
def _directions() -> Array:
    ways = np.random.default_rng(1).standard_normal((600, 3))
    return np.asarray(ways / np.linalg.norm(ways, axis=1, keepdims=True))


def best(
    paints: Colourants, allowed: Ints, lab: Array, max_paints: int, max_drops: int, count: int
) -> list[Found]:
    """The `count` best recipes for `lab` (3,) from the paints `allowed`, best first.

    Nearest first, then fewest paints, fewest drops, least harm from a drop too many, first in the list.
    """
    keep = _Best(paints, lab, count)
    search = _Search(paints, allowed, keep, max_drops)
    search.singles()
    for p in range(2, min(max_paints, len(allowed), max_drops) + 1):
        sets = math.comb(len(allowed), p)
        if p == 2 and sets * 45 > _TRIED:
            search.pairs()
        elif p == 3 and sets * len(compositions(3, max_drops)) > _TRIED:
            promising = _promising(search)
            search.every(np.array(list(combinations(promising[:24], 3))))
            if len(allowed) > _WIDE:
                narrow = _Search(paints, np.sort(promising[:_PROMISING]), keep, max_drops)
                narrow.triples()
                search.aim()
                if keep.limit <= _ENOUGH:
                    continue
            search.triples()
        else:
            search.every(np.array(list(combinations(allowed, p)), dtype=np.int64).reshape(-1, p))
    return keep.found
