"""Which paint or mixture goes on the brush."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.evidence.combine.model import Scheme
from palette.guide.dossier.assembly import assemble
from palette.paints.choosing.chosen import Chosen, Odds, base, choose
from palette.paints.choosing.proposals import paints_for
from palette.paints.choosing.shelf import Shelf
from palette.paints.mixing import Mix
from palette.swatches.model import Swatch, SwatchList
from tests.guide.guide_made import made, mix


def paint(id: str, lab: tuple[float, float, float], owned: bool | None = None) -> Swatch:
    return Swatch(id, id, np.array(lab), "lab", owned=owned)


def one(
    swatches: SwatchList, lab: tuple[float, float, float], mixes: tuple[Mix, ...] = (), **more: object
) -> Scheme:
    """A scheme of one part of that colour."""
    scheme = made(1)[0]
    colour = np.array(lab)
    part = replace(
        scheme.parts[0], lab=colour, paints=paints_for(colour, swatches), mixes=mixes, radius90=2.0, **more
    )
    return replace(scheme, parts=(part,))


def straight(id: str, off: float, owned: bool = False) -> Chosen:
    return Chosen(((id, 1),), off, owned)


def mixed(recipe: Mix) -> Chosen:
    return Chosen(recipe.drops, recipe.difference, False, recipe)


def test_of_mixes_the_one_that_should_miss_least_is_taken() -> None:
    """Fails where the nearest prediction wins although nobody can rely on it."""
    shelf = Shelf(SwatchList((paint("a", (20.0, 0.0, 0.0)), paint("b", (90.0, 0.0, 0.0)))), 3.0)
    vague = mix((("a", 7), ("b", 4)), np.array([50.0, 0.0, 0.0]), 0.3, 8.6, 1.0)
    sound = mix((("a", 5), ("b", 4)), np.array([50.0, 0.0, 0.0]), 1.9, 0.5, 1.0)
    chosen = shelf.pick([mixed(vague), mixed(sound)], 2.0)
    assert chosen is not None and chosen.recipe == sound.drops
    assert chosen.miss == pytest.approx(np.hypot(1.9, 0.5))


@pytest.mark.parametrize(
    ("paint_off", "mix_off", "mix_error", "mixes"),
    [
        (2.9, 0.5, 1.0, False),
        (3.1, 0.5, 1.0, True),
        (3.1, 3.2, 0.0, False),
        (9.0, 6.0, 1.0, True),
        (4.4, 3.3, 5.0, False),  # the prediction may be worse than the paint
    ],
)
def test_a_mixture_is_chosen_only_outside_the_tolerance_and_only_if_nearer(
    paint_off: float, mix_off: float, mix_error: float, mixes: bool
) -> None:
    shelf = Shelf(SwatchList((paint("a", (20, 0, 0), True), paint("b", (90, 0, 0), True))), 3.0)
    both = mix((("a", 2), ("b", 1)), np.array([50.0, 0.0, 0.0]), mix_off, mix_error, 1.0)
    picked = shelf.pick([straight("a", paint_off), mixed(both)], unsure=1.0)
    assert picked is not None and (picked.mix is not None) == mixes


def test_a_mixture_of_paints_to_hand_is_found_where_the_scheme_names_none() -> None:
    swatches = SwatchList(
        (
            paint("dark", (46.0, 0.0, 0.0), True),
            paint("pale", (54.0, 0.0, 0.0), True),
            paint("near", (51.0, 0.0, 0.0), False),
        )
    )
    chosen = choose(one(swatches, (50.0, 0.0, 0.0)), swatches)["part-1"]
    assert chosen.owned and {id for id, _ in chosen.recipe} == {"dark", "pale"}
    guide = assemble(one(swatches, (50.0, 0.0, 0.0)), swatches, {})
    assert guide.parts[0].choice.off is not None and "±" in guide.parts[0].choice.off.difference


@pytest.mark.parametrize(
    ("areas", "mixes"),
    [
        ((4.0, None), True),
        ((0.5, None), True),
        ((0.5, 0.5), False),
        ((0.5, 40.0), True),
        ((20.0, 20.0), True),
    ],
)
def test_a_mixture_of_a_few_drops_is_a_straight_paint(
    areas: tuple[float | None, float | None], mixes: bool
) -> None:
    """Fails where nobody could measure a mixture, and where parts that share one, or one whose area nobody
    knows, are denied it."""
    pots = paint("dark", (46.0, 0.0, 0.0), True), paint("pale", (54.0, 0.0, 0.0), True)
    swatches = SwatchList(pots)
    scheme = one(swatches, (50.0, 0.0, 0.0))
    (first,) = scheme.parts
    parts = tuple(replace(first.part, id=f"p{i}", area_cm2=area) for i, area in enumerate(areas))
    scheme = replace(
        scheme,
        kit=replace(scheme.kit, parts=parts),
        parts=tuple(replace(first, part=part) for part in parts),
    )
    for chosen in choose(scheme, swatches).values():
        assert (chosen.mix is not None) == mixes
        assert mixes or (chosen.recipe in ((("dark", 1),), (("pale", 1),)) and 3 < chosen.difference < 5)


@pytest.mark.parametrize(
    ("owned", "bought", "takes"),
    [
        (2.9, 0.5, "mine"),  # both are a match
        (3.5, 0.5, "other"),  # only one is
        (5.0, 4.0, "mine"),  # neither, and the difference is hardly seen
        (7.0, 4.0, "other"),
    ],
)
def test_what_is_to_hand_goes_before_what_is_to_buy(owned: float, bought: float, takes: str) -> None:
    """The kit's tolerance is 3."""
    shelf = Shelf(SwatchList((paint("mine", (50, 0, 0), True), paint("other", (50, 0, 0), False))), 3.0)
    picked = shelf.pick([straight("other", bought), straight("mine", owned, True)], unsure=9.0)
    assert picked is not None and picked.recipe == ((takes, 1),)


