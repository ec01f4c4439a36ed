"""Which paints to buy: the fewest, or the cheapest, that bring the parts of a kit within a match.

A part is reached by a paint straight or by a mixture in whole drops whose predicted colour lies within
the tolerance. Owned paints cost nothing. What to buy is an integer programme and solved exactly (the
branch and bound of HiGHS, by `scipy.optimize.milp`):

    y_p ∈ {0, 1}   paint p is bought
    x_w ≥ 0        way w, of one part, is taken; Σ x_w = 1 for every part
    Σ x_w ≤ y_p    over the ways of one part that need p

Of sets that reach as many parts with as few pots, the one with the least sum of differences to be expected
is taken: √(predicted² + error of the prediction²), so that a sure pot beats a mixture nobody can foresee.
A mixture that stays outside the tolerance is not considered: nobody counts drops for a miss. How many parts,
pots and how much money is exact; the sum of differences is the least to within 1 in 200.

Only paints marked as owned count as owned: a blank may mean a pot that is not there, and a shopping list
had better name it. A metallic part takes a metallic paint straight where one is within the tolerance:
no mixture looks like metal. Retired paints are out, owned or not, since nobody can buy the next pot.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb
from pathlib import Path
from typing import Any

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.paints.mixing import mixes, shortfall, unmixable
from palette.paints.swatches import Swatch, SwatchList
from palette.paints.ways import Ways, ways

MORE = 2  # pots beyond the fewest up to which the curve goes on
_OUTSIDE = 1e4  # added to the cost of a way that stays outside the tolerance
_CLOSE = 0.005  # share by which the least sum of differences may be missed
_TRIED = 3  # pots up to which every set is tried …
_SETS = 10**7  # … where there are no more sets than this
_THREES = 5 * 10**6  # sets of three paints: some minutes a colour
_NOTHING = 1e3  # the cost of a part that there is no paint for


@dataclass(frozen=True)
class Way:
    """How one part is painted."""

    drops: tuple[tuple[str, int], ...]  # (swatch id, count), most first; one paint alone is straight
    difference: float  # CIEDE2000, predicted
    expected_error: float  # of that prediction, CIEDE2000; 0 for a paint straight
    within: bool  # the tolerance

    @property
    def expected(self) -> float:
        """The difference to be expected, CIEDE2000: predicted, and the error of that."""
        return float(np.hypot(self.difference, self.expected_error))


@dataclass(frozen=True)
class Purchase:
    """Some paints to buy, and what can be painted with them and the owned ones."""

    buy: tuple[str, ...]  # swatch ids, in list order
    price: float | None  # None where one of them has no price
    ways: tuple[Way | None, ...]  # one a part; None where there is no paint at all

    @property
    def within(self) -> int:
        """Parts within the tolerance, as predicted."""
        return sum(way is not None and way.within for way in self.ways)

    def likely(self, tolerance: float) -> int:
        """Parts that are within `tolerance` with the error of a mixture's prediction counted, too."""
        return sum(way is not None and way.expected <= tolerance for way in self.ways)

    @property
    def worst(self) -> float | None:
        """The largest difference to be expected; None where a part has no paint at all."""
        known = [way.expected for way in self.ways if way is not None]
        return max(known) if known and len(known) == len(self.ways) else None

    @property
    def mean(self) -> float | None:
        """The mean difference to be expected; None where a part has no paint at all."""
        known = [way.expected for way in self.ways if way is not None]
        return float(np.mean(known)) if known and len(known) == len(self.ways) else None


@dataclass(frozen=True)
class RangeAlone:
    """What one range can do for somebody who owns nothing else."""

    range: str
    straight: int  # parts within the tolerance with its paints straight
    within: int  # straight or mixed
    pots: int  # the fewest of its paints that do so


@dataclass(frozen=True)
class Unreached:
    """A part that no paint or mixture brings within the tolerance."""

    part: int  # index into the colours asked for
    nearest: Way
    why: str


