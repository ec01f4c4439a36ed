"""Which paints to buy: the fewest, or the cheapest, that bring the parts of a kit within a match.

A part is reached by a paint straight or by a mixture in whole drops whose predicted colour lies within
the tolerance. Owned paints cost nothing. Which set is the least is solved exactly (`paints.shop`). Of sets
that reach as many parts with as few pots, the one with the least sum of differences to be expected is taken:
√(predicted² + error of the prediction²), so that a sure pot beats a mixture nobody can foresee. A mixture
that stays outside the tolerance is not considered: nobody counts drops for a miss. How many parts, pots and
how much money is exact; the sum of differences is the least to within 1 in 200. The steps of the curve that
fall short of the whole are exact but for long lists, where they are good ones and marked as not proven.

Once the pots are chosen, what goes on the brush is, as in the guide, no mixture where a paint straight is a
match already (`brush.rank`).

Only paints marked as owned count as owned: a blank may mean a pot that is not there, and a shopping list
had better name it. A metallic part takes a metallic paint straight, for no mixture looks like metal, and no
other part a metallic or fluorescent one; where that leaves nothing within the tolerance, the part takes what
there is, with a warning. Retired paints are out, owned or not, since nobody can buy the next pot.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import comb
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.paints.choosing.rank import Way, mixed, preferred
from palette.paints.mixing import mixes, shortfall
from palette.paints.shop import Shop, Taken
from palette.paints.ways import Ways, ways
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList

PLAIN, ODD = "plain", ("metallic", "fluorescent")  # how paints look
MORE = 2  # pots beyond the fewest up to which the curve goes on
_THREES = 5 * 10**6  # sets of three paints: some minutes a colour
_MIXED = 1000  # paints among which mixtures are looked for; of more, some minutes a colour


@dataclass(frozen=True)
class Purchase:
    """Some paints to buy, and what can be painted with them and the owned ones."""

    buy: tuple[str, ...]  # swatch ids, in list order
    price: float | None  # None where one of them has no price
    ways: tuple[Way | None, ...]  # one a part; None where there is no paint at all
    proven: bool = True  # that no other set of so many pots, or for so many parts, does better

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
    proven: bool = True  # that no fewer do


@dataclass(frozen=True)
class Unreached:
    """A part that no paint or mixture brings within the tolerance."""

    part: int  # index into the colours asked for
    nearest: Way | None  # None where all paints are clear
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
    brush: tuple[Way | None, ...]  # what goes on it with `chosen`, one a part; None where there is no paint
    unmixed: int = 0  # paints of a long list that were looked at straight only


def basket(
    labs: Array,
    swatches: SwatchList,
    tolerance: float = 3.0,
    max_paints: int = 2,
    max_drops: int = 12,
    cheapest: bool = False,
    metallic: Sequence[bool] | None = None,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> Basket:
    """The paints to buy for colours (n, 3), CIELAB D65: those that bring as many as can be within
    `tolerance` with the fewest pots, or for the least money.

    Recipes are of at most `max_paints` paints and `max_drops` drops; `metallic` (n,) says which of the
    colours are to look like metal. `progress` is told how many colours of how many have been looked at.

    Raises:
        InputError: no paint of the list can be used, the cheapest were asked for and none has a price, or
            the list is too long for mixtures of three.
    """
    usable = _usable(swatches, max_paints, cheapest)
    paints = swatches.swatches
    wanted = np.asarray(labs, dtype=np.float64).reshape(-1, 3)
    metal = np.zeros(len(wanted)) if metallic is None else np.asarray(metallic, dtype=np.float64)
    kinds, which = np.unique(np.column_stack([wanted, metal]), axis=0, return_inverse=True)
    targets, which = kinds[:, :3], which.reshape(-1)
    if not len(targets):
        return Basket(tolerance, (), Purchase((), 0.0, ()), (Purchase((), 0.0, ()),), (), (), (), ())
    among = _to_mix(targets, swatches) if max_paints > 1 else None
    found = ways(targets, swatches, tolerance, max_paints, max_drops, among, progress)
    looks = np.array([kind if (kind := unmixable(s)) in ODD else PLAIN for s in paints])
    wanted_looks = np.where(kinds[:, 3] > 0, "metallic", PLAIN)
    weight = np.bincount(which, minlength=len(targets)).astype(np.float64)
    owned = np.array([s.owned is True and not s.retired for s in paints], dtype=bool)
    sold = np.array([not s.retired for s in paints], dtype=bool)
    priced = np.array([s.price is not None for s in paints], dtype=bool)

    def seemly(allowed: NDArray[np.bool_]) -> list[Ways]:
        both = zip(found, wanted_looks, strict=True)
        return [_seemly(each, looks, look, tolerance, allowed) for each, look in both]

    allowed = owned | (sold & priced) if cheapest else sold
    able = seemly(allowed)
    shop = Shop.of(able, weight, tolerance, owned, allowed)

    def nearest(t: int, buy: Iterable[int]) -> Way | None:
        taken = shop.best(t, buy)
        return None if taken is None else _way(taken, swatches, tolerance, looks, str(wanted_looks[t]))

    def purchase(buy: Iterable[int], proven: bool = True) -> Purchase:
        chosen = sorted(buy)
        prices = [p for i in chosen if (p := paints[i].price) is not None]
        total = float(sum(prices)) if len(prices) == len(chosen) else None
        done = [nearest(t, chosen) for t in range(len(targets))]
        return Purchase(tuple(paints[i].id for i in chosen), total, tuple(done[t] for t in which), proven)

    def brush(buy: Sequence[int]) -> tuple[Way | None, ...]:
        have = owned.copy()
        have[list(buy)] = True
        at_hand, mine = swatches.where(have.tolist()), set(swatches.where(owned.tolist()).ids)
        done = []
        for t, (lab, each) in enumerate(zip(targets, able, strict=True)):
            way = nearest(t, buy)
            if way is not None and not way.look:
                straight = _straight(each, owned, swatches, tolerance)
                choices = [way, straight, _straight(each, have, swatches, tolerance)]
                done_with = straight is not None and straight.within  # no mixture goes before it
                if max_paints > 1 and wanted_looks[t] == PLAIN and not done_with:
                    # of two, as in the guide; `way` may be of three
                    choices += mixed(lab, at_hand, 2, max_drops, tolerance)
                way = preferred([choice for choice in choices if choice is not None], mine, tolerance)
            done.append(way)
        return tuple(done[t] for t in which)

    unpriced: tuple[str, ...] = ()
    if cheapest:
        cost = np.array([0.0 if s.price is None else s.price for s in paints])
        best = shop.fewest(cost)
        chosen = purchase(best)
        curve = _by_money(shop, cost, best, purchase)
        unpriced = tuple(s.id for s in usable if s.price is None and s.owned is not True)
    else:
        best = shop.whole
        chosen = purchase(best)
        curve = [
            chosen if pots == len(best) else purchase(*shop.nearest(pots))
            for pots in range(len(best) + MORE + 1)
        ]
    return Basket(
        tolerance,
        tuple(s.id for s, have in zip(paints, owned, strict=True) if have),
        chosen,
        tuple(_steps(curve)),
        _ranges(seemly, weight, tolerance, paints),
        _unreached(
            wanted, metal > 0, swatches.where(allowed.tolist()), chosen, tolerance, max_paints, max_drops
        ),
        unpriced,
        brush(best),
        0 if among is None else sum(s.id not in among for s in usable if unmixable(s) is None),
    )


def _usable(swatches: SwatchList, max_paints: int, cheapest: bool) -> list[Swatch]:
    """The paints that are not retired.

    Raises:
        InputError: as `basket`.
    """
    usable = [s for s in swatches.swatches if not s.retired]
    if not usable:
        what = "every paint is retired" if len(swatches) else "there is no paint"
        raise InputError(Problem(None, None, what, "add a list with paints that are sold"))
    if cheapest and all(s.price is None for s in usable):
        what = "no paint of the lists has a price"
        raise InputError(Problem(None, None, what, "fill the column price, or ask for the fewest pots"))
    if max_paints > 2 and comb(len(usable), 3) > _THREES:
        what = f"mixtures of three from {len(usable)} paints are too many to weigh"
        raise InputError(Problem(None, None, what, "mix two at most, or give a shorter list"))
    return usable


def _by_money(
    shop: Shop, cost: Array, best: Sequence[int], purchase: Callable[..., Purchase]
) -> list[Purchase]:
    """The least money for each number of parts that money reaches."""
    if shop.large:
        *steps, whole = shop.dropped(best, cost)
        return [*(purchase(step, not step) for step in steps), purchase(whole)]
    curve = [purchase(shop.fewest(cost, parts=0.0))]
    while curve[-1].within < shop.most:
        curve.append(purchase(shop.fewest(cost, parts=curve[-1].within + 1)))
    return curve


def _steps(curve: Iterable[Purchase]) -> Iterable[Purchase]:
    """A curve without the steps that buy nothing new."""
    before = None
    for step in curve:
        if before is None or step.buy != before.buy:
            yield step
        before = step


def _to_mix(targets: Array, swatches: SwatchList) -> frozenset[str] | None:
    """Of a long list the paints that mixtures are looked for among: the owned ones, the strongest (the hull
    of all colours), and those nearest to any of the targets. None where all are few enough."""
    able = [i for i, s in enumerate(swatches.swatches) if not s.retired and unmixable(s) is None]
    if len(able) <= _MIXED:
        return None
    from scipy.spatial import ConvexHull

    lab = swatches.lab[able]
    off = difference(targets[:, None], lab[None]).min(axis=0)
    owned = [k for k, i in enumerate(able) if swatches.swatches[i].owned is True]
    first = [*owned, *ConvexHull(lab).vertices.tolist(), *np.argsort(off, kind="stable").tolist()]
    return frozenset(swatches.ids[able[k]] for k in list(dict.fromkeys(first))[:_MIXED])


def _seemly(
    each: Ways, looks: NDArray[np.str_], wanted: str, tolerance: float, allowed: NDArray[np.bool_]
) -> Ways:
    """Of the ways to a part those that give it its look; all, where of the `allowed` paints only
    others come within the tolerance or there are no others."""
    right = looks[each.paints[:, 0]] == wanted
    if wanted != PLAIN:
        right &= (each.paints[:, 1:] < 0).all(axis=1)
    able = (allowed[each.paints] | (each.paints < 0)).all(axis=1)
    near = each.difference <= tolerance
    if not (able & right & near).any() and ((able & near).any() or not (able & right).any()):
        return each
    return Ways(each.paints[right], each.drops[right], each.difference[right], each.expected_error[right])


def _way(taken: Taken, swatches: SwatchList, tolerance: float, looks: NDArray[np.str_], wanted: str) -> Way:
    each, row = taken.ways, taken.row
    recipe = zip(each.paints[row].tolist(), each.drops[row].tolist(), strict=True)
    drops = sorted(((swatches.ids[i], n) for i, n in recipe if i >= 0), key=lambda drop: -drop[1])
    off, look = float(each.difference[row]), str(looks[each.paints[row, 0]])
    return Way(
        tuple(drops),
        off,
        float(each.expected_error[row]),
        off <= tolerance,
        "" if look == wanted else look,
    )


def _ranges(
    seemly: Callable[[NDArray[np.bool_]], Sequence[Ways]],
    weight: Array,
    tolerance: float,
    paints: Sequence[Swatch],
) -> tuple[RangeAlone, ...]:
    answers = []
    none = np.zeros(len(paints), dtype=bool)
    sold_as = [range_of(paint) for paint in paints]
    for name in dict.fromkeys(n for n, paint in zip(sold_as, paints, strict=True) if not paint.retired):
        its = np.array([n == name for n in sold_as]) & [not paint.retired for paint in paints]
        found = seemly(its)
        shop = Shop.of(found, weight, tolerance, none, its)
        straight = [bool((_alone(each, its) <= tolerance).any()) for each in found]
        few, proven = shop.few()
        answers.append(
            RangeAlone(name, round(float(weight[straight].sum())), round(shop.most), len(few), proven)
        )
    return tuple(answers)


def _alone(each: Ways, its: np.ndarray) -> Array:
    """The differences of some paints straight."""
    return each.difference[(each.paints[:, 1:] < 0).all(axis=1) & its[each.paints[:, 0]]]


def _straight(each: Ways, its: NDArray[np.bool_], swatches: SwatchList, tolerance: float) -> Way | None:
    """The nearest of some paints straight."""
    rows = np.flatnonzero((each.paints[:, 1:] < 0).all(axis=1) & its[each.paints[:, 0]])
    if not len(rows):
        return None
    row = rows[int(each.difference[rows].argmin())]
    off = float(each.difference[row])
    return Way(((swatches.ids[int(each.paints[row, 0])], 1),), off, 0.0, off <= tolerance)


def range_of(paint: Swatch) -> str:
    """The range a paint is sold in; the list's name stands in where the list does not say."""
    return paint.range or Path(paint.file).stem or "other paints"