def test_of_mixtures_that_are_a_match_the_one_of_fewest_pots_to_buy_is_taken() -> None:
    """Fails where three paints are sent for although one of them and a paint to hand are a match, too."""
    ids = ("mine", "one", "two", "three")
    shelf = Shelf(SwatchList(tuple(paint(id, (50, 0, 0), id == "mine") for id in ids)), 3.0)
    lab = np.array([50.0, 0.0, 0.0])
    far = mix((("one", 3), ("two", 2), ("three", 1)), lab, 0.9, 1.0, 1.0)
    near = mix((("one", 3), ("mine", 2)), lab, 1.8, 0.5, 1.0)
    picked = shelf.pick([mixed(far), mixed(near)], unsure=5.0)
    assert picked is not None and picked.recipe == near.drops


def test_a_mixture_with_what_is_to_hand_goes_before_the_nearest() -> None:
    """Fails where only the scheme's nearest recipes are weighed, none of which uses the paint to hand."""
    swatches = SwatchList(
        (
            paint("mine", (12.0, 0.0, 0.0), True),
            paint("black", (11.0, 0.0, 0.0)),
            paint("white", (92.0, 0.0, 0.0)),
            paint("far", (50.0, 60.0, 0.0)),
        )
    )
    lab = (50.0, 0.0, 0.0)
    nearest = mix((("black", 3), ("white", 4)), np.array(lab), 0.1, 0.1, 1.0)
    scheme = one(swatches, lab, (nearest,))
    scheme = replace(scheme, kit=replace(scheme.kit, tolerance=12.0))
    assert {id for id, _ in choose(scheme, swatches)["part-1"].recipe} == {"mine", "white"}


def test_a_sure_colour_leaves_no_room_for_a_worse_paint() -> None:
    shelf = Shelf(SwatchList((paint("mine", (50, 0, 0), True), paint("other", (50, 0, 0), False))), 3.0)
    picked = shelf.pick([straight("other", 4.0), straight("mine", 4.5, True)], unsure=0.2)
    assert picked is not None and picked.recipe == (("other", 1),)


