"""Which paints to buy: the fewest, or the cheapest, that bring the parts of a kit within a match.

A part is reached by a paint straight or by a mixture in whole drops that should lie within the tolerance:
√(predicted² + error of the prediction²) counts (`paints.likely`), so that a sure pot beats a mixture nobody
can foresee. Owned paints cost nothing. Which set is the least is solved exactly (`paints.shop`). Of sets
that reach as many parts with as few pots, the one with the least sum of differences to be expected is
taken. A mixture that stays outside the tolerance is considered only where nothing comes within it. How many
parts, pots and how much money is exact; the sum of differences is the least to within 1 in 200, but for
longer lists in the steps of the curve that fall short of the whole, where it is a small one. Of the longest
lists those steps are good ones and marked as not proven.

Once the pots are chosen, what goes on the brush is, as in the guide, no mixture where a paint straight is a
match already (`choosing.rank`).

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

from palette import cache, memory
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.paints.choosing.rank import PartRecipe, preferred
from palette.paints.choosing.target import Target
from palette.paints.mixing import NEAREST, mixture, shortfall_of
from palette.paints.mixing.colourants import with_whites
from palette.paints.recipes import RecipeSets, recipe_sets
from palette.paints.shop import Shop
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList

PLAIN, ODD = "plain", ("metallic", "fluorescent")  # how paints look
MORE = 2  # pots beyond the fewest up to which the curve goes on
_THREES = 5 * 10**6  # sets of three paints: some minutes a colour
_MIXED = 300  # paints among which mixtures are looked for; of more, many seconds a colour


@dataclass(frozen=True)
class Purchase:
    """Some paints to buy, and what can be painted with them and the owned ones."""

    buy: tuple[str, ...]  # swatch ids, in list order
    price: float | None  # None where one of them has no price
    recipes: tuple[PartRecipe | None, ...]  # one a part; None where there is no paint at all
    proven: bool = True  # that no other set of so many pots, or for so many parts, does better

    @property
    def served(self) -> int:
        """Parts that get as good a paint or mixture as any on sale, nearly."""
        return sum(recipe is not None and recipe.good for recipe in self.recipes)

    @property
    def within(self) -> int:
        """Parts that should be within the tolerance, the error of a mixture's prediction counted."""
        return sum(recipe is not None and recipe.within for recipe in self.recipes)

    @property
    def worst(self) -> float | None:
        """The largest difference to be expected; None where a part has no paint at all."""
        known = [recipe.expected for recipe in self.recipes if recipe is not None]
        return max(known) if known and len(known) == len(self.recipes) else None

    @property
    def mean(self) -> float | None:
        """The mean difference to be expected; None where a part has no paint at all."""
        known = [recipe.expected for recipe in self.recipes if recipe is not None]
        return float(np.mean(known)) if known and len(known) == len(self.recipes) else None


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
    nearest: PartRecipe | None  # None where all paints are clear
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
    chosen_recipes: tuple[
        PartRecipe | None, ...
    ]  # what goes on it with `chosen`, one a part; None where there is no paint
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
    wanted = np.asarray(labs, dtype=np.float64).reshape(-1, 3)
    metal = [False] * len(wanted) if metallic is None else metallic
    targets = [Target(lab, bool(metal)) for lab, metal in zip(wanted, metal, strict=True)]
    return to_paint(targets, swatches, tolerance, max_paints, max_drops, cheapest, progress)


def to_paint(
    targets: Sequence[Target],
    swatches: SwatchList,
    tolerance: float = 3.0,
    max_paints: int = 2,
    max_drops: int = 12,
    cheapest: bool = False,
    progress: Callable[[int, int], None] = lambda done, total: None,
    whole: bool = True,
) -> Basket:
    """As `basket`, for what parts are to look like. Unless `whole`, only what is bought and what goes on the
    brush, without what fewer or more pots and single ranges would do. Answers are remembered, from one
    process to the next."""
    asked_for = (tuple(targets), swatches, tolerance, max_paints, max_drops, cheapest, whole)
    key = cache.key("to_paint", memory.digest(*asked_for).hex())
    known = memory.recall(key)
    if known is cache.MISSING:
        known = _to_paint(targets, swatches, tolerance, max_paints, max_drops, cheapest, progress, whole)
        memory.keep(key, known)
    answer: Basket = known
    return answer