def _unreached(
    labs: Array,
    metallic: NDArray[np.bool_],
    sold: SwatchList,
    chosen: Purchase,
    tolerance: float,
    max_paints: int,
    max_drops: int,
) -> tuple[Unreached, ...]:
    """The nearest that all paints on sale together come to the parts that stay outside."""
    missing = []
    for i, way in enumerate(chosen.ways):
        if way is not None and way.within:
            continue
        found = mixes(labs[i], sold, max_paints, max_drops, count=1)
        alone = _nearest_odd(labs[i], sold, metallic[i]) if metallic[i] or not found else None
        if alone is not None:
            missing.append(Unreached(i, *alone))
        elif found:
            mix = found[0]
            why = (
                shortfall(labs[i], found, sold, max_paints)
                or f"the nearest that can be reached is {mix.difference:.1f} off"
            )
            as_way = Way(mix.drops, mix.difference, mix.expected_error, mix.difference <= tolerance)
            missing.append(Unreached(i, as_way, why))
        else:
            missing.append(Unreached(i, None, "every paint is clear"))
    return tuple(missing)


def _nearest_odd(lab: Array, sold: SwatchList, metallic: bool) -> tuple[Way, str] | None:
    """The nearest metallic paint, or the nearest metallic or fluorescent one, straight; and why."""
    kinds = ("metallic",) if metallic else ODD
    paints = sold.where([unmixable(s) in kinds for s in sold.swatches])
    if not len(paints):
        return None
    (row, *_), (off, *_) = paints.nearest(lab, 1)
    which = "metallic paint" if metallic else "metallic or fluorescent paint, and there is no other,"
    why = f"the nearest that can be reached is {off:.0f} off, because no {which} is nearer"
    return Way(((paints.ids[int(row)], 1),), float(off), 0.0, False), why