def test_the_paint_decided_on_stays() -> None:
    swatches = SwatchList((paint("decided", (50.0, 0.0, 0.0)), paint("mine", (51.0, 0.0, 0.0), True)))
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="decision")
    assert choose(scheme, swatches)["part-1"].recipe == (("decided", 1),)


def two_thirds_green(count: int = 600) -> np.ndarray:
    """What may be left of a part seen in grey: a green, or half as likely a red, of one lightness."""
    rng = np.random.default_rng(3)
    hues = np.where(rng.random(count) < 2 / 3, -1.0, 1.0)
    return np.column_stack(
        [rng.normal(45, 4, count), 22 * hues + rng.normal(0, 4, count), rng.normal(8, 6, count)]
    )


def guessed() -> tuple[Scheme, SwatchList, dict[str, Odds]]:
    swatches = SwatchList(
        (
            paint("green", (45.0, -24.0, 8.0)),
            paint("red", (45.0, 24.0, 8.0)),
            paint("dull", (46.0, -10.0, 8.0)),
            paint("white", (95.0, 0.0, 0.0)),
        )
    )
    draws = two_thirds_green()
    scheme = one(swatches, tuple(draws.mean(axis=0)), basis="grey", covariance=np.cov(draws.T))
    return scheme, swatches, {"part-1": Odds((40.0, 52.0), (("red", 0.5), ("green", 0.4)), draws)}


def test_an_inferred_colour_gets_what_is_least_off_on_average() -> None:
    """Fails where the likeliest paint of the list is taken (the original was not painted from it), or what
    is nearest to a mean that was never in question."""
    scheme, swatches, odds = guessed()
    chosen = choose(scheme, swatches, odds)["part-1"]
    assert chosen.guess is not None and chosen.lab is not None
    draws = odds["part-1"].draws
    averages = [float(difference(swatch.lab, draws).mean()) for swatch in swatches.swatches]
    mine = float(difference(chosen.lab, draws).mean())
    assert mine <= min(averages) + 0.5 and mine < averages[1] - 2  # not the likeliest of the list
    assert chosen.guess.expected == pytest.approx(mine, abs=0.6)  # of fewer draws
    assert chosen.guess.odds[0] == ("red", 0.5)


def test_how_likely_it_is_that_it_was_none_of_the_paints_is_told() -> None:
    scheme, swatches, odds = guessed()
    none = choose(scheme, swatches, odds)["part-1"].guess.none  # type: ignore[union-attr]
    draws = odds["part-1"].draws
    off = np.min([difference(swatch.lab, draws) for swatch in swatches.swatches], axis=0)
    assert none == pytest.approx(float((off > scheme.kit.tolerance).mean()), abs=0.06) and 0.3 < none < 0.98


def test_a_guess_is_printed_as_one() -> None:
    scheme, swatches, odds = guessed()
    choice = assemble(scheme, swatches, {}, odds=odds).parts[0].choice
    assert choice.off is None and "a guess" in choice.note and "on average" in choice.note


def test_beside_an_open_colour_nothing_is_said_to_show() -> None:
    swatches = SwatchList((paint("a", (50.0, 9.0, 0.0)),))
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="colour")
    for radius, said in ((14.0, True), (16.0, False)):
        part = replace(scheme.parts[0], radius90=radius)
        off = assemble(replace(scheme, parts=(part,)), swatches, {}).parts[0].choice.off
        assert off is not None and bool(off.shows) == said


def test_mixtures_serve_where_nothing_is_to_hand() -> None:
    swatches = SwatchList((paint("a", (20.0, 0.0, 0.0)), paint("b", (90.0, 0.0, 0.0))))
    chosen = choose(one(swatches, (50.0, 0.0, 0.0)), swatches)["part-1"]
    assert chosen.mix is not None and not chosen.owned and set(chosen.to_buy) == {"a", "b"}


