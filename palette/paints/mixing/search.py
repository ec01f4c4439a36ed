"""The best recipes for a colour, found without trying every one.

Three paints in up to twelve drops make 190 recipes; 200 paints have 1.3 million threes. What allows
most of them to be passed over is that at every wavelength K/S of a mixture lies between those of any
mixtures it can itself be mixed from, so the reflectance does too. The recipes of three paints are cut
into cells, each spanned by a few mixtures, mostly of two paints, whose reflectances are known. The
lowest and the highest reflectance among those, wavelength by wavelength, bound X, Y, Z, X − Y and
Y − Z of every recipe in the cell. A cell whose bounds miss all colours as near as the best recipes so
far is dropped with all in it. Cells of paints much alike are asked for together first, and those left
one by one; what is left then is cut finer and asked again. In the last cells each recipe's X, Y and Z are
interpolated between those of the cell's corners, with a bound on the error; only those that may still
be near are worked out in full. All bounds hold for any paints, so the answer is that of trying
everything.

Bounding runs in single precision with room for its rounding; recipes are compared in double.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import combinations, pairwise, product
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
from palette.paints.mixing.inference import N

Ints = NDArray[np.int64]
Floats = NDArray[np.float32]

DOUBT = 0.5  # the share of the expected error that is counted where the surest recipes are sought
STEP = 0.001  # CIEDE2000: differences that round to the same are a tie
_ROUNDING = 0.01  # CIEDE2000 that single precision may be off
_TRIED = 400_000  # this many recipes are simply tried
_WIDE = 300  # of lists of more paints than this, only the most promising are mixed by threes
_PROMISING = 200
_GROUP = 8  # paints much alike that are asked for together
_FIRST = 12  # the most promising paints, all recipes of which are tried before bounds are put to use
_GROUPS = 16  # pairs of groups at a time
_CELLS = 4096  # cells at a time
_SLICES = 2
_THROUGH = np.float32((1 - law.K1) * (1 - law.K2))
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

    off: float  # CIEDE2000 to 3 decimals: predicted, or to be expected where the surest are sought
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
        self.tried = 0  # recipes worked out in full
        self.lock = Lock()

    @property
    def limit(self) -> float:
        """No recipe that differs by more than this is among the best."""
        found = self.found
        return found[-1].off + STEP if len(found) == self.count else np.inf

    def offer(self, which: Ints, drops: Ints, off: Floats) -> None:
        """Recipes (m, p) with their differences in single precision (m,)."""
        rows = self.hopeful(off)
        if not len(rows):
            return
        exact = self.measured(which[rows], drops[rows] / drops[rows].sum(axis=1, keepdims=True))
        new = []
        for i, row in enumerate(rows):
            if exact[i] <= self.limit:
                recipe = sorted(zip(which[row].tolist(), drops[row].tolist(), strict=True))
                ids, counts = tuple(paint for paint, _ in recipe), tuple(n for _, n in recipe)
                robust = self.paints.one_drop_off(np.array(ids), np.array(counts))
                new.append(
                    Found(round(float(exact[i]), 3), len(ids), sum(counts), round(robust, 3), ids, counts)
                )
        self.keep(new)

    def hopeful(self, off: Floats) -> Ints:
        """Which recipes may be among the best."""
        rows = np.flatnonzero(off <= self.limit + _ROUNDING)
        if len(rows) > 4 * self.count + 64:  # those beyond cannot be among the best whatever the rounding
            cut = np.partition(off[rows], self.count - 1)[self.count - 1] + 2 * _ROUNDING + STEP
            rows = rows[off[rows] <= cut]
        return rows

    def measured(self, which: Ints, shares: Array) -> Array:
        """What recipes (m, p) are ranked by, never less than how far they are predicted to be off."""
        return difference(self.lab, self.paints.predict(shares, which))

    def keep(self, new: list[Found]) -> None:
        with self.lock:  # the list is replaced, never changed: other threads read the limit meanwhile
            self.found = sorted({*self.found, *new})[: self.count]


class _Surest(_Best):
    """The recipes that are likely to come nearest, the error of the prediction counted, too."""

    def hopeful(self, off: Floats) -> Ints:
        return np.flatnonzero(off <= self.limit + _ROUNDING)

    def measured(self, which: Ints, shares: Array) -> Array:
        return np.hypot(super().measured(which, shares), DOUBT * self.paints.expected_errors(which, shares))


class _Within(_Best):
    """Every recipe that differs by no more than `farthest`."""

    def __init__(self, paints: Colourants, lab: Array, farthest: float) -> None:
        super().__init__(paints, lab, 0)
        self.farthest = farthest
        self.near: list[tuple[Ints, Ints]] = []

    @property
    def limit(self) -> float:
        return self.farthest

    def offer(self, which: Ints, drops: Ints, off: Floats) -> None:
        rows = off <= self.farthest + _ROUNDING
        with self.lock:
            self.near.append((which[rows], drops[rows]))


class _Search:
    """One target, some paints of a list (`allowed`), at most `drops` drops."""

    def __init__(self, paints: Colourants, allowed: Ints, best: _Best, drops: int) -> None:
        self.paints, self.allowed, self.best, self.drops = paints, allowed, best, drops
        # Impossible colours give K and S beyond single precision; past these ends nothing reflects, or all.
        self.k = np.clip(paints.absorption, 1e-12, 1e12).astype(np.float32)
        self.s = np.clip(paints.scattering, 1e-6, 1e12).astype(np.float32)
        self.gloss = paints.gloss.astype(np.float32)
        self.strength = self.k.mean(axis=1) + 0.3 * self.s.mean(axis=1)
        table, self.white = tristimulus("D65")
        weights = table / self.white
        self.xyz = weights.astype(np.float32)
        # A span is the lowest reflectances of a cell beside its highest ones, these negative, so that the
        # spans of several cells are joined by one minimum. Times `bounds` it gives both bounds.
        kept = weights @ _KEPT
        up, down = np.maximum(kept, 0), np.minimum(kept, 0)
        self.bounds = np.block([[up, down], [-down, -up]]).astype(np.float32)
        self.seen = kept.astype(np.float32)
        # what interpolating over a cell may be wrong by, as `interpolated` explains
        self.level = self.s @ self.xyz[:, 1]
        self.shape = np.log(self.s / self.level[:, None]) / 4
        self.losses = np.block([[np.abs(kept), np.abs(kept)], [up, -down]]).astype(np.float32)
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
        least, most = _region(self.best.lab, radius, self.white)
        self.region = (least - 1e-5).astype(np.float32), (most + 1e-5).astype(np.float32)
        self.radius = radius

    def possible(self, span: Floats) -> NDArray[np.bool_]:
        """Which cells (…, 62) may hold a recipe in the region."""
        bound = self.bounds.T @ span.reshape(-1, span.shape[-1]).T
        least, most = self.region
        n = len(least)
        most, least = most - self.extra[:n], least - self.extra[n:]
        ok = bound[0] <= most[0]
        for i in range(n):
            ok &= bound[i] <= most[i]
            ok &= bound[n + i] >= least[i]
        return np.asarray(ok.reshape(span.shape[:-1]))

    def span(self, which: Ints, shares: Floats) -> Floats:
        """The span (m, 62) of single mixtures, as `film`."""
        return _span(self.film(which, shares))

    def film(self, which: Ints, shares: Floats) -> Floats:
        """Reflectance without gloss (m, 31) of `shares` (m, p), or (p,), of the paints `which` (m, p)."""
        return _reflect(*self.sums(which, shares))

    def sums(self, which: Ints, shares: Floats) -> tuple[Floats, Floats]:
        """K and S (m, 31) of mixtures, as `film`."""
        part = np.broadcast_to(shares, which.shape).T[..., None]
        k = part[0] * self.k[which[:, 0]]
        s = part[0] * self.s[which[:, 0]]
        for i in range(1, which.shape[1]):
            k += part[i] * self.k[which[:, i]]
            s += part[i] * self.s[which[:, i]]
        return k, s

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
        with self.best.lock:
            self.best.tried += len(which)

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

    def bounded(self, p: int) -> bool:
        """Whether recipes of p paints are so many that they are bounded and not simply tried."""
        return p in (2, 3) and math.comb(len(self.allowed), p) * len(compositions(p, self.drops)) > _TRIED

    def sets(self, p: int) -> Ints:
        """Every set of p paints (m, p)."""
        return np.array(list(combinations(self.allowed, p)), dtype=np.int64).reshape(-1, p)

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
        """Every recipe of three paints."""
        self.allowed = self.allowed[_alike_together(self.film_with_all())]
        drops = compositions(3, self.drops)
        shares = drops / drops.sum(axis=1, keepdims=True)
        corner = shares[:, 0] > 0.5
        # in slices of the share of the first paint
        most = np.float32((self.drops - 2) / self.drops)
        self.cuts = np.linspace(most, 0.5, 1 + _SLICES, dtype=np.float32)
        slices = np.searchsorted(-self.cuts[1:-1], -shares[corner, 0].astype(np.float32))
        self.slices = [drops[corner][slices == m] for m in range(_SLICES)]
        self.middle_drops = drops[~corner & (shares <= 0.5).all(axis=1)]
        n = len(self.allowed)
        tasks = [(self.corners, i) for i in range(n)] if corner.any() else []
        if len(self.middle_drops):
            half = np.array([0.5, 0.5], np.float32)
            self.halves = np.stack([self.span(self.beside(paint), half) for paint in self.allowed])
            self.half_blocks = _blocks(_blocks(self.halves).transpose(2, 0, 1, 3))
            self.half_groups = self.half_blocks.min(axis=(1, 3))
            tasks += [(self.middles, i) for i in range(n - 2)]
        _in_threads(tasks)

    def beside(self, paint: np.int64) -> Ints:
        """That paint with every one (n, 2)."""
        return np.stack([np.full(len(self.allowed), paint), self.allowed], axis=1)

    def film_with_all(self) -> Floats:
        """How each paint looks half and half with all of them together (n, 31)."""
        k, s = (np.exp(np.log(x[self.allowed]).mean(axis=0)) for x in (self.k, self.s))
        return _reflect(self.k[self.allowed] + k, self.s[self.allowed] + s)

    def mates(self, at: int, spans: Floats, between: bool) -> tuple[Ints, Ints]:
        """Pairs of paints, other than that at `at`, whose joint span with it is possible.

        `spans` (n, 62) are those of each with it. Whole groups are asked for first. With `between` the span
        of the two halves of a pair counts too, and only paints after `at` do.
        """
        n, blocks = len(spans), _blocks(spans)
        groups = blocks.min(axis=1)
        one, two = np.triu_indices(len(groups))
        if between:
            late = one >= at // _GROUP
            one, two = one[late], two[late]
        joint = np.minimum(groups[one], groups[two])
        if between:
            np.minimum(joint, self.half_groups[one, two], out=joint)
        left = np.flatnonzero(self.possible(joint))
        found = [np.zeros((2, 0), dtype=np.int64)]
        for start in range(0, len(left), _GROUPS):
            a, b = one[left[start : start + _GROUPS]], two[left[start : start + _GROUPS]]
            joint = np.minimum(blocks[a][:, :, None], blocks[b][:, None])
            if between:
                np.minimum(joint, self.half_blocks[a, :, b], out=joint)
            pair, i, j = np.nonzero(self.possible(joint))
            found.append(np.stack([a[pair] * _GROUP + i, b[pair] * _GROUP + j]))
        first, second = np.concatenate(found, axis=1)
        ok = (first < second) & (second < n) & (first != at) & (second != at)
        if between:
            ok &= first > at
        return first[ok], second[ok]

    def corners(self, at: int) -> None:
        """Recipes of three that are more than half of the paint at `at`."""
        i = self.allowed[at]
        which = self.beside(i)
        sums = [self.sums(which, np.array([w, 1 - w], np.float32)) for w in self.cuts]
        films = [_reflect(k, s) for k, s in sums]
        level = self.level[self.allowed]
        levels = [w * level[at] + (1 - w) * level for w in self.cuts]
        edges = [_span(film) for film in films]
        outer = np.minimum(edges[0], edges[-1])
        sides = [np.minimum(one, two) for one, two in pairwise(edges)]
        first, second = self.mates(at, outer, between=False)
        found = []
        strength = self.strength[self.allowed]
        for m, drops in enumerate(self.slices):
            if not len(drops):
                continue
            share = (drops[:, 0] / drops.sum(axis=1)).astype(np.float32)
            rest = (drops[:, 1] / drops[:, 1:].sum(axis=1)).astype(np.float32)
            down = (self.cuts[m] - share) / (self.cuts[m] - self.cuts[m + 1])
            for begin in range(0, len(first), _CELLS):
                a, b = first[begin : begin + _CELLS], second[begin : begin + _CELLS]
                left = self.possible(np.minimum(sides[m][a], sides[m][b]))
                a, b = a[left], b[left]
                if not len(a):
                    continue
                # between the two others cut where neither drowns the other
                cut = np.clip(strength[b] / (strength[a] + strength[b]), 0.01, 0.99).astype(np.float32)
                which = np.stack([self.allowed[a], self.allowed[b]], axis=1)
                k, s = self.sums(which, np.stack([cut, 1 - cut], axis=1))
                inner = [
                    _reflect(w * self.k[i] + (1 - w) * k, w * self.s[i] + (1 - w) * s)
                    for w in self.cuts[m : m + 2]
                ]
                mean = cut * level[a] + (1 - cut) * level[b]
                inner_levels = [w * level[at] + (1 - w) * mean for w in self.cuts[m : m + 2]]
                lean = np.minimum(_span(inner[0]), _span(inner[1]))
                toward_a, toward_b = (rest - cut[:, None]) / (1 - cut[:, None]), 1 - rest / cut[:, None]
                for mate, toward in ((a, toward_a), (b, toward_b)):
                    span = np.minimum(sides[m][mate], lean)
                    rows = np.flatnonzero(self.possible(span))
                    if not len(rows):
                        continue
                    mate, within = mate[rows], toward[rows] >= -1e-6
                    toward = np.maximum(toward[rows], 0)
                    weights = np.stack(
                        [(1 - down) * toward, down * toward, (1 - down) * (1 - toward), down * (1 - toward)]
                    )
                    three = np.stack([np.full(len(rows), i), *self.allowed[[a[rows], b[rows]]]], axis=1)
                    row, column = self.interpolated(
                        three,
                        span[rows],
                        [films[m][mate], films[m + 1][mate], *(film[rows] for film in inner)],
                        [levels[m][mate], levels[m + 1][mate], *(x[rows] for x in inner_levels)],
                        weights,
                        within,
                    )
                    found.append((three[row], drops[column]))
        self.try_found(found)

    def middles(self, at: int) -> None:
        """Recipes of three, none of which is more than half, the paint at `at` the first of the list."""
        drops, i, half, found = self.middle_drops, self.allowed[at], self.halves, []
        shares = (drops / drops.sum(axis=1, keepdims=True)).astype(np.float32)
        first, second = self.mates(at, half[at], between=True)
        for begin in range(0, len(first), _CELLS):
            a, b = first[begin : begin + _CELLS], second[begin : begin + _CELLS]
            three = np.stack([np.full(len(a), i), self.allowed[a], self.allowed[b]], axis=1)
            k, s = ([x[three[:, m]] / 4 for m in range(3)] for x in (self.k, self.s))
            all_k, all_s = k[0] + k[1] + k[2], s[0] + s[1] + s[2]
            inner = [_reflect(all_k + k[m], all_s + s[m]) for m in range(3)]
            level = self.level[three].T / 4
            levels = level.sum(axis=0) + level
            inner_span = [_span(film) for film in inner]
            sides = ((a, b), (at, b), (at, a))  # without the first, the second, the third
            # The middle, and beyond it a half and half of two paints with the two mixtures beside it.
            for m in range(4):
                if m == 3:
                    pick: tuple[int, ...] = (0, 1, 2)
                    span = np.minimum.reduce(inner_span)
                    weights = 4 * shares.T - 1
                    inside = (shares >= 0.25).all(axis=1)
                else:
                    one, two = pick = ((1, 2), (0, 2), (0, 1))[m]
                    side = half[sides[m]]
                    span = np.minimum(np.minimum(inner_span[one], inner_span[two]), side)
                    weights = np.stack([1 - 4 * shares[:, m], 2 - 4 * shares[:, two], 2 - 4 * shares[:, one]])
                    inside = shares[:, m] < 0.25
                if not inside.any():
                    continue
                left = np.flatnonzero(self.possible(span))
                films = [inner[o][left] for o in pick]
                means = [levels[o][left] for o in pick]
                if m < 3:
                    films.insert(0, side[left, :N])
                    means.insert(0, 2 * (level[one, left] + level[two, left]))
                row, column = self.interpolated(
                    three[left], span[left], films, means, weights[:, None, inside], np.True_
                )
                found.append((three[left[row]], drops[inside][column]))
        self.try_found(found)

    def try_found(self, found: Sequence[tuple[Ints, Ints]]) -> None:
        """As `try_all`, of several batches."""
        if found:
            which, drops = (np.concatenate(parts) for parts in zip(*found, strict=True))
            self.try_all(which, drops)

    def interpolated(
        self,
        three: Ints,
        span: Floats,
        films: Sequence[Floats],
        levels: Sequence[Floats],
        weights: Floats,
        inside: NDArray[np.bool_] | np.bool_,
    ) -> tuple[Ints, Ints]:
        """Which recipes of cells may lie in the region, by interpolating between the corners: (cell, recipe).

        `three` (m, 3) are the paints of the m cells and `span` (m, 62) their spans, `films` (m, 31) and
        `levels` (m,) the reflectance and mean S of their corners, `weights` (corners, m or 1, d) the shares
        of the corners in d recipes, `inside` (m, d) which recipes a cell holds.

        By wavelength, K/S of a mixture is the mean of its parts' weighted by their S. Reflectance is convex
        in K/S, so it is at most the mean of the parts' so weighted, and less by no more than the gap
        between chord and curve. Instead of S by wavelength its mean is used; that shifts weight between
        the corners by at most (√ρ − 1) / (√ρ + 1) ≤ ln ρ / 4, ρ being the largest over the smallest ratio of
        the two at that wavelength.
        """
        low, high = span[:, :N], -span[:, N:]
        loss = np.empty_like(span)
        shapes = [self.shape[paint] for paint in three.T]
        shift = np.maximum(np.maximum(shapes[0], shapes[1]), shapes[2])
        shift -= np.minimum(np.minimum(shapes[0], shapes[1]), shapes[2])
        np.multiply(shift, high - low, out=loss[:, :N])
        loss[:, N:] = _gap(low, high)
        lost = loss @ self.losses
        least, most = self.region
        n = len(least)
        top = most - self.extra[:n] + lost[:, :n]
        bottom = least - self.extra[n:] - lost[:, n:]
        seen = [film @ self.seen for film in films]
        parts = [w * level[:, None] for w, level in zip(weights, levels, strict=True)]
        total = sum(parts[1:], parts[0])
        for part in parts:
            part /= total
        ok = np.broadcast_to(inside, total.shape).copy()
        for c in range(3):  # X, Y and Z: here the differences drop hardly any more
            value = parts[0] * seen[0][:, c, None]
            for part, look in zip(parts[1:], seen[1:], strict=True):
                value += part * look[:, c, None]
            ok &= value <= top[:, c, None]
            ok &= value >= bottom[:, c, None]
        row, column = np.nonzero(ok)
        return row, column


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


def _blocks(rows: Floats) -> Floats:
    """Rows (n, …) by groups (g, _GROUP, …), the last filled up with its last row."""
    n = len(rows)
    fill = np.minimum(np.arange(-(-n // _GROUP) * _GROUP), n - 1)
    return np.asarray(rows[fill].reshape(-1, _GROUP, *rows.shape[1:]))


def _span(film: Floats) -> Floats:
    return np.concatenate([film, -film], axis=1)


def _reflect(k: Floats, s: Floats) -> Floats:
    # law.reflectance in single precision; uses up its arguments
    q = np.divide(k, s, out=k)
    root = np.add(q, 2, out=s)
    root *= q
    np.sqrt(root, out=root)
    q += root
    q += 1 - law.K2  # 1 / inside − K2
    return np.asarray(np.divide(_THROUGH, q, out=q))


def _gap(low: Floats, high: Floats) -> Floats:
    """How far reflectance lies, at most, below its chord over K/S between two reflectances (m, 31).

    A concave function of K/S, so below its tangent anywhere; near its top that is close.
    """
    k2 = np.float32(law.K2)
    ends = [film / (_THROUGH + k2 * film) for film in (high, low)]  # inside the film
    middle = np.sqrt(ends[0] * ends[1])
    first, last, between = ((1 - r) ** 2 / (2 * r) for r in (*ends, middle))  # K/S
    chord = (high - low) / np.maximum(last - first, np.float32(1e-12))
    through = 1 / (1 - k2 * middle)
    slope = 2 * _THROUGH * (through * middle) ** 2 / np.maximum(1 - middle * middle, np.float32(1e-9)) - chord
    gap = high - chord * (between - first) - _THROUGH * middle * through
    gap += np.maximum(slope * (last - between), slope * (first - between))
    return np.asarray(gap)


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


def _region(lab: Array, radius: float, white: Array) -> tuple[Array, Array]:
    """Least and most X, Y, Z, X − Y and Y − Z, over the white's, of colours within `radius` of `lab` (3,).

    CIEDE2000 divides each difference by a weight that depends on both colours. From any bounds of the
    second colour follow bounds of the weights, and from these narrower bounds of the colour; so they are
    narrowed from all colours there are. No colour within the radius is ever left outside.
    """
    lightness, a, b = (float(value) for value in lab)
    chroma = math.hypot(a, b)
    d_l, d_c, d_h, d_a, d_b = 101.0, 1000.0, 2000.0, 1000.0, 1000.0
    stretch_least, stretch_most = 1.0, 1.5
    for _ in range(60 if math.isfinite(radius) else 0):
        mean = [
            max(lightness - d_l / 2, lightness / 2) - 50,
            min(lightness + d_l, 101) / 2 + lightness / 2 - 50,
        ]
        farthest = max(x * x for x in mean)
        d_l = min(d_l, radius * (1 + 0.015 * farthest / math.sqrt(20 + farthest)))

        low, high = math.hypot(a * stretch_least, b), math.hypot(a * stretch_most, b)
        mean_chroma = high + d_c / 2
        hues = [math.atan2(b, a * stretch) for stretch in (stretch_least, stretch_most)]
        other = max(low - d_c, 0.0)
        turn = math.pi
        if 4 * low * other > d_h * d_h:
            turn = 2 * math.asin(d_h / (2 * math.sqrt(low * other)))
        swing = abs(hues[1] - hues[0]) + turn / 2
        t = 1 + sum(
            weight * math.cos(n * hues[0] - math.radians(shift))
            for n, weight, shift in ((1, -0.17, 30), (2, 0.24, 0), (3, 0.32, -6), (4, -0.20, 63))
        )
        t = min(1.93, t + 2.41 * swing)  # the greatest T there is, and its greatest slope
        from_blue = abs((math.degrees(hues[0]) - 275 + 180) % 360 - 180)
        nearest = max(from_blue - math.degrees(swing), 0.0) / 25
        twist = 2 * math.sin(math.radians(60) * math.exp(-nearest * nearest)) * _far_from_grey(mean_chroma)
        across = radius / math.sqrt(1 - twist * twist / 4)  # x² + y² + R x y ≤ r², so |x| ≤ r / √(1 − R²/4)
        d_c = min(d_c, across * (1 + 0.045 * mean_chroma))
        d_h = min(d_h, across * (1 + 0.015 * mean_chroma * t))

        # along the hue of the target, and across it
        both = math.hypot(d_c, d_h)
        d_a, d_b = min(d_a, both / stretch_least), min(d_b, both)
        if low > 0:
            radial, tangential = d_c + d_h * d_h / (2 * low), d_h * math.sqrt(1 + d_c / low)
            cosine = abs(a) * stretch_most / high
            sine = abs(b) / low
            d_a = min(d_a, (cosine * radial + sine * tangential) / stretch_least)
            d_b = min(d_b, sine * radial + cosine * tangential)
        reach = math.hypot(d_a, d_b) / 2
        stretch_least = max(stretch_least, 1.5 - 0.5 * _far_from_grey(chroma + reach))
        stretch_most = min(stretch_most, 1.5 - 0.5 * _far_from_grey(max(chroma - reach, chroma / 2)))
    sides = product(
        (max(lightness - d_l, 0.0), min(lightness + d_l, 101.0)), (a - d_a, a + d_a), (b - d_b, b + d_b)
    )
    seen = lab_to_xyz(np.array(list(sides)), white) / white @ _KEPT
    return seen.min(axis=0), seen.max(axis=0)


def _far_from_grey(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + 25.0**7))


def searched(
    paints: Colourants,
    allowed: Ints,
    lab: Array,
    max_paints: int,
    max_drops: int,
    count: int,
    surest: bool = False,
) -> _Best:
    """The `count` best recipes for `lab` (3,) from the paints `allowed`, and how many were worked out.

    Nearest first, then fewest paints, fewest drops, least harm from a drop too many, first in the list. With
    `surest` nearness is √(difference² + (error / 2)²), `error` being that of the prediction.
    """
    keep = (_Surest if surest else _Best)(paints, lab, count)
    search = _Search(paints, allowed, keep, max_drops)
    search.singles()
    for p in range(2, min(max_paints, len(allowed), max_drops) + 1):
        if not search.bounded(p):
            search.every(search.sets(p))
        elif p == 2:
            search.pairs()
        else:
            promising = _promising(search)
            search.every(np.array(list(combinations(promising[:_FIRST], 3))))
            if len(allowed) > _WIDE:
                search = _Search(paints, np.sort(promising[:_PROMISING]), keep, max_drops)
            search.triples()
    return keep


def within(
    paints: Colourants, allowed: Ints, lab: Array, p: int, max_drops: int, farthest: float
) -> tuple[Ints, Ints, Array]:
    """Of every set of p paints, two or three, that comes within `farthest` of `lab` (3,) its best recipe.

    Returns paints (m, p), drops (m, p) and CIEDE2000 (m,), sets in the order of the list.
    """
    keep = _Within(paints, lab, farthest)
    search = _Search(paints, allowed, keep, max_drops)
    if not search.bounded(p):
        search.every(search.sets(p))
    elif p == 2:
        search.pairs()
    else:
        search.triples()
    none = np.zeros((0, p), dtype=np.int64)
    which = np.concatenate([none, *(rows for rows, _ in keep.near)])
    drops = np.concatenate([none, *(rows for _, rows in keep.near)])
    order = np.argsort(which, axis=1)
    which, drops = np.take_along_axis(which, order, axis=1), np.take_along_axis(drops, order, axis=1)
    off = difference(lab, paints.predict(drops / drops.sum(axis=1, keepdims=True), which))
    order = np.lexsort((drops.sum(axis=1), off, *which.T[::-1]))
    which, drops, off = which[order], drops[order], off[order]
    best = np.ones(len(which), dtype=bool)
    best[1:] = (which[1:] != which[:-1]).any(axis=1)
    best &= off <= farthest
    return which[best], drops[best], off[best]
