"""What to buy, against trying every set of paints and every recipe."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from palette import InputError, cache, difference
from palette.paints.basket import basket, to_paint
from palette.paints.choosing.rank import PartRecipe, preferred
from palette.paints.choosing.target import Target
from palette.paints.mixing import predicted
from palette.paints.recipes import recipe_sets
from palette.swatches.model import Swatch, SwatchList

DROPS = 4


@pytest.fixture(autouse=True)
def nothing_is_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is asked for with other limits is worked out anew."""
    monkeypatch.setattr("palette.memory.recall", lambda key: cache.MISSING)


TOLERANCE = 4.0


def paint(id: str, lab: tuple[float, float, float], **more: object) -> Swatch:
    return Swatch(id, id, np.array(lab), "lab", **more)  # type: ignore[arg-type]


def some_list(seed: int, count: int = 7) -> SwatchList:
    rng = np.random.default_rng(seed)
    lab = np.column_stack([rng.uniform(20, 92, count), rng.normal(0, 22, (count, 2))])
    prices = rng.uniform(1, 4, count).round(2)
    return SwatchList(
        tuple(
            paint(f"P{i}", tuple(lab[i]), range="AB"[i % 2], owned=bool(i < 2), price=float(prices[i]))
            for i in range(count)
        )
    )


def some_targets(swatches: SwatchList, seed: int) -> np.ndarray:
    """Colours of mixtures that can be made, and one that hardly can."""
    rng = np.random.default_rng(seed)
    made = []
    for _ in range(3):
        a, b = rng.choice(len(swatches), 2, replace=False)
        made.append(predicted({swatches.ids[a]: 1, swatches.ids[b]: int(rng.integers(1, 4))}, swatches).lab)
    return np.array([*made, [60.0, 60.0, -50.0]]) + rng.normal(0, 1.0, (4, 3))


def every_way(
    lab: np.ndarray, swatches: SwatchList, p_most: int = 2
) -> dict[frozenset[str], tuple[float, float]]:
    """By brute force and the library's front door: each set's best recipe, (difference, error)."""
    best: dict[frozenset[str], tuple[float, float]] = {}
    for p in range(1, p_most + 1):
        for ids in combinations(swatches.ids, p):
            for drops in np.ndindex(*(DROPS,) * p):
                counts = [n + 1 for n in drops]
                if sum(counts) > DROPS or (p == 1 and counts[0] > 1):
                    continue
                mix = predicted(dict(zip(ids, counts, strict=True)), swatches)
                off = float(difference(lab, mix.lab))
                if frozenset(ids) not in best or off < best[frozenset(ids)][0]:
                    best[frozenset(ids)] = (off, mix.expected_error)
    return best


def which_will_do(
    best: dict[frozenset[str], tuple[float, float]],
) -> dict[frozenset[str], tuple[bool, float]]:
    """Of the best recipes those that count, each with whether it will do and the difference to expect: a
    match with the error of its prediction, or, where nothing is, what should come as near as any but for a
    tenth, two at most."""
    reached = any(np.hypot(*off_and_error) <= TOLERANCE for off_and_error in best.values())
    kept = {ids: f for ids, f in best.items() if len(ids) == 1 or f[0] <= TOLERANCE or not reached}
    least = min(float(np.hypot(*off_and_error)) for off_and_error in kept.values())
    near = least + min(0.1 * least, 2.0)
    matched = any(np.hypot(*f) <= TOLERANCE for f in kept.values())
    good = {ids: np.hypot(*f) <= (TOLERANCE if matched else near) for ids, f in kept.items()}
    return {
        ids: (good[ids], float(np.hypot(*off_and_error)))
        for ids, off_and_error in kept.items()
        if len(ids) == 1 or good[ids]
    }


def by_enumeration(targets: np.ndarray, swatches: SwatchList) -> dict[frozenset[str], tuple[int, float]]:
    """For every set that could be bought: parts that get what will do, and what to expect in all."""
    tables = [which_will_do(every_way(lab, swatches)) for lab in targets]
    owned = {s.id for s in swatches.swatches if s.owned}
    rest = [id for id in swatches.ids if id not in owned]
    answers = {}
    for size in range(len(rest) + 1):
        for buy in combinations(rest, size):
            have = owned | set(buy)
            within, total = 0, 0.0
            for table in tables:
                open_to = [(not good, cost) for ids, (good, cost) in table.items() if ids <= have]
                outside, cost = min(open_to)
                within += not outside
                total += cost
            answers[frozenset(buy)] = (within, total)
    return answers


