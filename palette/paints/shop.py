"""The choice of paints to buy as an integer programme: the least set through which most parts are reached.

    y_p ∈ {0, 1}   paint p is bought
    x_w ≥ 0        recipe w, of one part, is taken; Σ x_w = 1 for every part
    Σ x_w ≤ y_p    over the recipes of one part that need p

It is solved by the branch and bound of HiGHS (`scipy.optimize.milp`). Where every part that can be reached
has to be, only recipes within the tolerance are left, and the bounds are tight. With fewer pots than that
takes, the most parts that can be reached are found quickly still, but the bounds for the nearest of such sets
are loose: small programmes are solved all the same, in larger ones a set is bettered by exchanging its
paints. In the largest that is all that is done, and the set is said to be not proven.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import combinations
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.paints.recipes import RecipeSets

OUTSIDE = 1e6  # added to the cost of a recipe that will not do: no gain elsewhere outweighs a part
_NOTHING = 1e3  # the cost of a part that there is no paint for, beside that
_CLOSE = 0.005  # share by which the least sum of differences may be missed
_TRIED = 3  # pots up to which every set is tried …
_SETS = 10**7  # … where there are no more sets than this …
_TABLE = 3 * 10**7  # … and no more pairs of paints, part by part
_PROVEN = 10_000  # recipes up to which a step that falls short reaches the most parts for certain …
_NEAREST = 3_000  # … and is the nearest of such sets
_WEIGHED = 50_000  # the same for a set that reaches all
_SHARED = 60  # paints of a larger programme that are looked at for a good answer


class Pick(NamedTuple):
    """A recipe for a part: its cost, and where it stands."""

    cost: float  # the difference to expect, CIEDE2000; `OUTSIDE` more where it will not do
    recipe_sets: RecipeSets
    row: int


Needs = dict[tuple[int, ...], Pick]  # what must be bought, as rows of the list -> the best recipe then


class Shop:
    """The recipes for some targets, told by what must be bought for them; `weight` is how many parts each
    target stands for."""

    @classmethod
    def of(
        cls,
        recipes: Sequence[RecipeSets],
        good: Sequence[NDArray[np.bool_]],
        weight: Array,
        owned: NDArray[np.bool_],
        allowed: NDArray[np.bool_],
        price: Array | None = None,
    ) -> Shop:
        """`recipes` are those to each target, `good` which of them will do; `owned` and `allowed` (n,)
        the paints that cost nothing and those that may be used at all; `price` (n,) is given where that is
        what counts, and not the number of pots."""
        both = zip(recipes, good, strict=True)
        needs = [_needs(each, will_do, owned, allowed) for each, will_do in both]
        return cls(_thinned(needs, np.zeros(len(owned)) if price is None else price), weight)

    def __init__(self, needs: Sequence[Needs], weight: Array) -> None:
        self.weight = weight
        self.needs = needs
        self.bought = sorted({i for needs in self.needs for new in needs for i in new})
        self._column = {paint: i for i, paint in enumerate(self.bought)}
        self._reachable = [any(recipe.cost < OUTSIDE for recipe in needs.values()) for needs in self.needs]
        self._programmes: dict[tuple[bool, bool], _Programme] = {}

    def best(self, target: int, buy: Iterable[int]) -> Pick | None:
        """The recipe to take with some paints bought; None where there is no paint at all."""
        have = set(buy)
        open_to = [recipe for new, recipe in self.needs[target].items() if have.issuperset(new)]
        return min(open_to, key=lambda recipe: recipe.cost) if open_to else None

    def reached(self, buy: Iterable[int]) -> float:
        """How many parts are within the tolerance with some paints bought."""
        have = list(buy)
        best = [self.best(t, have) for t in range(len(self.needs))]
        return float(
            sum(w for w, recipe in zip(self.weight, best, strict=True) if recipe and recipe.cost < OUTSIDE)
        )

    @property
    def most(self) -> float:
        """How many parts can be reached."""
        return float(self.weight[self._reachable].sum())

    @property
    def large(self) -> bool:
        """Whether there are too many recipes to solve steps exactly that fall short of the whole."""
        return self._size > _PROVEN

    @cached_property
    def _size(self) -> int:
        return sum(map(len, self.needs))

    @cached_property
    def whole(self) -> list[int]:
        """`fewest`, by the number of pots."""
        return self.fewest()

    def fewest(self, price: Array | None = None, near: bool = True, parts: float | None = None) -> list[int]:
        """The fewest paints, or the cheapest by `price` (one a paint of the list), that reach as many
        parts as can be reached, or `parts`; of such sets, if `near`, the nearest."""
        each = np.ones(len(self.bought)) if price is None else price[self.bought]
        total = self.most if parts is None else parts
        if total <= 0:
            return []
        # whole pots: an answer within less than one of the bound is the least
        gap = 0.99 / max(len(self.bought), 1) if price is None else 0.0
        least = self._solve(False, total, each, gap=gap)
        if not near:
            return least
        if self._size > _WEIGHED:
            return self._used(least if price is not None else self._exchanged(least, len(least)))
        spent = float(each[[self._column[paint] for paint in least]].sum())
        return self._used(self._solve(True, total, None, price=each, spend=spent, gap=_CLOSE))

    def few(self) -> tuple[list[int], bool]:
        """`fewest` by the number of pots, not the nearest of such sets; and whether no fewer do. In large
        programmes only the paints that most recipes share are looked at, and more of them until they reach
        all."""
        if self._size <= _WEIGHED:
            return self.fewest(near=False), True
        count = _SHARED
        while (some := self._among(self._shared[:count])).most < self.most:
            count *= 2
        return some.fewest(near=False), some.bought == self.bought

    @cached_property
    def _shared(self) -> list[int]:
        """The paints, first those that stand in most of the recipes that reach a target, each target counting
        alike."""
        share = np.zeros(len(self.bought))
        for needs in self.needs:
            reaching = [
                self._column[i] for new, recipe in needs.items() if recipe.cost < OUTSIDE for i in new
            ]
            share += np.bincount(reaching, minlength=len(share)) / max(len(reaching), 1)
        return [self.bought[i] for i in np.argsort(-share, kind="stable").tolist()]

    def _among(self, some: Iterable[int]) -> Shop:
        """The same shop with only some of its paints to be bought."""
        there = set(some)
        kept = [
            {new: recipe for new, recipe in needs.items() if there.issuperset(new)} for needs in self.needs
        ]
        return Shop(kept, self.weight)

    def nearest(self, pots: int) -> tuple[list[int], bool]:
        """At most `pots` paints that bring the most parts within the tolerance, and these nearest; and
        whether it is proven that no others bring more."""
        if not self.bought:
            return [], True
        if self._few(pots):
            return self._used(self._tried(pots)), True
        short = pots < len(self.whole)
        if self._size > _WEIGHED or (short and self.large):
            return self._used(self._exchanged(self.whole, pots)), not short
        each = np.ones(len(self.bought))
        within = self.most
        if short:
            gap = 0.99 / max(within, 1.0)  # whole parts
            most = self._solve(False, 0.0, None, price=each, spend=pots, gap=gap)
            if self._size > _NEAREST:
                starts: tuple[Sequence[int], ...] = (most, self.whole, ())
                found = [self._exchanged(start, pots) for start in starts]
                return self._used(min(found, key=self._cost)), True
            within = self.reached(most)
        return self._used(self._solve(True, within, None, price=each, spend=pots, gap=_CLOSE)), True

    def dropped(self, buy: Sequence[int], price: Array) -> list[list[int]]:
        """What is left of a set as its paints are given up one by one, first those that save the most money
        for each part lost; the set itself comes last, and each before it reaches fewer parts."""
        left = [list(buy)]
        while left[0]:
            have = self.reached(left[0])
            fewer = [[paint for paint in left[0] if paint != out] for out in left[0]]
            lost = [have - self.reached(some) for some in fewer]
            saved = [max(float(price[out]), 1e-9) for out in left[0]]
            best = min(range(len(fewer)), key=lambda i: lost[i] / saved[i])
            if lost[best]:
                left.insert(0, fewer[best])
            else:
                left[0] = fewer[best]
        return left

    def _few(self, pots: int) -> bool:
        """Whether every set of so many pots can be tried."""
        n, pairs = len(self.bought), all(len(new) <= 2 for needs in self.needs for new in needs)
        if pots < 2:
            return pots <= _TRIED or not pots
        return (
            pots <= min(_TRIED, 3 if pairs else 2) and n**pots <= _SETS and len(self.needs) * n * n <= _TABLE
        )

    def _used(self, buy: Iterable[int]) -> list[int]:
        """The paints of a set that the recipes taken need."""
        have = list(buy)
        taken = [self._best_new(t, have) for t in range(len(self.needs))]
        return sorted({paint for new in taken for paint in new})

    def _best_new(self, target: int, buy: Sequence[int]) -> tuple[int, ...]:
        have = set(buy)
        open_to = [(recipe.cost, new) for new, recipe in self.needs[target].items() if have.issuperset(new)]
        return min(open_to)[1] if open_to else ()

    def _tried(self, pots: int) -> list[int]:
        """As `nearest`, by trying every set of up to `_TRIED` paints: so few leave the bounds of the integer
        programme too loose to be quick."""
        n = len(self.bought)
        if not n or not pots:
            return []
        targets = range(len(self.needs))
        if pots == 1:
            alone = np.array([self._with([], target) for target in targets])
            return [self.bought[int((self.weight @ alone).argmin())]]
        if pots == 2:
            sums = np.zeros((n, n))
            for target in targets:
                sums += self._with_two(target)
        else:
            cost = np.array([self._with_two(target) for target in targets])
            sums = np.array(
                [
                    np.minimum(np.minimum(cost, one[:, :, None]), one[:, None, :]).sum(axis=0).ravel()
                    for one in cost.transpose(1, 0, 2)
                ]
            )
        best = np.unravel_index(int(sums.argmin()), (n,) * pots)
        return sorted({self.bought[int(i)] for i in best})

    def _with(self, buy: Sequence[int], target: int) -> Array:
        """The cost of a target with a set and one more paint bought, for each paint (n,)."""
        columns, cost = self._costs[target]
        have = np.zeros(len(self.bought) + 1, dtype=bool)
        have[[*(self._column[paint] for paint in buy), -1]] = True
        lacking = ~have[columns]
        number = lacking.sum(axis=1)
        costs = np.full(len(self.bought), cost[number == 0].min(initial=OUTSIDE + _NOTHING))
        one = number == 1
        np.minimum.at(costs, columns[one][lacking[one]], cost[one])
        return costs

    def _with_two(self, target: int) -> Array:
        """The cost of a target with any two paints bought (n, n), times the parts it stands for."""
        alone = self._with([], target)
        costs = np.minimum.outer(alone, alone)
        columns, cost = self._costs[target]
        two = (columns >= 0).sum(axis=1) == 2
        if two.any():
            a, b = columns[two, :2].T
            for i, j in ((a, b), (b, a)):  # no two recipes of a target need the same
                costs[i, j] = np.minimum(costs[i, j], cost[two])
        return np.asarray(costs * self.weight[target])

    @cached_property
    def _costs(self) -> list[tuple[NDArray[np.int64], Array]]:
        """Of each target: what each recipe needs (m, most), by the place in `bought`, −1 where it needs
        fewer; and what it costs (m,)."""
        costs = []
        most = max((len(new) for needs in self.needs for new in needs), default=0)
        for needs in self.needs:
            columns = np.full((len(needs), most), -1)
            for row, new in enumerate(needs):
                columns[row, : len(new)] = [self._column[paint] for paint in new]
            costs.append((columns, np.array([recipe.cost for recipe in needs.values()])))
        return costs

    def _exchanged(self, start: Sequence[int], pots: int) -> list[int]:
        """A good set of so many paints: those of `start` less the ones missed least, or with others, each
        exchanged for another as long as that brings anything."""
        chosen = list(start)
        while len(chosen) > pots:
            chosen = min(([paint for paint in chosen if paint != out] for out in chosen), key=self._cost)
        while len(chosen) < min(pots, len(self.bought)):
            chosen.append(self._one_more(chosen)[1])
        best = self._cost(chosen)
        while chosen:
            rests = [[paint for paint in chosen if paint != out] for out in chosen]
            (cost, new), rest = min((self._one_more(rest), rest) for rest in rests)
            if cost >= best - 1e-9:
                break
            best, chosen = cost, [*rest, new]
        return sorted(set(chosen))

    def _one_more(self, buy: Sequence[int]) -> tuple[float, int]:
        """The cost with the one paint more that brings most, and that paint."""
        sums = self.weight @ np.array([self._with(buy, t) for t in range(len(self.needs))])
        return float(sums.min()), self.bought[int(sums.argmin())]

    def _cost(self, buy: Iterable[int]) -> float:
        best = [self.best(t, buy) for t in range(len(self.needs))]
        costs = [OUTSIDE + _NOTHING if recipe is None else recipe.cost for recipe in best]
        return float(self.weight @ np.array(costs))

    def _solve(
        self,
        near: bool,
        within: float,
        each: Array | None,
        price: Array | None = None,
        spend: float = np.inf,
        gap: float = 0.0,
    ) -> list[int]:
        """The paints, as rows of the list, that reach at least `within` parts for at most `spend`: with the
        least sum of `each` over paints bought; else, if `near`, of the costs of the recipes taken; else those
        that reach the most parts. `gap` is the share by which the least may be missed."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        programme = self._programme(within >= self.most, near)
        n, m = len(self.bought), len(programme.cost)
        counted = np.concatenate([np.zeros(n), programme.within])
        limits = [programme.limits, LinearConstraint(counted[None], within - 0.5, np.inf)]
        if price is not None:
            paid = np.concatenate([price, np.zeros(m)])
            limits.append(LinearConstraint(paid[None], -np.inf, spend + 1e-6))
        objective = programme.cost if near else -programme.within if each is None else np.zeros(m)
        answer = milp(
            np.concatenate([np.zeros(n) if each is None else each, objective]),
            constraints=limits,
            integrality=np.concatenate([np.ones(n), np.zeros(m)]),
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": gap},
        )
        if answer.x is None:  # cannot be: to buy everything is always open
            raise RuntimeError(f"the integer programme was not solved: {answer.message}")
        return [paint for i, paint in enumerate(self.bought) if answer.x[i] > 0.5]

    def _programme(self, complete: bool, near: bool) -> _Programme:
        """The programme in which all that can be reached must be, or need not; and in which the recipes
        outside the tolerance, and the nearer of recipes that need more, have a place, or have none."""
        if (complete, near) not in self._programmes:
            self._programmes[complete, near] = self._built(complete, near)
        return self._programmes[complete, near]

    def _built(self, complete: bool, near: bool) -> _Programme:
        from scipy.optimize import LinearConstraint
        from scipy.sparse import csr_array

        cost: list[float] = []
        within: list[float] = []
        entries: list[tuple[int, int, float]] = []
        lower: list[float] = []
        upper: list[float] = []
        for weight, needs, reachable in zip(self.weight, self.needs, self._reachable, strict=True):
            if not (near or reachable):
                continue
            must = complete and reachable
            options: list[tuple[tuple[int, ...], Pick | None]] = [
                (new, recipe)
                for new, recipe in needs.items()
                if (recipe.cost < OUTSIDE or not must)
                and (near or (recipe.cost < OUTSIDE and not _subset_reaches(new, needs)))
            ]
            if not must:  # to be without any paint is a recipe, the costliest
                options.append(((), None))
            taken = len(lower)
            lower.append(1.0)
            upper.append(1.0)
            needing: dict[int, int] = {}  # paint -> row of the programme
            for new, recipe in options:
                at = len(self.bought) + len(cost)
                reaches = recipe is not None and recipe.cost < OUTSIDE
                left = _NOTHING if recipe is None else recipe.cost if reaches else recipe.cost - OUTSIDE
                cost.append(weight * left)
                within.append(weight * reaches)
                entries.append((taken, at, 1.0))
                for paint in new:
                    if paint not in needing:
                        needing[paint] = len(lower)
                        entries.append((len(lower), self._column[paint], -1.0))
                        lower.append(-np.inf)
                        upper.append(0.0)
                    entries.append((needing[paint], at, 1.0))
        rows, columns, values = zip(*entries, strict=True)
        matrix = csr_array((values, (rows, columns)), shape=(len(lower), len(self.bought) + len(cost)))
        limits = LinearConstraint(matrix, np.array(lower), np.array(upper))
        return _Programme(np.array(cost), np.array(within), limits)