def _to_paint(
    targets: Sequence[Target],
    swatches: SwatchList,
    tolerance: float,
    max_paints: int,
    max_drops: int,
    cheapest: bool,
    progress: Callable[[int, int], None],
    whole: bool,
) -> Basket:
    usable = _usable(swatches, max_paints, cheapest)
    paints = swatches.swatches
    asked: dict[object, int] = {}
    which = np.array([asked.setdefault(_same(t), len(asked)) for t in targets], dtype=np.int64)
    apart = [targets[int(np.argmax(which == k))] for k in range(len(asked))]
    if not apart:
        return Basket(tolerance, (), Purchase((), 0.0, ()), (Purchase((), 0.0, ()),), (), (), (), ())
    ids = swatches.ids
    among = _to_mix(apart, swatches) if max_paints > 1 else None
    recipes = recipe_sets(apart, swatches, tolerance, max_paints, max_drops, among, progress)
    kinds = np.array([kind if (kind := unmixable(s)) in ODD else PLAIN for s in paints])
    weight = np.bincount(which, minlength=len(apart)).astype(np.float64)
    owned = np.array([s.owned is True and not s.retired for s in paints], dtype=bool)
    sold = np.array([not s.retired for s in paints], dtype=bool)
    priced = np.array([s.price is not None for s in paints], dtype=bool)

    def seemly(allowed: NDArray[np.bool_]) -> list[RecipeSets]:
        both = zip(recipes, apart, strict=True)
        return [_seemly(each, kinds, target, tolerance, allowed, ids) for each, target in both]

    allowed = owned | (sold & priced) if cheapest else sold
    able = [each.where(each.of(allowed)) for each in seemly(allowed)]
    good = [
        each.good(tolerance, target.unsure, target.cloud is not None)
        for each, target in zip(able, apart, strict=True)
    ]
    matches = [each.within(tolerance) for each in able]
    cost = np.array([0.0 if s.price is None else s.price for s in paints])
    shop = Shop.of(able, good, weight, owned, allowed, cost if cheapest else None)

    def recipe(t: int, row: int) -> PartRecipe:
        each = able[t]
        pairs = zip(each.paints[row].tolist(), each.drops[row].tolist(), strict=True)
        drops = sorted(((ids[i], n) for i, n in pairs if i >= 0), key=lambda drop: -drop[1])
        off, error = float(each.difference[row]), float(each.expected_error[row])
        look, wanted_look = str(kinds[each.paints[row, 0]]), _look(apart[t])
        odd = "" if look == wanted_look else look
        return PartRecipe(tuple(drops), off, error, bool(matches[t][row]), odd, bool(good[t][row]))

    def nearest(t: int, buy: Iterable[int]) -> PartRecipe | None:
        taken = shop.best(t, buy)
        return None if taken is None else recipe(t, taken.row)

    def purchase(buy: Iterable[int], proven: bool = True) -> Purchase:
        chosen = sorted(buy)
        prices = [p for i in chosen if (p := paints[i].price) is not None]
        total = float(sum(prices)) if len(prices) == len(chosen) else None
        done = [nearest(t, chosen) for t in range(len(apart))]
        return Purchase(tuple(paints[i].id for i in chosen), total, tuple(done[t] for t in which), proven)

    def preferred_with(buy: Sequence[int]) -> tuple[PartRecipe | None, ...]:
        have = owned.copy()
        have[list(buy)] = True
        there = {ids[i] for i in np.flatnonzero(have).tolist()}
        done = []
        for t, each in enumerate(able):
            rows = np.flatnonzero(each.of(have))
            choices = [recipe(t, row) for row in rows.tolist()]
            done.append(preferred(choices, there) if choices else None)
        return tuple(done[t] for t in which)

    unpriced: tuple[str, ...] = ()
    if cheapest:
        best = shop.fewest(cost)
        chosen = purchase(best)
        curve = _by_money(shop, cost, best, purchase) if whole else [chosen]
        unpriced = tuple(s.id for s in usable if s.price is None and s.owned is not True)
    else:
        best = shop.whole
        chosen = purchase(best)
        curve = [
            chosen if pots == len(best) else purchase(*shop.nearest(pots))
            for pots in (range(len(best) + MORE + 1) if whole else ())
        ]
    chosen_recipes = preferred_with(best)
    return Basket(
        tolerance,
        tuple(s.id for s, have in zip(paints, owned, strict=True) if have),
        chosen,
        tuple(_steps(curve)),
        _ranges(seemly, weight, tolerance, paints) if whole else (),
        _unreached(targets, chosen_recipes, swatches, allowed, max_paints, tolerance),
        unpriced,
        chosen_recipes,
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
    while curve[-1].served < shop.most:
        curve.append(purchase(shop.fewest(cost, parts=curve[-1].served + 1)))
    return curve


def _steps(curve: Iterable[Purchase]) -> Iterable[Purchase]:
    """A curve without the steps that buy nothing new."""
    before = None
    for step in curve:
        if before is None or step.buy != before.buy:
            yield step
        before = step


def looked_at_straight(swatches: SwatchList) -> int:
    """How many paints of a long list are looked at straight only, not in mixtures."""
    return max(0, len(_able(swatches)) - _MIXED)


def _able(swatches: SwatchList) -> list[int]:
    return [i for i, s in enumerate(swatches.swatches) if not s.retired and unmixable(s) is None]


def _to_mix(targets: Sequence[Target], swatches: SwatchList) -> frozenset[str] | None:
    """Of a long list the paints that mixtures are looked for among: the owned ones, the strongest (the hull
    of all colours), and those nearest to any of the targets. None where all are few enough."""
    able = _able(swatches)
    if len(able) <= _MIXED:
        return None
    from scipy.spatial import ConvexHull

    some = swatches.among(able)
    near = some.nearest(np.array([target.lab for target in targets]), _MIXED)[0]
    owned = [k for k, swatch in enumerate(some.swatches) if swatch.owned is True]
    first = [*owned, *ConvexHull(some.lab).vertices.tolist(), *near.T.ravel().tolist()]
    ids = some.ids
    return frozenset(ids[k] for k in list(dict.fromkeys(first))[:_MIXED])


def _same(target: Target) -> object:
    """What two targets share that are painted alike."""
    return (
        *target.lab.tolist(),
        target.metallic,
        id(target.cloud),
        target.stays,
        target.unsure,
        target.light,
        target.alone,
    )


def _look(target: Target) -> str:
    return "metallic" if target.metallic else PLAIN


def _seemly(
    each: RecipeSets,
    kinds: NDArray[np.str_],
    target: Target,
    tolerance: float,
    allowed: NDArray[np.bool_],
    ids: Sequence[str],
) -> RecipeSets:
    """Of the recipes for a part those that give it its look; all, where of the `allowed` paints only
    others come within the tolerance or there are no others. The paint that the maker decided on stays, and
    what is only not mixed because it is so little keeps its look."""
    able = each.of(allowed)
    if target.stays is not None:
        very = np.array([ids[i] == target.stays for i in each.paints[:, 0]], dtype=bool)
        decided = very & (each.paints[:, 1:] < 0).all(axis=1)
        if (decided & able).any():
            return each.where(decided)
    right = kinds[each.paints[:, 0]] == _look(target)
    if target.metallic:
        right &= (each.paints[:, 1:] < 0).all(axis=1)
    near = each.within(tolerance) & (not target.alone)
    if not (able & right & near).any() and ((able & near).any() or not (able & right).any()):
        return each
    return each.where(right)


def _ranges(
    seemly: Callable[[NDArray[np.bool_]], Sequence[RecipeSets]],
    weight: Array,
    tolerance: float,
    paints: Sequence[Swatch],
) -> tuple[RangeAlone, ...]:
    answers = []
    none = np.zeros(len(paints), dtype=bool)
    sold_as = [range_of(paint) for paint in paints]
    for name in dict.fromkeys(n for n, paint in zip(sold_as, paints, strict=True) if not paint.retired):
        its = np.array([n == name for n in sold_as]) & [not paint.retired for paint in paints]
        recipes = seemly(its)
        shop = Shop.of(recipes, [each.within(tolerance) for each in recipes], weight, none, its)
        straight = [bool((_alone(each, its) <= tolerance).any()) for each in recipes]
        few, proven = shop.few()
        answers.append(
            RangeAlone(name, round(float(weight[straight].sum())), round(shop.most), len(few), proven)
        )
    return tuple(answers)


def _alone(each: RecipeSets, its: np.ndarray) -> Array:
    """The differences of some paints straight."""
    return each.difference[(each.paints[:, 1:] < 0).all(axis=1) & its[each.paints[:, 0]]]


def range_of(paint: Swatch) -> str:
    """The range a paint is sold in; the list's name stands in where the list does not say."""
    return paint.range or Path(paint.file).stem or "other paints"


def _unreached(
    targets: Sequence[Target],
    recipes: Sequence[PartRecipe | None],
    swatches: SwatchList,
    allowed: NDArray[np.bool_],
    max_paints: int,
    tolerance: float,
) -> tuple[Unreached, ...]:
    """The parts of a known colour that stay outside the tolerance, and why."""
    missing = []
    for i, (target, recipe) in enumerate(zip(targets, recipes, strict=True)):
        if recipe is None:
            missing.append(Unreached(i, None, "every paint is clear"))
        elif not recipe.within and target.cloud is None:
            missing.append(
                Unreached(i, recipe, _why(target, recipe, swatches, allowed, max_paints, tolerance))
            )
    return tuple(missing)


def _why(
    target: Target,
    recipe: PartRecipe,
    swatches: SwatchList,
    allowed: NDArray[np.bool_],
    max_paints: int,
    tolerance: float,
) -> str:
    sold = swatches.among(np.flatnonzero(allowed))
    kinds = [unmixable(s) for s in sold.swatches]
    if target.stays is not None:
        return f"the paint decided on is {recipe.difference:.1f} off"
    if target.metallic and "metallic" in kinds:
        return f"{NEAREST} {recipe.difference:.0f} off, because no metallic paint is nearer"
    if all(kinds):
        which = "metallic or fluorescent paint, and there is no other,"
        return f"{NEAREST} {recipe.difference:.0f} off, because no {which} is nearer"
    row = {id: i for i, id in enumerate(swatches.ids)}
    if target.alone:
        return f"{NEAREST} {recipe.difference:.1f} off, and too little of it is needed to mix another"
    used = with_whites(swatches, [row[id] for id, _ in recipe.drops])
    lab = mixture(dict(recipe.drops), used) if len(recipe.drops) > 1 else used.swatches[0].lab
    if recipe.difference <= tolerance:
        return (
            f"the surest that can be reached is {recipe.difference:.1f} off by prediction, "
            f"give or take {recipe.expected_error:.1f}"
        )
    able = sold.lab[[look is None for look in kinds]]
    reason = shortfall_of(target.lab, lab, recipe.difference, able, max_paints)
    return reason