@pytest.mark.parametrize("tried", [0, 3])
@pytest.mark.parametrize("seed", range(5))
def test_no_set_is_smaller_cheaper_or_nearer(seed: int, tried: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Fails where the integer programme, trying small sets or pruning recipes loses the best."""
    monkeypatch.setattr("palette.paints.shop._TRIED", tried)
    swatches = some_list(seed)
    targets = some_targets(swatches, seed)
    answers = by_enumeration(targets, swatches)
    bought = basket(targets, swatches, TOLERANCE, max_drops=DROPS)
    most = max(within for within, _ in answers.values())
    assert bought.chosen.served == most == len(targets)
    fewest = min(len(buy) for buy, (within, _) in answers.items() if within == most)
    assert len(bought.chosen.buy) == fewest
    nearest = min(total for buy, (within, total) in answers.items() if within == most and len(buy) == fewest)
    assert sum(recipe.expected for recipe in bought.chosen.recipes if recipe) == pytest.approx(
        nearest, abs=1e-6
    )
    assert len({step.buy for step in bought.curve}) == len(bought.curve)
    for step in bought.curve:
        reach = {buy: a for buy, a in answers.items() if len(buy) <= len(step.buy)}
        best = max(within for within, _ in reach.values())
        least = min(total for within, total in reach.values() if within == best)
        assert step.served == best
        assert step.mean == pytest.approx(least / len(targets), abs=1e-6)

    price = {s.id: s.price for s in swatches.swatches}
    cheap = basket(targets, swatches, TOLERANCE, max_drops=DROPS, cheapest=True)
    assert cheap.chosen.served == most
    assert cheap.chosen.price == pytest.approx(
        min(sum(price[id] or 0 for id in buy) for buy, (within, _) in answers.items() if within == most)
    )
    for step in cheap.curve:  # what money buys, not what pots do
        spent = [sum(price[id] or 0 for id in buy) for buy, (n, _) in answers.items() if n >= step.served]
        assert step.price == pytest.approx(min(spent))
    reached = [step.served for step in cheap.curve]
    assert reached == sorted(set(reached)) and reached[-1] == most


def test_what_a_second_pot_brings_within_is_not_left_outside() -> None:
    """Fails where a paint a little beyond the tolerance will do because the colour itself is unsure: then it
    is called out of reach, and the table of pots says otherwise."""
    swatches = SwatchList(
        (paint("F", (41.0, -17.5, 12.0)), paint("T", (40.0, -30.0, -6.0)), paint("W", (96.0, 0.0, 2.0)))
    )
    target = Target(predicted({"F": 2, "T": 1}, swatches).lab, unsure=6.0)
    alone = float(difference(target.lab, swatches.lab[0]))
    assert TOLERANCE < alone < TOLERANCE + 2
    bought = to_paint([target], swatches, TOLERANCE)
    assert bought.chosen.buy == ("F", "T") and bought.chosen.within == 1 and not bought.unreached
    assert max(step.within for step in bought.curve) == 1


def test_a_miss_is_put_down_to_mixing_only_where_mixing_is_allowed() -> None:
    swatches = SwatchList((paint("a", (40.0, 5.0, 0.0)), paint("b", (90.0, 0.0, 5.0))))
    straight, mixed = (
        basket(np.array([[60.0, 60.0, 20.0]]), swatches, max_paints=most).unreached[0].why for most in (1, 2)
    )
    assert "no paint is this strong" in straight and "no mixture of these paints is" in mixed


@pytest.mark.parametrize("paints", [2, 3])
def test_no_way_is_lost(paints: int) -> None:
    """Fails where bounding passes over a set of paints that reaches the colour."""
    swatches = some_list(11, 6)
    lab = predicted({"P0": 2, "P3": 1, "P5": 1}, swatches).lab
    (sets,) = recipe_sets([Target(lab)], swatches, TOLERANCE, paints, DROPS)
    every = every_way(lab, swatches, paints)
    will_do = {ids for ids, (good, _) in which_will_do(every).items() if good or len(ids) == 1}
    seen = {
        frozenset(swatches.ids[i] for i in row if i >= 0): off
        for row, off in zip(sets.paints.tolist(), sets.difference.tolist(), strict=True)
    }
    assert will_do <= seen.keys()
    for ids, off in seen.items():
        assert off == pytest.approx(every[ids][0], abs=1e-9)


def test_what_one_range_does_alone() -> None:
    """Fails where owned paints of another range help, or a part counts once for twins."""
    red, blue = (40.0, 50.0, 30.0), (35.0, 5.0, -45.0)
    swatches = SwatchList(
        (
            paint("R", red, range="Quay", owned=True),
            paint("B", blue, range="Depot"),
            paint("G", (60.0, 0.0, 0.0), file="lists/loft.csv"),
        )
    )
    bought = basket(np.array([red, red, blue]), swatches, 2.0)
    assert [(r.range, r.straight, r.within, r.pots) for r in bought.ranges] == [
        ("Quay", 2, 2, 1),
        ("Depot", 1, 1, 1),
        ("loft", 0, 0, 0),
    ]
    assert bought.chosen.buy == ("B",) and bought.chosen.within == 3 and bought.curve[0].within == 2


def test_a_range_of_very_many_ways_is_answered_by_what_most_of_them_share(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Fails where the quick answer loses a part, or claims to be the fewest."""
    swatches = some_list(5, 12)
    alone = SwatchList(tuple(replace(s, range="All", owned=None) for s in swatches.swatches))
    targets = some_targets(alone, 5)
    (exact,) = basket(targets, alone, TOLERANCE, max_drops=DROPS).ranges
    monkeypatch.setattr("palette.paints.shop._WEIGHED", 0)
    monkeypatch.setattr("palette.paints.shop._SHARED", 2)
    (quick,) = basket(targets, alone, TOLERANCE, max_drops=DROPS).ranges
    assert exact.proven and (quick.within, quick.straight) == (exact.within, exact.straight)
    assert exact.pots <= quick.pots <= exact.pots + 2 and (not quick.proven or quick.pots == exact.pots)


def test_the_parts_looked_at_are_counted() -> None:
    """Fails where a long search for mixtures is silent."""
    swatches, told = some_list(2), list[tuple[int, int]]()
    basket(some_targets(swatches, 2), swatches, TOLERANCE, progress=lambda *step: told.append(step))
    assert told == [(i, 4) for i in range(4)]


def test_owned_only_where_the_list_says_so_and_never_retired() -> None:
    """A blank is not owned; a retired paint is neither bought nor used."""
    red = (40.0, 50.0, 30.0)
    swatches = SwatchList(
        (
            paint("old", red, owned=True, retired=True),
            paint("blank", red),
            paint("far", (80.0, 0.0, 0.0), owned=True),
        )
    )
    bought = basket(np.array([red]), swatches, 2.0)
    assert bought.owned == ("far",)
    assert bought.chosen.buy == ("blank",)


def test_a_part_out_of_reach_says_how_near_and_why() -> None:
    swatches = SwatchList((paint("a", (40.0, 0.0, 0.0)), paint("b", (60.0, 10.0, 0.0))))
    bought = basket(np.array([[95.0, 0.0, 0.0], [40.0, 0.0, 0.0]]), swatches)
    (missing,) = bought.unreached
    assert missing.part == 0 and "no paint is this light" in missing.why
    assert missing.nearest.difference == pytest.approx(float(difference([95, 0, 0], [60, 10, 0])), abs=1e-3)
    # what is bought is all that goes on the brush, a miss as well
    assert bought.chosen.buy == ("a", "b") and bought.chosen.within == 1


def test_metallic_and_clear_paints_are_not_mixed() -> None:
    """Fails where a varnish counts as a paint of its colour, or flakes are mixed."""
    grey = (50.0, 0.0, 0.0)
    swatches = SwatchList(
        (
            paint("varnish", grey, finish="clear"),
            paint("steel", (55.0, 0.0, 0.0), finish="metallic"),
            paint("white", (95.0, 0.0, 0.0)),
            paint("black", (15.0, 0.0, 0.0)),
        )
    )
    (sets,) = recipe_sets([Target(np.array(grey))], swatches, 10.0)
    used = {frozenset(swatches.ids[i] for i in row if i >= 0) for row in sets.paints.tolist()}
    assert used == {frozenset(ids) for ids in (["steel"], ["white"], ["black"], ["white", "black"])}


def test_a_metallic_part_takes_a_metallic_paint_before_any_mixture() -> None:
    """Fails where a pot of silver is passed over because pots of matt paint are bought anyway."""
    let_down = {"tint_lab": np.array([83.0, 0.0, 1.0]), "tint_share": 0.1, "tint_white": "M0"}
    matt = [
        paint("M0", (95.0, 0.0, 2.0), owned=True),
        paint("M1", (45.0, 0.0, 0.0), owned=True, **let_down),
    ]
    silver = paint("S", (70.0, 0.0, 0.0), finish="metallic")
    labs = np.array([[70.0, 0.0, 0.0], [70.0, 0.0, 0.0]])
    bought = basket(labs, SwatchList((*matt, silver)), TOLERANCE, metallic=[False, True])
    assert bought.chosen.buy == ("S",) and bought.chosen.recipes[1] is not None
    assert bought.chosen.recipes[1].drops == (("S", 1),)
    assert basket(labs, SwatchList((*matt, silver)), TOLERANCE).chosen.buy == ()  # or nothing was passed over
    far = paint("S", (30.0, 0.0, 0.0), finish="metallic")
    bought = basket(labs, SwatchList((*matt, far)), TOLERANCE, metallic=[False, True])
    assert bought.chosen.buy == () and bought.chosen.within == 2


@pytest.mark.parametrize("kind", ["metallic", "fluorescent"])
def test_a_plain_part_takes_no_odd_paint_but_for_want_of_another(kind: str) -> None:
    """Fails where the nearest of all is taken for a matt part, or what it will look like is kept back."""
    odd = paint("S", (60.0, 0.0, 0.0), finish=kind)
    near, far = paint("G", (60.0, 2.5, 0.0), owned=True), paint("D", (30.0, 0.0, 0.0), owned=True)
    grey = np.array([[60.0, 0.0, 0.0]])
    bought = basket(grey, SwatchList((odd, near)), TOLERANCE)
    (recipe,) = bought.chosen.recipes
    assert (
        bought.chosen.buy == () and recipe is not None and recipe.drops == (("G", 1),) and recipe.look == ""
    )
    bought = basket(grey, SwatchList((odd, far)), TOLERANCE)
    (recipe,) = bought.chosen.recipes
    assert bought.chosen.buy == ("S",) and recipe is not None and recipe.look == kind
    bought = basket(
        np.array([[90.0, 0.0, 0.0]]), SwatchList((odd, far)), TOLERANCE
    )  # both far: no reason to buy it
    assert bought.chosen.buy == () and bought.curve[-1].buy == ()
    # of a range that has nothing else it counts all the same
    alone = basket(grey, SwatchList((odd, paint("G", (60.0, 2.0, 0.0), range="B"))), TOLERANCE).ranges
    assert [each.straight for each in alone] == [1, 1]


def test_a_metallic_part_without_metallic_paint_is_told() -> None:
    grey = np.array([[60.0, 0.0, 0.0], [20.0, 0.0, 0.0]])
    paints = SwatchList((paint("G", (60.0, 1.0, 0.0)), paint("S", (40.0, 0.0, 0.0), finish="metallic")))
    bought = basket(grey, paints, TOLERANCE, metallic=[True, True])
    first, _ = bought.chosen.recipes
    assert first is not None and first.drops == (("G", 1),) and first.look == "plain"
    (missing,) = bought.unreached
    assert missing.part == 1 and missing.nearest is not None and missing.nearest.drops == (("S", 1),)
    assert "no metallic paint" in missing.why


def test_lists_without_any_paint_that_mixes() -> None:
    """Fails where a part out of reach is left without a word."""
    labs = np.array([[60.0, 0.0, 0.0]])
    steel = basket(labs, SwatchList((paint("S", (20.0, 0.0, 0.0), finish="metallic"),)))
    assert "there is no other" in steel.unreached[0].why
    clear = basket(labs, SwatchList((paint("V", (60.0, 0.0, 0.0), finish="clear"),)))
    assert clear.chosen.recipes == (None,) and clear.unreached[0].nearest is None
    assert clear.unreached[0].why == "every paint is clear"


@pytest.mark.parametrize(("seed", "paints"), [*((seed, 2) for seed in range(5)), (5, 3)])
def test_long_lists_lose_little_and_say_what_is_not_proven(
    seed: int, paints: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Fails where exchanging paints ends far from the exact answer, calls it proven or misses the fewest."""
    swatches = some_list(seed, 12)
    targets = np.concatenate([some_targets(swatches, seed), some_targets(swatches, seed + 50)])
    exact = basket(targets, swatches, TOLERANCE, paints, DROPS)
    monkeypatch.setattr("palette.paints.shop._TRIED", 0)
    for nearest, proven, weighed in ((0, 10**6, 10**6), (0, 0, 10**6), (0, 0, 0)):
        monkeypatch.setattr("palette.paints.shop._NEAREST", nearest)
        monkeypatch.setattr("palette.paints.shop._PROVEN", proven)
        monkeypatch.setattr("palette.paints.shop._WEIGHED", weighed)
        bought = basket(targets, swatches, TOLERANCE, paints, DROPS)
        assert len(bought.chosen.buy) == len(exact.chosen.buy)
        assert bought.chosen.served == exact.chosen.served
        steps = {len(step.buy): step for step in exact.curve}
        for step in bought.curve:
            best = steps[len(step.buy)]
            assert best.served - 1 <= step.served <= best.served
            assert step.proven == (proven > 0 or len(step.buy) in (0, *range(len(exact.chosen.buy), 20)))
            assert step.served == best.served or not step.proven


def test_the_least_money_of_long_lists(monkeypatch: pytest.MonkeyPatch) -> None:
    swatches = some_list(3, 10)
    targets = some_targets(swatches, 3)
    exact = basket(targets, swatches, TOLERANCE, max_drops=DROPS, cheapest=True)
    monkeypatch.setattr("palette.paints.shop._PROVEN", 0)
    bought = basket(targets, swatches, TOLERANCE, max_drops=DROPS, cheapest=True)
    assert bought.chosen.price == exact.chosen.price and bought.curve[-1].proven
    reached = [step.served for step in bought.curve]
    assert reached == sorted(set(reached)) and reached[-1] == exact.chosen.served
    least = {step.served: step.price for step in exact.curve}
    assert all((step.price or 0) >= (least[step.served] or 0) - 1e-9 for step in bought.curve)


def test_mixtures_of_a_long_list_are_of_the_owned_the_strongest_and_the_nearest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Fails where a long list stops the shopping, or its white is no longer mixed."""
    monkeypatch.setattr("palette.paints.basket._MIXED", 9)
    greys = [paint(f"G{i}", (50.0 + 0.2 * i, 8.0, 8.0)) for i in range(40)]
    let_down = {"tint_lab": np.array([55.0, 0.0, 0.0]), "tint_share": 0.1, "tint_white": "W"}
    black = paint("K", (12.0, 0.0, 0.0), **let_down)
    ends = [paint("W", (96.0, 0.0, 0.0)), black, paint("R", (45.0, 60.0, 30.0))]
    swatches = SwatchList((*greys, *ends))
    target = predicted({"W": 2, "K": 1}, swatches).lab
    bought = basket(target[None], swatches, 1.5)
    assert bought.chosen.within == 1 and set(bought.chosen.buy) == {"W", "K"}
    assert bought.unmixed == 43 - 9


def test_lists_that_are_of_no_use() -> None:
    retired = SwatchList((paint("a", (40.0, 0.0, 0.0), retired=True),))
    with pytest.raises(InputError, match="every paint is retired"):
        basket(np.array([[40.0, 0.0, 0.0]]), retired)
    unpriced = SwatchList((paint("a", (40.0, 0.0, 0.0)),))
    with pytest.raises(InputError, match="no paint of the lists has a price"):
        basket(np.array([[40.0, 0.0, 0.0]]), unpriced, cheapest=True)


def test_a_kit_without_colours_needs_nothing() -> None:
    bought = basket(np.empty((0, 3)), some_list(1))
    assert bought.chosen.buy == () and bought.chosen.within == 0 and bought.chosen.mean is None


def test_paints_without_a_price_are_not_bought_when_the_cheapest_is_wanted() -> None:
    red = (40.0, 50.0, 30.0)
    swatches = SwatchList((paint("a", red), paint("b", (41.0, 50.0, 30.0), price=2.5)))
    bought = basket(np.array([red]), swatches, cheapest=True)
    assert bought.chosen.buy == ("b",) and bought.chosen.price == 2.5 and bought.unpriced == ("a",)


def test_threes_of_a_very_long_list_are_refused() -> None:
    # 5 million sets and more would be weighed for every part: an hour
    rng = np.random.default_rng(1)
    swatches = SwatchList(tuple(paint(f"P{i}", tuple(rng.uniform(20, 80, 3))) for i in range(320)))
    with pytest.raises(InputError, match="too many to weigh"):
        basket(np.array([[50.0, 0, 0]]), swatches, max_paints=3)


def test_with_the_pots_there_a_match_straight_goes_before_a_mixture() -> None:
    """Fails where somebody counts drops although a paint to hand would do, a bought pot is used where one to
    hand would do as well, or what no prediction promises goes before what is sure."""
    straight = PartRecipe((("mine", 1),), 2.5, 0.0, True)
    bought = PartRecipe((("new", 1),), 0.1, 0.0, True)
    near = PartRecipe((("mine", 3), ("other", 1)), 0.2, 0.5, True)
    vague = PartRecipe((("mine", 1), ("other", 1)), 0.0, 9.0, False)
    outside = PartRecipe((("mine", 1),), 5.0, 0.0, False)
    owned = {"mine", "other"}
    assert preferred([vague, near, bought, straight], owned) is straight
    assert preferred([vague, near, bought], owned) is near
    assert preferred([vague, bought], owned) is bought
    assert preferred([outside, vague], owned) is outside  # it should come nearer


def test_a_mixture_that_may_well_miss_is_no_match_whatever_is_predicted() -> None:
    """Fails where a pot is saved by a prediction that nobody can rely on, and where that is called a match.
    How much a black darkens a white nobody knows, unless it was let down."""
    white, known = paint("W", (96.0, 0.0, 0.0), owned=True), {"tint_share": 0.1, "tint_white": "W"}
    blind = paint("K", (12.0, 0.0, 0.0), owned=True)
    tinted = replace(blind, tint_lab=np.array([55.0, 0.0, 0.0]), **known)
    for black, near, takes, matches in (
        (blind, True, {"G"}, True),
        (tinted, True, {"W", "K"}, True),
        (blind, False, {"W", "K"}, False),
    ):
        target = predicted({"W": 2, "K": 1}, SwatchList((white, black))).lab
        grey = paint("G", tuple(target + np.array([1.0, 0.0, 0.0])))
        some = SwatchList((white, black, grey) if near else (white, black))
        bought = basket(target[None], some, TOLERANCE)
        (recipe,) = bought.chosen_recipes
        assert recipe is not None and {id for id, _ in recipe.drops} == takes and recipe.within == matches
        assert bool(bought.unreached) != matches
        assert all("give or take" in missing.why for missing in bought.unreached)


def test_what_goes_on_the_brush_takes_no_pot_that_is_not_there() -> None:
    swatches = some_list(3)
    targets = some_targets(swatches, 3)
    bought = basket(targets, swatches, TOLERANCE, max_drops=DROPS)
    have = {*bought.owned, *bought.chosen.buy}
    for recipe, nearest in zip(bought.chosen_recipes, bought.chosen.recipes, strict=True):
        assert recipe is not None and nearest is not None and have.issuperset(id for id, _ in recipe.drops)
        assert recipe.within == nearest.within and sum(n for _, n in recipe.drops) <= DROPS


def test_what_takes_too_little_for_a_mixture_gets_a_straight_paint_of_its_look() -> None:
    """Fails where a few drops are mixed all the same, where metal goes on a plain part for want of the
    mixture, or where nobody is told why the part stays off."""
    lab = np.array([55.0, 0.0, 0.0])
    steel = paint("steel", (55.0, 0, 0), finish="metallic")
    swatches = SwatchList((paint("white", (95.0, 0, 0)), paint("black", (15.0, 0, 0)), steel))
    (mixed,) = to_paint([Target(lab)], swatches, 25.0).chosen_recipes
    assert mixed is not None and {id for id, _ in mixed.drops} == {"white", "black"}
    bought = to_paint([Target(lab, alone=True)], swatches, 25.0)
    (recipe,) = bought.chosen_recipes
    assert recipe is not None and len(recipe.drops) == 1 and recipe.drops[0][0] != "steel"
    assert len(bought.chosen.buy) == 1 and not recipe.within
    assert "too little of it is needed" in bought.unreached[0].why