class _Programme(NamedTuple):
    """Of every recipe what it costs and how many parts it brings within the tolerance; and that each target
    takes one recipe, whose paints are bought."""

    cost: Array
    within: Array
    limits: Any


def _subset_reaches(new: tuple[int, ...], needs: Needs) -> bool:
    return any(some in needs and needs[some].cost < OUTSIDE for some in _fewer(new))


def _needs(
    each: RecipeSets, good: NDArray[np.bool_], owned: NDArray[np.bool_], allowed: NDArray[np.bool_]
) -> Needs:
    used = each.paints >= 0
    cost = each.expected + OUTSIDE * ~good
    possible = (allowed[each.paints] | ~used).all(axis=1)
    new = np.where(used & ~owned[each.paints], each.paints, -1)
    free = possible & (new < 0).all(axis=1)
    rows = np.flatnonzero(possible & (cost <= cost[free].min(initial=np.inf)))
    best: Needs = {}
    for row in rows[np.argsort(cost[rows], kind="stable")].tolist():
        key = tuple(sorted(i for i in new[row].tolist() if i >= 0))
        best.setdefault(key, Pick(float(cost[row]), each, row))
    return {
        key: recipe
        for key, recipe in best.items()
        if not any(some in best and best[some].cost <= recipe.cost for some in _fewer(key))
    }


def _thinned(needs: Sequence[Needs], price: Array) -> list[Needs]:
    """The recipes without paints that another stands in for: of paints that only paint one target straight
    none is bought that is no nearer than one that costs no more. Of long lists most are such."""
    uses = Counter(i for each in needs for new in each for i in new)
    thinned = []
    for each in needs:
        nearest, out = np.inf, set()
        alone = [(float(price[new[0]]), pick.cost, new) for new, pick in each.items() if len(new) == 1]
        for _, cost, new in sorted(alone):
            if cost >= nearest and uses[new[0]] == 1:
                out.add(new)
            nearest = min(nearest, cost)
        thinned.append({new: pick for new, pick in each.items() if new not in out})
    return thinned


def _fewer(new: tuple[int, ...]) -> Iterable[tuple[int, ...]]:
    """Every smaller set of some paints."""
    return (some for size in range(len(new)) for some in combinations(new, size))
