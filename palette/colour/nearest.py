"""The exact nearest neighbours under CIEDE2000, without asking every colour of the list.

CIEDE2000 is no metric, so no tree can be built on it. Instead the list is put into a space of three
coordinates with Euclidean distance, where a k-d tree (SciPy) finds what is near, and a bound says how
far away there a colour can lie that differs by no more than U: `_reach(query, U)`. So: take some near
colours, compute their true differences, let U be the worst of the best `count`, and fetch more until
the tree's distance exceeds the reach. Whatever was not fetched differs by more than U.

The space. With k = 0.045, f(C) = ln(1 + kC)/k, and v = (a*, b*) of chroma C and hue h (without primes:
the formula's stretch of a* belongs to a pair and not to a colour),

    X(L*, a*, b*) = (g(L*), w f(C) cos h, w f(C) sin h),     g(L) = ± ln(1 + 0.015|L - 50|) / 0.015,

w a fixed weight. g and f make one unit of the formula's x = ΔL'/S_L and y = ΔC'/S_C about one unit.

The bound. Let two colours differ by at most U, primes as in the formula, z = ΔH'/S_H.

1. 1/g' = 1 + 0.015|L - 50| ≥ S_L, and S_L changes by less than s = 0.0164 a unit, so that
   S_L(l) ≥ S_L(mean) - s|l - mean|; integrating, |Δg| ≤ -(2/s) ln(1 - s|x|/2), convex in |x| ≤ U.
2. S_C is linear in the mean chroma, so exactly |f(C1') - f(C2')| = (2/k) artanh(k|y|/2), convex too.
3. In the primed plane the tangential step is 2 √(f1'f2') |sin(Δh'/2)| = |z| S_H / √(r1'r2'), with
   r(C) = C/f(C), which grows with C; S_H ≤ 1 + 0.015 C̄' T_MAX.
4. The rotation term: y² + z² + R_T y z ≥ κ (y² + z²) with κ = 1 - |R_T|/2, and |R_T|/2 ≤
   sin(60° exp(-(δ/25)²)) √(C̄'⁷/(C̄'⁷ + 25⁷)), δ the angle from the mean hue to 275°. Hence
   x² + κ (y² + z²) ≤ U², and |y|, |z| ≤ Y = U/√κ. By 2 and 3 that keeps the other colour within
   μ Y of the query in the primed plane, μ the larger of their two slopes; so its chroma is bounded,
   and its hue lies within asin(μ Y/f(C')) of the query's own, the mean hue within half of that. This
   bounds δ and C̄', and so gives a better κ. Starting from the smallest there is, 1 - sin 60°, every
   round gives a valid one.
5. From the primed plane back to the one without primes: P' = diag(t, 1) P with t = 1 + G(C̄) in
   [1, 1.5]. That maps rays to rays, so in polar frames the derivative from X' to X is triangular,
   [[α, β], [0, ε]], with α ≤ 1, |β| ≤ 1 - 1/t and ε ≤ max(1, r(tC)/r(C)), the last growing with C. Its
   norm on the straight way between the two points in X' bounds how much longer X is than X'.

So |ΔX| ≤ U max(λ_L, w K μ/√κ), λ_L and μ from 1 to 3 (chords of convex functions), K from 5.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palette.colour.difference import difference
from palette.colour.spaces import Array

_K = 0.045
_S = 0.0164  # above the steepest S_L gets: 0.015 t (t² + 40)/(t² + 20)^1.5 at t² = 40, 0.01634
_T_MAX = 1.573  # above the largest T: 1.57247 at 234.38°
_SIN60 = np.sin(np.radians(60))
# The plane's weight against lightness; any value is exact, these fetch few. Where the rotation term lets
# differences across the plane count for little (the blues), the second tree serves.
_WEIGHT = 0.85
_WEIGHT_WIDE = 0.3
_WIDE = 1.7  # of the bound across the plane to that in lightness, from where on

_SLACK = 1e-6  # CIEDE2000; far above what rounding does to a difference or to the bound
_SANE = 1e5  # beyond this, rounding could exceed the slack: such lists are searched in full
_SMALL = 64  # a list this short is searched in full, which is quicker
_ENOUGH = 400_000  # comparisons that take less time than to load what makes trees
_ROUNDS = 5  # of the bound; more of them gain nothing
_BLOCK = 4096  # queries at once


class NearestIndex:
    """Colours (m, 3) in CIELAB, to be asked for the ones nearest to others."""

    def __init__(self, lab: ArrayLike) -> None:
        """
        Raises:
            ValueError: the colours are not finite.
        """
        self.lab: Array = _colours(lab)
        self._tree: Any = None
        self._wide: Any = None
        self._plantable = len(self.lab) > _SMALL and np.abs(self.lab).max() < _SANE
        self._compared = 0  # colours with colours, in full

    def _plant(self, asked: int) -> None:
        """Make the trees once there is enough to ask for: until then to compare with all is quicker."""
        self._compared += asked * len(self.lab)
        if not self._plantable or self._tree is not None or self._compared <= _ENOUGH:
            return
        from scipy.spatial import cKDTree

        self._wide = cKDTree(_place(self.lab, _WEIGHT_WIDE))
        self._tree = cKDTree(_place(self.lab, _WEIGHT))

    def query(self, lab: ArrayLike, count: int = 5) -> tuple[NDArray[np.intp], Array]:
        """The `count` nearest of each colour (n, 3) -> indices (n, count), CIEDE2000 (n, count).

        (3,) gives (count,). Nearest first, ties in list order; a count above the list's length is cut
        to it. Exactly what comparing with every colour would give, to the last bit.

        Raises:
            ValueError: a colour is not finite, or the count is below one.
        """
        if count < 1:
            raise ValueError("the count of nearest colours is at least 1")
        shape = np.shape(lab)
        wanted = _colours(lab)
        count = min(count, len(self.lab))
        self._plant(len(wanted))
        indices = np.empty((len(wanted), count), dtype=np.intp)
        differences = np.empty((len(wanted), count))
        full = np.abs(wanted).max(axis=1, initial=0) >= (_SANE if self._tree is not None else 0.0)
        for start in range(0, len(wanted), _BLOCK):
            block = np.arange(start, min(start + _BLOCK, len(wanted)))
            for rows, search in ((block[full[block]], self._search_all), (block[~full[block]], self._search)):
                if rows.size:
                    indices[rows], differences[rows] = search(wanted[rows], count)
        if len(shape) == 1:
            return indices[0], differences[0]
        return indices, differences

    def _search_all(self, wanted: Array, count: int) -> tuple[NDArray[np.intp], Array]:
        indices = np.empty((len(wanted), count), dtype=np.intp)
        differences = np.empty((len(wanted), count))
        step = max(1, 1_000_000 // max(1, len(self.lab)))
        for start in range(0, len(wanted), step):
            rows = slice(start, start + step)
            off = difference(wanted[rows, None, :], self.lab[None, :, :])
            order = np.argsort(off, axis=1, kind="stable")[:, :count]
            indices[rows], differences[rows] = order, np.take_along_axis(off, order, axis=1)
        return indices, differences

    def _search(self, wanted: Array, count: int) -> tuple[NDArray[np.intp], Array]:
        assert self._tree is not None and self._wide is not None
        fetch = min(len(self.lab), count + 11)
        away, near = self._tree.query(_place(wanted, _WEIGHT), fetch)
        first = min(fetch, count + 3)
        off = np.full(near.shape, np.inf)
        off[:, :first] = difference(wanted[:, None, :], self.lab[near[:, :first]])
        up, across = _reach(wanted, np.partition(off[:, :first], count - 1, axis=1)[:, count - 1])
        reach = np.maximum(up, _WEIGHT * across)
        todo = away <= reach[:, None]
        todo[:, :first] = False
        row, column = np.nonzero(todo)
        off[row, column] = difference(wanted[row], self.lab[near[row, column]])
        indices, differences = _best(near, off, count)

        left = np.flatnonzero(away[:, -1] <= reach)
        up, across = _reach(wanted[left], differences[left, -1])
        wide = across > _WIDE * up
        for rows, tree, weight in (
            (left[~wide], self._tree, _WEIGHT),
            (left[wide], self._wide, _WEIGHT_WIDE),
        ):
            self._fetch_more(wanted, rows, tree, weight, indices, differences)
        return indices, differences

    def _fetch_more(
        self,
        wanted: Array,
        rows: NDArray[np.intp],
        tree: Any,
        weight: float,
        indices: NDArray[np.intp],
        differences: Array,
    ) -> None:
        """Fetch from a tree until nothing within reach is left, improving `indices` and `differences`."""
        count = indices.shape[1]
        fetch = count + 11
        while rows.size:
            up, across = _reach(wanted[rows], differences[rows, -1])
            reach = np.maximum(up, weight * across)
            fetch = min(len(self.lab), 3 * fetch)
            away, near = tree.query(_place(wanted[rows], weight), fetch)
            row, column = np.nonzero(away <= reach[:, None])
            off = np.full(near.shape, np.inf)
            off[row, column] = difference(wanted[rows[row]], self.lab[near[row, column]])
            indices[rows], differences[rows] = _best(near, off, count)
            rows = rows[(away[:, -1] <= reach) & (fetch < len(self.lab))]


def _best(near: NDArray[np.intp], off: Array, count: int) -> tuple[NDArray[np.intp], Array]:
    """The `count` smallest of each row of `off`, ties by the index in `near`."""
    order = np.argsort(off, axis=1)
    best = np.take_along_axis(off, order, axis=1)
    with np.errstate(invalid="ignore"):
        tied = np.flatnonzero((np.diff(best[:, : count + 1], axis=1) == 0).any(axis=1))
    order[tied] = np.lexsort((near[tied], off[tied]))
    order = order[:, :count]
    return np.take_along_axis(near, order, axis=1), best[:, :count]


def _colours(lab: ArrayLike) -> Array:
    colours = np.array(lab, dtype=np.float64).reshape(-1, 3)
    if not np.isfinite(colours).all():
        raise ValueError("a CIELAB colour is three finite numbers")
    return colours


def _f(chroma: Array) -> Array:
    return np.asarray(np.log1p(_K * chroma) / _K)


def _chroma_at(f: Array) -> Array:
    return np.asarray(np.expm1(_K * np.maximum(f, 0.0)) / _K)


def _r(chroma: Array) -> Array:
    """C / f(C), 1 at grey."""
    safe = np.maximum(chroma, 1e-9)
    return np.asarray(safe / _f(safe))


def _place(lab: Array, weight: float) -> Array:
    """CIELAB (n, 3) to the space of a tree, X in the notes above, with the plane's weight w."""
    off = lab[:, 0] - 50
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    plane = weight / _r(chroma)
    return np.column_stack(
        [np.copysign(np.log1p(0.015 * np.abs(off)) / 0.015, off), lab[:, 1] * plane, lab[:, 2] * plane]
    )


