"""Which paint or mixture goes on the brush."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.evidence.combine.model import Scheme
from palette.guide.dossier.assembly import assemble
from palette.paints.choosing.chosen import Chosen, Odds, Shelf, choose
from palette.paints.choosing.proposals import mixes_for, paints_for
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


def test_of_mixes_the_one_that_should_miss_least_is_taken() -> None:
    """Fails where the nearest prediction wins although nobody can rely on it."""
    swatches = SwatchList((paint("a", (20.0, 0.0, 0.0)), paint("b", (90.0, 0.0, 0.0))))
    vague = mix((("a", 7), ("b", 4)), np.array([50.0, 0.0, 0.0]), 0.3, 8.6, 1.0)
    sound = mix((("a", 5), ("b", 4)), np.array([50.0, 0.0, 0.0]), 1.9, 0.5, 1.0)
    chosen = choose(one(swatches, (50.0, 0.0, 0.0), (vague, sound)), swatches)["part-1"]
    assert chosen.recipe == sound.drops and chosen.miss == pytest.approx(np.hypot(1.9, 0.5))


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
    assert "to hand" in guide.choice_words


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
    picked = shelf.pick([shelf.paint("other", bought), shelf.paint("mine", owned)], unsure=9.0)
    assert picked is not None and picked.recipe == ((takes, 1),)


def test_of_mixtures_that_are_a_match_the_one_of_fewest_pots_to_buy_is_taken() -> None:
    """Fails where three paints are sent for although one of them and a paint to hand are a match, too."""
    ids = ("mine", "one", "two", "three")
    shelf = Shelf(SwatchList(tuple(paint(id, (50, 0, 0), id == "mine") for id in ids)), 3.0)
    lab = np.array([50.0, 0.0, 0.0])
    far = mix((("one", 3), ("two", 2), ("three", 1)), lab, 0.9, 1.0, 1.0)
    near = mix((("one", 3), ("mine", 2)), lab, 1.8, 0.5, 1.0)
    picked = shelf.pick(shelf.mixtures([far, near]), unsure=5.0)
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
    picked = shelf.pick([shelf.paint("other", 4.0), shelf.paint("mine", 4.5)], unsure=0.2)
    assert picked is not None and picked.recipe == (("other", 1),)


def test_the_paint_decided_on_stays() -> None:
    swatches = SwatchList((paint("decided", (50.0, 0.0, 0.0)), paint("mine", (51.0, 0.0, 0.0), True)))
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="decision")
    assert choose(scheme, swatches)["part-1"].recipe == (("decided", 1),)


def test_an_inferred_colour_gets_the_likeliest_paint_with_its_odds() -> None:
    """Fails where the nearest to the middle of what remains is named, which the odds may not favour."""
    swatches = SwatchList((paint("middle", (50.0, 0.0, 0.0), True), paint("likely", (45.0, -20.0, 8.0))))
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="grey")
    odds = {"part-1": Odds((40.0, 60.0), (("gone", 0.3), ("likely", 0.17), ("middle", 0.1)))}
    choice = assemble(scheme, swatches, {}, odds=odds).parts[0].choice
    assert choice.title == "likely" and choice.off is None
    assert choice.note == "17 % likely; see Colours inferred"


def test_beside_an_open_colour_nothing_is_said_to_show() -> None:
    swatches = SwatchList((paint("a", (50.0, 9.0, 0.0)),))
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="hint")
    for radius, said in ((14.0, True), (16.0, False)):
        part = replace(scheme.parts[0], radius90=radius)
        off = assemble(replace(scheme, parts=(part,)), swatches, {}).parts[0].choice.off
        assert off is not None and bool(off.shows) == said


def test_a_mixtures_words_count_its_error_in() -> None:
    swatches = SwatchList((paint("a", (20.0, 0.0, 0.0)), paint("b", (90.0, 0.0, 0.0))))
    sound = mix((("a", 5), ("b", 4)), np.array([50.0, 0.0, 0.0]), 0.9, 2.9, 1.0)
    guide = assemble(one(swatches, (50.0, 0.0, 0.0), (sound,)), swatches, {})
    off = guide.parts[0].choice.off
    assert off is not None and (off.difference, off.shows) == ("0.9 ± 2.9", "seen side by side")
    assert guide.mixtures[0].off.shows == "seen side by side"


def test_the_nearest_recipes_of_the_scheme_serve_where_nothing_is_to_hand() -> None:
    swatches = SwatchList((paint("a", (20.0, 0.0, 0.0)), paint("b", (90.0, 0.0, 0.0))))
    colour = np.array([50.0, 0.0, 0.0])
    chosen = choose(one(swatches, (50.0, 0.0, 0.0), mixes_for(colour, swatches)), swatches)["part-1"]
    assert isinstance(chosen, Chosen) and chosen.mix is not None and not chosen.owned


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


def test_what_the_odds_choose_stands_on_the_model() -> None:
    """Fails where shading goes around the middle of what remains, or the order of work shows it, although
    another paint goes on the brush."""
    swatches = SwatchList((paint("middle", (50.0, 0.0, 0.0)), paint("likely", (45.0, -20.0, 8.0))))
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="grey")
    guide = assemble(scheme, swatches, {}, odds={"part-1": Odds((40.0, 60.0), (("likely", 0.2),))})
    assert guide.parts[0].base.words != guide.parts[0].chip.words and "green" in guide.parts[0].base.words
    assert [s.chip for stage in guide.order for s in stage.steps if s.parts] == [guide.parts[0].base]


def test_whoever_owns_one_range_is_told_its_likeliest_paint_for_a_guess() -> None:
    """Fails where a range's table names for an inferred part what is nearest to the middle of what remains,
    beside a scheme that names the likeliest."""
    swatches = SwatchList(
        tuple(
            replace(paint(id, lab), range=sold_as)
            for id, lab, sold_as in (
                ("middle", (50.0, 0.0, 0.0), "Alder"),
                ("likely", (45.0, -20.0, 8.0), "Alder"),
                ("other", (60.0, 30.0, 9.0), "Birch"),
                ("near", (51.0, 1.0, 0.0), "Birch"),
            )
        )
    )
    scheme = one(swatches, (50.0, 0.0, 0.0), basis="grey")
    odds = {"part-1": Odds((40.0, 60.0), (("likely", 0.4), ("other", 0.3), ("near", 0.2), ("middle", 0.1)))}
    (table,) = assemble(scheme, swatches, {}, odds=odds).ranges
    (cells,) = (cells for _, _, cells in table.rows)
    assert [(c.paint.swatch, c.off.difference, c.best) for c in cells] == [
        ("likely", "40 %", True),
        ("other", "30 %", False),
    ]
    assert "likeliest" in table.note and table.within == ("no part measured",) * 2
    assert not assemble(one(swatches, (50.0, 0.0, 0.0)), swatches, {}).ranges[0].note