@dataclass(frozen=True)
class Basket:
    tolerance: float
    owned: tuple[str, ...]
    chosen: Purchase
    curve: tuple[Purchase, ...]  # with 0, 1, 2 … pots; or, of the cheapest, for 0, 1, 2 … parts
    ranges: tuple[RangeAlone, ...]
    unreached: tuple[Unreached, ...]
    unpriced: tuple[str, ...]  # paints that were passed over for want of a price


def basket(
    labs: Array,
    swatches: SwatchList,
    tolerance: float = 3.0,
    max_paints: int = 2,
    max_drops: int = 12,
    cheapest: bool = False,
    metallic: Sequence[bool] | None = None,
) -> Basket:
    """The paints to buy for colours (n, 3), CIELAB D65: those that bring as many as can be within
    `tolerance` with the fewest pots, or for the least money.

    Recipes are of at most `max_paints` paints and `max_drops` drops; `metallic` (n,) says which of the
    colours are to look like metal.

    Raises:
        InputError: no paint of the list can be used, the cheapest were asked for and none has a price, or
            the list is too long for mixtures of three.
    """
    paints = swatches.swatches
    usable = [s for s in paints if not s.retired]
    if not usable:
        what = "every paint is retired" if paints else "there is no paint"
        raise InputError(Problem(None, None, what, "add a list with paints that are sold"))
    if cheapest and all(s.price is None for s in usable):
        what = "no paint of the lists has a price"
        raise InputError(Problem(None, None, what, "fill the column price, or ask for the fewest pots"))
    if max_paints > 2 and comb(len(usable), 3) > _THREES:
        what = f"mixtures of three from {len(usable)} paints are too many to weigh"
        raise InputError(Problem(None, None, what, "mix two at most, or give a shorter list"))
    wanted = np.asarray(labs, dtype=np.float64).reshape(-1, 3)
    metal = np.zeros(len(wanted)) if metallic is None else np.asarray(metallic, dtype=np.float64)
    kinds, which = np.unique(np.column_stack([wanted, metal]), axis=0, return_inverse=True)
    targets, which = kinds[:, :3], which.reshape(-1)
    if not len(targets):
        return Basket(tolerance, (), Purchase((), 0.0, ()), (Purchase((), 0.0, ()),), (), (), ())
    found = ways(targets, swatches, tolerance, max_paints, max_drops)
    flakes = np.array([unmixable(s) == "metallic" for s in paints])
    found = [_as_metal(w, flakes, tolerance) if m else w for w, m in zip(found, kinds[:, 3], strict=True)]
    weight = np.bincount(which, minlength=len(targets)).astype(np.float64)
    owned = np.array([s.owned is True and not s.retired for s in paints], dtype=bool)
    sold = np.array([not s.retired for s in paints], dtype=bool)
    priced = np.array([s.price is not None for s in paints], dtype=bool)
    shop = _Shop(found, weight, tolerance, owned, owned | sold)

    def purchase(buy: Iterable[int]) -> Purchase:
        chosen = sorted(buy)
        prices = [p for i in chosen if (p := paints[i].price) is not None]
        total = float(sum(prices)) if len(prices) == len(chosen) else None
        best = [shop.best(t, chosen) for t in range(len(targets))]
        done = [None if way is None else _way(way, swatches, tolerance) for way in best]
        return Purchase(
            tuple(paints[i].id for i in chosen),
            total,
            tuple(done[t] for t in which),
        )

    fewest = shop.fewest()
    pots = len(fewest)
    curve = [purchase(fewest if k == pots else shop.nearest(k)) for k in range(pots + MORE + 1)]
    for k in range(pots + MORE, pots, -1):  # a pot that changes nothing is no step
        if curve[k].buy == curve[k - 1].buy:
            del curve[k]
    chosen = curve[pots]
    unpriced: tuple[str, ...] = ()
    if cheapest:
        within_reach = _Shop(found, weight, tolerance, owned, owned | (sold & priced))
        cost = np.array([0.0 if s.price is None else s.price for s in paints])
        bought = [purchase(within_reach.fewest(cost, parts=0.0))]
        while bought[-1].within < within_reach.most:
            bought.append(purchase(within_reach.fewest(cost, parts=bought[-1].within + 1)))
        curve, chosen = bought, bought[-1]
        unpriced = tuple(s.id for s in usable if s.price is None and s.owned is not True)
    return Basket(
        tolerance,
        tuple(s.id for s, have in zip(paints, owned, strict=True) if have),
        chosen,
        tuple(curve),
        _ranges(found, weight, tolerance, paints),
        _unreached(labs, swatches.where(list(sold)), chosen, tolerance, max_paints, max_drops),
        unpriced,
    )