def _reach(query: Array, limit: Array) -> tuple[Array, Array]:
    """How far in a tree's space a colour may lie that differs from the query by at most `limit`.

    query (n, 3), limit (n,) CIEDE2000 -> (n,), (n,), both infinite where the bound says nothing: with
    the plane's weight w, the reach is the larger of the first and w times the second. The steps are
    those of the notes above.
    """
    u = limit * (1 + 1e-9) + _SLACK
    a, b = query[:, 1], query[:, 2]
    chroma = np.hypot(a, b)
    f_own, r_own = _f(chroma), _r(chroma)
    blue = _from_blue(a, b)
    rho = np.full(len(u), _SIN60)
    low = np.zeros(len(u))
    with np.errstate(invalid="ignore", divide="ignore"):
        for _ in range(_ROUNDS):
            # 5.: the stretch of a*, and the query's own C' at most
            stretch = 1 + _g_stretch((chroma + low / (1 + _g_stretch(chroma / 2))) / 2)
            high_own = np.hypot(stretch * a, b)
            # 2.: chroma
            y = u / np.sqrt(1 - rho**2)
            width = np.arctanh(np.minimum(_K * y / 2, 1.0)) * (2 / _K)
            low = _chroma_at(f_own - width)
            high = _chroma_at(_f(high_own) + width)
            # 3.: hue
            r_pair = np.sqrt(r_own * _r(low))
            tangential = np.maximum(
                (1 + 0.015 * _T_MAX * high_own) / r_pair, (1 + 0.015 * _T_MAX * (high_own + high) / 2) / r_own
            )
            half_turn = y * tangential / (2 * np.sqrt(f_own * np.maximum(f_own - width, 0.0)))
            # 4.: rotation
            turn = np.degrees(np.arcsin(np.minimum(half_turn, 1.0)))
            gaussian = np.exp(-((np.maximum(blue - turn, 0.0) / 25) ** 2))
            grip = np.sqrt(1 / (1 + (50 / np.maximum(high_own + high, 1e-9)) ** 7))
            rho = np.fmin(rho, np.sin(np.radians(60) * gaussian) * grip)
        slope = np.maximum(width / y, tangential)
        beta = 1 - 1 / stretch
        epsilon = np.maximum(1.0, stretch * _f(high) / _f(stretch * high))
        trace = 1 + beta**2 + epsilon**2
        norm = np.sqrt((trace + np.sqrt(np.maximum(trace**2 - 4 * epsilon**2, 0.0))) / 2)
        steep = np.minimum(_S * u / 2, 1.0)
        along_l = -np.log1p(-steep) / steep
        across = norm * slope / np.sqrt(1 - rho)
    bounded = np.isfinite(along_l) & np.isfinite(across)
    reach = u * (1 + 1e-9) + _SLACK
    return np.where(bounded, reach * along_l, np.inf), np.where(bounded, reach * across, np.inf)


def _from_blue(a: Array, b: Array) -> Array:
    """The smallest angle, in degrees, from the hue of (ta, b), t in [1, 1.5], to 275°."""
    angles = [(np.degrees(np.arctan2(b, t * a)) - 275 + 180) % 360 - 180 for t in (1.0, 1.5)]
    straddles = (angles[0] < 0) != (angles[1] < 0)
    between = straddles & (np.abs(angles[0] - angles[1]) < 90)
    return np.where(between, 0.0, np.minimum(np.abs(angles[0]), np.abs(angles[1])))


def _g_stretch(chroma: Array) -> Array:
    """G of the formula."""
    return np.asarray(0.5 - 0.5 * np.sqrt(1 / (1 + (25 / np.maximum(chroma, 1e-9)) ** 7)))