def test_pots_are_bought_for_all_parts_at_once() -> None:
    """Fails where each part gets the pot that is nearest to it, although one pot is a match for both."""
    swatches = SwatchList(
        (
            paint("left", (50.0, 19.0, 0.0)),
            paint("right", (50.0, 28.0, 0.0)),
            paint("both", (50.0, 23.0, 0.5)),
        )
    )
    scheme = one(swatches, (50.0, 19.0, 0.0))
    other = replace(
        scheme.parts[0], part=replace(scheme.parts[0].part, id="part-2"), lab=np.array([50.0, 28.0, 0.0])
    )
    chosen = choose(replace(scheme, parts=(scheme.parts[0], other)), swatches)
    assert [chosen[id].recipe for id in ("part-1", "part-2")] == [(("both", 1),)] * 2


@pytest.mark.parametrize(
    ("finish", "takes"),
    [("matt", "grey"), ("metallic", "steel")],
)
def test_metal_is_for_metal_and_a_clear_coat_for_none(finish: str, takes: str) -> None:
    """Fails where a matt part gets a metallic paint or any part a varnish, only because they come nearest, or
    a metallic part a flat grey although a metallic paint is a match too."""
    lightness = {"grey": 52.0, "steel": 51.5, "coat": 50.0, "glow": 50.5}
    paints = [paint(id, (level, 0.0, 0.0)) for id, level in lightness.items()]
    kinds = ("matt", "metallic", "clear", "fluorescent")
    swatches = SwatchList(tuple(replace(p, finish=kind) for p, kind in zip(paints, kinds, strict=True)))
    scheme = one(swatches, (50.0, 0.0, 0.0))
    part = replace(scheme.parts[0], part=replace(scheme.parts[0].part, finish=finish))
    scheme = replace(scheme, parts=(part,))
    assert choose(scheme, swatches)["part-1"].recipe == ((takes, 1),)
    guide = assemble(scheme, swatches, {})
    assert [cell.paint.name for sheet in guide.ranges for _, _, cells in sheet.rows for cell in cells] == [
        "grey" if finish == "matt" else "steel"
    ]
    only = SwatchList((swatches.swatches[1],))
    bare = replace(scheme, parts=(replace(part, paints=()),))
    assert choose(bare, only)["part-1"].recipe == (("steel", 1),)
    # said where there is nothing else, and only there
    assert guide.parts[0].choice.note == ""
    plain = SwatchList((swatches.swatches[0 if finish == "metallic" else 1],))
    assert "metallic paint" in assemble(bare, plain, {}).parts[0].choice.note


def test_what_a_guess_chooses_stands_on_the_model() -> None:
    """Fails where shading goes around the middle of what remains although another colour is painted."""
    scheme, swatches, odds = guessed()
    chosen = choose(scheme, swatches, odds)["part-1"]
    assert base(scheme.parts[0], chosen, swatches) is chosen.lab
    known = replace(scheme.parts[0], basis="colour")
    chosen = choose(replace(scheme, parts=(known,)), swatches)["part-1"]
    assert base(known, chosen, swatches) is known.lab


def test_whoever_owns_one_range_is_told_its_best_guess() -> None:
    """Fails where a range's table names for a guess what is nearest to the middle of what remains."""
    scheme, swatches, odds = guessed()
    ranges = ("Alder", "Birch", "Alder", "Birch")
    swatches = SwatchList(tuple(replace(s, range=r) for s, r in zip(swatches.swatches, ranges, strict=True)))
    (table,) = assemble(scheme, swatches, {}, odds=odds).ranges
    (cells,) = (cells for _, _, cells in table.rows)
    best = {}
    for swatch in swatches.swatches:
        off = float(difference(swatch.lab, odds["part-1"].draws).mean())
        best[swatch.range] = min(best.get(swatch.range, (99.0, "")), (off, swatch.id))
    assert [c.paint.swatch for c in cells] == [best["Alder"][1], best["Birch"][1]]
    assert table.note and table.within == ("no part measured",) * 2
    assert not assemble(one(swatches, (50.0, 0.0, 0.0)), swatches, {}).ranges[0].note