def _as_metal(each: Ways, flakes: np.ndarray, tolerance: float) -> Ways:
    """Of the ways to a part those that look like metal, where one is within the tolerance; else all."""
    keep = (each.paints[:, 1:] < 0).all(axis=1) & flakes[each.paints[:, 0]]
    if not (each.difference[keep] <= tolerance).any():
        return each
    return Ways(each.paints[keep], each.drops[keep], each.difference[keep], each.expected_error[keep])


class _Shop:
    """The ways to some targets, told by what must be bought for them."""

    def __init__(
        self, found: Sequence[Ways], weight: Array, tolerance: float, owned: np.ndarray, allowed: np.ndarray
    ) -> None:
        self.weight = weight
        # of each target: what must be bought -> (cost, ways, row), where nothing less does as well
        self.needs = [_needs(each, tolerance, owned, allowed) for each in found]
        self.bought = sorted({i for needs in self.needs for new in needs for i in new})
        self.cost, self.within, self.limits = self._programme()

    def best(self, target: int, buy: Iterable[int]) -> tuple[float, Ways, int] | None:
        """The way to take with some paints bought; None where there is no paint at all."""
        have = set(buy)
        open_to = [way for new, way in self.needs[target].items() if have.issuperset(new)]
        return min(open_to, key=lambda way: way[0]) if open_to else None

    def reached(self, buy: Iterable[int]) -> float:
        """How many parts are within the tolerance with some paints bought."""
        have = list(buy)
        best = [self.best(t, have) for t in range(len(self.needs))]
        return float(sum(w for w, way in zip(self.weight, best, strict=True) if way and way[0] < _OUTSIDE))

    @property
    def most(self) -> float:
        """How many parts can be reached."""
        return self.reached(self.bought)

    def fewest(self, price: Array | None = None, near: bool = True, parts: float | None = None) -> list[int]:
        """The fewest paints, or the cheapest by `price` (one a paint of the list), that reach as many
        parts as can be reached, or `parts`; of such sets, if `near`, the nearest."""
        each = np.ones(len(self.bought)) if price is None else price[self.bought]
        total = self.most if parts is None else parts
        # whole pots: an answer within less than one of the bound is the least
        gap = 0.99 / max(len(self.bought), 1) if price is None else 0.0
        least = self._solve(each, self.cost * 0, within=total, gap=gap)
        if not near:
            return least
        spent = float(each[[self.bought.index(paint) for paint in least]].sum())
        return self._solve(each * 0, self.cost, within=total, price=each, spend=spent, gap=_CLOSE)

    def nearest(self, pots: int) -> list[int]:
        """At most `pots` paints that bring the most parts within the tolerance, and these nearest."""
        if pots <= _TRIED and len(self.bought) ** pots <= _SETS and self._pairs_at_most:
            return self._tried(pots)
        each = np.ones(len(self.bought))
        total = self.reached(self.bought)
        gap = 0.99 / max(total, 1.0)  # whole parts
        within = self.reached(self._solve(each * 0, -self.within, price=each, spend=pots, gap=gap))
        return self._solve(each * 0, self.cost, within=within, price=each, spend=pots, gap=_CLOSE)

    @property
    def _pairs_at_most(self) -> bool:
        return all(len(new) <= 2 for needs in self.needs for new in needs)

    def _tried(self, pots: int) -> list[int]:
        """As `nearest`, by trying every set of up to `_TRIED` paints: so few leave the bounds of the integer
        programme too loose to be quick."""
        n = len(self.bought)
        if not n or not pots:
            return []
        column = {paint: i for i, paint in enumerate(self.bought)}
        cost = np.empty((len(self.needs), n, n))  # of each target with two paints bought
        for table, needs in zip(cost, self.needs, strict=True):
            table[:] = needs[()][0] if () in needs else 2 * _OUTSIDE
            for new, way in sorted(needs.items(), key=lambda need: len(need[0])):
                if len(new) == 1:
                    i = column[new[0]]
                    table[i] = np.minimum(table[i], way[0])
                    table[:, i] = np.minimum(table[:, i], way[0])
                elif len(new) == 2:
                    i, j = column[new[0]], column[new[1]]
                    table[i, j] = table[j, i] = min(table[i, j], way[0])
        cost *= self.weight[:, None, None]
        if pots == 1:
            sums = cost.diagonal(axis1=1, axis2=2).sum(axis=0)[:, None]
        elif pots == 2:
            sums = cost.sum(axis=0)
        else:
            sums = np.array(
                [
                    np.minimum(np.minimum(cost, one[:, :, None]), one[:, None, :]).sum(axis=0).ravel()
                    for one in cost.transpose(1, 0, 2)
                ]
            )
        best = np.unravel_index(int(sums.argmin()), (n,) * pots if pots > 1 else (n, 1))
        chosen = {self.bought[int(i)] for i in best[:pots]}
        return sorted(chosen)

    def _programme(self) -> tuple[Array, Array, Any]:
        """Of every way what it costs and how many parts it brings within the tolerance; and that each
        target takes one way, whose paints are bought. To be without any paint is a way, the costliest."""
        from scipy.optimize import LinearConstraint
        from scipy.sparse import csr_array

        column = {paint: i for i, paint in enumerate(self.bought)}
        cost: list[float] = []
        within: list[float] = []
        entries: list[tuple[int, int, float]] = []
        lower: list[float] = []
        for weight, needs in zip(self.weight, self.needs, strict=True):
            taken = len(lower)
            lower.append(1.0)
            needing: dict[int, int] = {}  # paint -> row of the programme
            for new, way in [*needs.items(), ((), None)]:
                at = len(column) + len(cost)
                near = way is not None and way[0] < _OUTSIDE
                cost.append(weight * (_NOTHING if way is None else way[0] if near else way[0] - _OUTSIDE))
                within.append(weight * near)
                entries.append((taken, at, 1.0))
                for paint in new:
                    if paint not in needing:
                        needing[paint] = len(lower)
                        entries.append((len(lower), column[paint], -1.0))
                        lower.append(-np.inf)
                    entries.append((needing[paint], at, 1.0))
        rows, columns, values = zip(*entries, strict=True)
        matrix = csr_array((values, (rows, columns)), shape=(len(lower), len(column) + len(cost)))
        upper = np.where(np.isinf(lower), 0.0, 1.0)
        return np.array(cost), np.array(within), LinearConstraint(matrix, np.array(lower), upper)

    def _solve(
        self,
        each: Array,
        way: Array,
        within: float = 0.0,
        price: Array | None = None,
        spend: float = np.inf,
        gap: float = 0.0,
    ) -> list[int]:
        """The paints, as rows of the list, that make the sum of `each` over paints bought and of `way` over
        ways taken least, up to the share `gap` of it, with at least `within` parts within the tolerance and
        at most `spend` spent."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        n, m = len(each), len(way)
        counted = np.concatenate([np.zeros(n), self.within])
        limits = [self.limits, LinearConstraint(counted[None], within - 0.5, np.inf)]
        if price is not None:
            paid = np.concatenate([price, np.zeros(m)])
            limits.append(LinearConstraint(paid[None], -np.inf, spend + 1e-6))
        answer = milp(
            np.concatenate([each, way]),
            constraints=limits,
            integrality=np.concatenate([np.ones(n), np.zeros(m)]),
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": gap},
        )
        if answer.x is None:  # cannot be: to buy everything is always open
            raise RuntimeError(f"the integer programme was not solved: {answer.message}")
        return [paint for i, paint in enumerate(self.bought) if answer.x[i] > 0.5]


_Needs = dict[tuple[int, ...], tuple[float, Ways, int]]


def _needs(each: Ways, tolerance: float, owned: np.ndarray, allowed: np.ndarray) -> _Needs:
    used = each.paints >= 0
    cost = np.hypot(each.difference, each.expected_error) + _OUTSIDE * (each.difference > tolerance)
    possible = (allowed[each.paints] | ~used).all(axis=1)
    new = np.where(used & ~owned[each.paints], each.paints, -1)
    free = possible & (new < 0).all(axis=1)
    rows = np.flatnonzero(possible & (cost <= cost[free].min(initial=np.inf)))
    best: _Needs = {}
    for row in rows[np.argsort(cost[rows], kind="stable")].tolist():
        key = tuple(sorted(i for i in new[row].tolist() if i >= 0))
        best.setdefault(key, (float(cost[row]), each, row))
    return {key: way for key, way in best.items() if not _beaten(key, way[0], best)}


def _beaten(new: tuple[int, ...], cost: float, best: _Needs) -> bool:
    """Whether buying only some of `new` costs no more."""
    fewer = (some for size in range(len(new)) for some in combinations(new, size))
    return any(some in best and best[some][0] <= cost for some in fewer)


def _way(taken: tuple[float, Ways, int], swatches: SwatchList, tolerance: float) -> Way:
    _, each, row = taken
    recipe = zip(each.paints[row].tolist(), each.drops[row].tolist(), strict=True)
    drops = sorted(((swatches.ids[i], n) for i, n in recipe if i >= 0), key=lambda drop: -drop[1])
    off = float(each.difference[row])
    return Way(tuple(drops), off, float(each.expected_error[row]), off <= tolerance)


def _ranges(
    found: Sequence[Ways], weight: Array, tolerance: float, paints: Sequence[Swatch]
) -> tuple[RangeAlone, ...]:
    answers = []
    none = np.zeros(len(paints), dtype=bool)
    sold_as = [range_of(paint) for paint in paints]
    for name in dict.fromkeys(n for n, paint in zip(sold_as, paints, strict=True) if not paint.retired):
        its = np.array([n == name for n in sold_as]) & [not paint.retired for paint in paints]
        shop = _Shop(found, weight, tolerance, none, its)
        buy = shop.fewest(near=False)
        straight = [bool((_alone(each, its) <= tolerance).any()) for each in found]
        reached = round(shop.reached(buy))
        answers.append(RangeAlone(name, round(float(weight[straight].sum())), reached, len(buy)))
    return tuple(answers)


def _alone(each: Ways, its: np.ndarray) -> Array:
    """The differences of some paints straight."""
    return each.difference[(each.paints[:, 1:] < 0).all(axis=1) & its[each.paints[:, 0]]]


def range_of(paint: Swatch) -> str:
    """The range a paint is sold in; the list's name stands in where the list does not say."""
    return paint.range or Path(paint.file).stem or "other paints"


def _unreached(
    labs: Array, sold: SwatchList, chosen: Purchase, tolerance: float, max_paints: int, max_drops: int
) -> tuple[Unreached, ...]:
    """The nearest that all paints on sale together come to the parts that stay outside."""
    missing = []
    for i, way in enumerate(chosen.ways):
        if way is not None and way.within:
            continue
        nearest = mixes(labs[i], sold, max_paints, max_drops, count=1)
        if nearest:
            mix = nearest[0]
            why = (
                shortfall(labs[i], nearest, sold, max_paints)
                or f"the nearest that can be reached is {mix.difference:.1f} off"
            )
            as_way = Way(mix.drops, mix.difference, mix.expected_error, mix.difference <= tolerance)
            missing.append(Unreached(i, as_way, why))
    return tuple(missing)
