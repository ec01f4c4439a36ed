"""The painter's guide: every step whole in itself, in the trade's order, and nothing of the maker's shelf."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from palette.guide.painter.assembly import SPARE, assemble
from palette.guide.painter.content import Guide
from palette.paints.choosing.few import DROP
from palette.paints.needs import TONE_SHARE, Tone
from palette.swatches.model import SwatchList
from palette.words.catalogue import Words
from tests.guide.guide_made import guide, made, work, worked


@pytest.fixture(scope="module")
def twelve() -> Guide:
    return guide(12)


def paint_steps(of: Guide) -> list:  # type: ignore[type-arg]
    return [step for step in of.steps if step.kind == "paint"]


def test_every_part_is_painted_once_and_sealed(twelve: Guide) -> None:
    painted = [n for step in paint_steps(twelve) for n, _ in step.parts]
    finished = [n for step in twelve.steps if step.kind == "finish" for n, _ in step.parts]
    assert sorted(painted) == list(range(1, 13)) == sorted(finished)
    assert [step.number for step in twelve.steps] == list(range(1, len(twelve.steps) + 1))


def test_steps_follow_the_trade(twelve: Guide) -> None:
    kinds = [step.kind for step in twelve.steps]
    assert kinds == sorted(kinds, key=("prepare", "paint", "finish").index)  # common practice, no source
    after = {n: step.number for step in paint_steps(twelve) for n, _ in step.parts}
    assert after[6] > after[1]  # the kit says so


def test_a_card_has_all_that_the_step_needs(twelve: Guide) -> None:
    """Fails where a painter has to turn a page: for a code, drops, coats, the ground, a mask, a seal."""
    for step in paint_steps(twelve):
        labels = [label for label, _ in step.facts]
        if step.chip is not None and step.chip.hex:
            assert {"Over", "Drying", "Masks", "Seal"} <= set(labels)
        order = [label for label in ("Paint", "Over", "Masks", "Coats", "Drying", "Seal") if label in labels]
        assert labels == order  # that of the work
        if step.chosen is not None:
            assert "drop" in dict(step.facts)["Coats"] and "ml" in dict(step.facts)["Coats"]
            pots = step.chosen.pots
            assert all(pot.paint.code and pot.paint.name for pot in pots)
            assert bool(step.chosen.letter) == (len(pots) > 1) == all(pot.drops for pot in pots)
        for tone in step.tones:
            assert tone.how and (tone.chosen is None or "drop" in tone.amount)
        said = " ".join([*(text for _, text in step.facts), step.guess, *(t.how for t in step.tones)])
        assert "page" not in said and "see " not in said


def test_a_guess_says_so_wherever_its_colour_stands(twelve: Guide) -> None:
    guessed = {row.number for row in twelve.legend if row.guess}
    assert guessed == {9, 10, 12} == {row.number for row in twelve.bench if row.guess}
    for step in paint_steps(twelve):
        inferred = guessed & {n for n, _ in step.parts}
        assert ("GUESS" in step.guess) == bool(inferred)
    assert twelve.guesses.startswith("3 of 12 colours are guesses")


def test_amounts_add_up_over_the_tray(twelve: Guide) -> None:
    """By the rule: what the steps' coats take, and a fifth to spare; tones come on top."""
    made_of = work(12)
    base = sum(c.millilitres or 0.0 for c in made_of.covering.parts.values())
    listed = sum(float(row.amount.split("\u00a0")[0]) for row in twelve.tray if row.amount)
    assert base * SPARE - 0.05 * len(twelve.tray) <= listed <= 2.2 * base * SPARE + 0.1 * len(twelve.tray)


def test_a_cup_holds_what_its_steps_need(twelve: Guide) -> None:
    made_of = work(12)
    for mixture in twelve.mixtures:
        of_cup = [pot.drops for pot in mixture.pots]
        whole = [int(words.split()[0]) for words in mixture.cup]
        times = whole[0] // of_cup[0]
        assert whole == [times * drops for drops in of_cup]
        users = [id for id, c in made_of.chosen.items() if [n for _, n in c.recipe] == of_cup]
        need = sum(made_of.covering.parts[id].millilitres or 0 for id in users) * SPARE
        assert sum(whole) * DROP >= need - 1e-9 and (times == 1 or (times - 1) * sum(of_cup) * DROP < need)


def test_every_paint_of_every_step_is_on_the_tray(twelve: Guide) -> None:
    listed = {row.paint.code for row in twelve.tray}
    used = {pot.paint.code for s in paint_steps(twelve) if s.chosen for pot in s.chosen.pots}
    used |= {pot.paint.code for s in twelve.steps for t in s.tones if t.chosen for pot in t.chosen.pots}
    assert used == listed


def test_the_makers_shelf_is_not_printed_for_strangers() -> None:
    assert all(row.paint.owned == "" for row in guide(12).tray)
    mine = assemble(work(12), Words(), mine=True)
    assert {row.paint.owned for row in mine.tray} >= {"to hand", "to buy"}


def test_different_thinners_are_never_in_one_cup_without_a_word() -> None:
    scheme, paints, _, odds = made(3)
    media = ("water", "enamel", "")
    for pair, said in (((0, 0), ""), ((0, 1), "different thinners"), ((0, 2), "does not say what thins")):
        recipe = dict.fromkeys(id for c in work(3).chosen.values() if c.mix for id, _ in c.recipe)
        first = next(iter(recipe))
        mixed = SwatchList(
            tuple(replace(s, medium=media[pair[0] if s.id == first else pair[1]]) for s in paints.swatches)
        )
        content = assemble(worked(scheme, mixed, odds), Words())
        assert content.mixtures
        for mixture in content.mixtures:
            assert (said in mixture.warning) if said else mixture.warning == ""


def test_clear_bare_and_lit_parts_have_steps_of_their_own() -> None:
    scheme, paints, _, odds = made(6)
    finishes = ("clear", "bare", "lit", "metallic", "gloss", "matt")
    parts = tuple(replace(p, finish=f) for p, f in zip(scheme.kit.parts, finishes, strict=True))
    colours = tuple(replace(c, part=p) for c, p in zip(scheme.parts, parts, strict=True))
    scheme = replace(scheme, kit=replace(scheme.kit, parts=parts), parts=colours)
    told = assemble(worked(scheme, paints, odds), Words())
    steps = {step.title: {n for n, _ in step.parts} for step in told.steps if step.title}
    assert steps["Mask what gets no paint"] == {1, 2, 3}
    assert steps["Fit the clear parts"] == {1} and steps["Uncover the bare parts"] == {2}
    # metal that no metallic paint comes near shines by its clear coat
    assert steps["Fit the lamp"] == {3} and steps["Seal: gloss clear coat"] == {4, 5}
    assert "Leave metallic parts as they are" not in steps and told.bench[3].seal == "gloss"
    brass = replace(worked(scheme, paints, odds).chosen["part-4"], mix=None)
    id = brass.recipe[0][0]
    metal = SwatchList(tuple(replace(s, finish="metallic") if s.id == id else s for s in paints.swatches))
    given = replace(worked(scheme, metal, odds), chosen={"part-4": replace(brass, recipe=((id, 1),))})
    left = {step.title: {n for n, _ in step.parts} for step in assemble(given, Words()).steps if step.title}
    assert left["Leave metallic parts as they are"] == {4} and left["Seal: gloss clear coat"] == {5}
    assert {n for step in paint_steps(told) for n, _ in step.parts} == {4, 5, 6}
    assert [row.codes for row in told.bench][:3] == ["–", "–", "–"]
    for row in (told.legend[2], told.bench[2]):
        assert row.words.endswith(", a lamp") and row.chip.hex
    assert any("Lamps and batteries" in head for head, _ in told.cautions)


def test_a_mask_is_asked_for_only_where_something_is_there_to_mask(twelve: Guide) -> None:
    masks = {n: dict(step.facts).get("Masks", "") for step in paint_steps(twelve) for n, _ in step.parts}
    assert "1\u00a0Rocker panels" in masks[6] and masks[1] == "nothing yet"


def test_without_paints_it_still_tells_the_order() -> None:
    bare = assemble(worked(made(3)[0], SwatchList(())), Words())
    assert bare.tray == () and "names no paint list" in bare.no_paints
    assert len(paint_steps(bare)) == 3 and all(step.chosen is None for step in paint_steps(bare))


def test_a_name_from_the_right_keeps_to_itself_among_others() -> None:
    """Fails where the numbers in a list of parts change places (Unicode Standard Annex 9)."""
    told = guide(12, names=("Roof", "לוח תחתון"))
    assert (
        any("\u2068לוח תחתון" in text for step in told.steps for _, text in step.facts)
        or "\u2068" in told.guesses
    )


def test_tones_of_parts_that_are_painted_together_are_all_told() -> None:
    """Fails where a joined card has the tones of its first part only, or does not say for which part."""
    made_of = work(12)
    first, second = (colour.part.id for colour in made_of.scheme.parts[:2])
    shade = made_of.tones[first][0]
    chosen = {**made_of.chosen, second: made_of.chosen[first]}
    both = replace(made_of, chosen=chosen, tones={first: (shade,), second: (shade,)})
    (step,) = [step for step in paint_steps(assemble(both, Words())) if (1, "Rocker panels") in step.parts]
    assert [number for number, _ in step.parts] == [1, 2]
    tone, lightest = step.tones
    assert lightest.role == "highlight" and "as light as paint gets" in lightest.how
    amount = sum(made_of.covering.parts[id].millilitres or 0.0 for id in (first, second)) * TONE_SHARE
    assert tone.parts == () and tone.amount == f"{max(1, math.ceil(amount / DROP - 1e-9))} drops"
    only = replace(both, tones={second: (shade,)})
    (step,) = [step for step in paint_steps(assemble(only, Words())) if (1, "Rocker panels") in step.parts]
    assert [tone.parts for tone in step.tones] == [(2,), (2,)]


def test_a_paint_is_for_its_own_parts_first() -> None:
    """Fails where '7; shade of 9' is told the other way about, as though it were a shade of 7 too."""
    made_of = work(12)
    early, *_, late = (step.parts[0][0] for step in paint_steps(assemble(made_of, Words())) if step.chosen)
    of = {n: made_of.scheme.parts[n - 1].part.id for n in (early, late)}
    shade = Tone("shade", np.array([20.0, 0.0, 0.0]), made_of.chosen[of[late]])
    told = assemble(replace(made_of, tones={of[early]: (shade,)}), Words())
    assert f"{late}; shade of {early}" in [row.uses for row in told.tray]


def test_what_differs_between_the_parts_of_a_card_stands_in_the_order_of_their_numbers() -> None:
    made_of = work(12)
    first, second = (made_of.scheme.parts[k].part.id for k in (2, 7))
    chosen = {**made_of.chosen, second: made_of.chosen[first]}
    areas = {**made_of.areas, first: 30.0, second: 60.0}  # the second is the larger, and comes first
    told = assemble(replace(made_of, chosen=chosen, areas=areas), Words())
    (step,) = [step for step in paint_steps(told) if (3, "Roof") in step.parts]
    assert dict(step.facts)["Seal"] == "3, 4: gloss, at the end; 8: satin, at the end"


def test_undecided_parts_share_a_card_that_asks_for_no_brush() -> None:
    scheme, paints, _, odds = made(12)  # the eleventh is undecided
    open_ = replace(scheme.parts[10], part=scheme.parts[2].part)
    scheme = replace(scheme, parts=(*scheme.parts[:2], open_, *scheme.parts[3:]))
    steps = paint_steps(assemble(worked(scheme, paints, odds), Words()))
    (step,) = [step for step in steps if step.chip is not None and not step.chip.hex]
    assert [n for n, _ in step.parts] == [3, 11]
    assert [label for label, _ in step.facts] == ["Paint", "Seal"]


def test_finishes_are_told_in_the_language_of_the_guide() -> None:
    told = guide(12, "de")
    assert {row.paint.finish for row in told.tray} == {"", "matt", "glänzend"}


def test_a_doubt_of_one_part_of_a_card_says_of_which() -> None:
    """Fails where a card of several parts says DISPUTED of all, or thrice without a number."""
    made_of = work(12)
    first, disputed = (made_of.scheme.parts[k].part.id for k in (2, 3))  # the fourth part is in conflict
    chosen = {**made_of.chosen, disputed: made_of.chosen[first]}
    told = assemble(replace(made_of, chosen=chosen), Words())
    (step,) = [step for step in paint_steps(told) if (3, "Roof") in step.parts]
    assert [n for n, _ in step.parts] == [3, 4]
    assert step.guess.startswith("4: DISPUTED: ") and step.guess.count("DISPUTED") == 1


def test_tones_of_a_card_stand_in_the_order_of_its_parts() -> None:
    made_of = work(12)
    first, second = (made_of.scheme.parts[k].part.id for k in (2, 7))
    shade = Tone("shade", np.array([20.0, 0.0, 0.0]), None)
    chosen = {**made_of.chosen, second: made_of.chosen[first]}
    areas = {**made_of.areas, first: 30.0, second: 60.0}  # the second is the larger, and comes first
    tones = {first: (shade,), second: (replace(shade, lab=np.array([21.0, 0.0, 0.0])),)}
    told = assemble(replace(made_of, chosen=chosen, areas=areas, tones=tones), Words())
    (step,) = [step for step in paint_steps(told) if (3, "Roof") in step.parts]
    assert [tone.parts for tone in step.tones if tone.role == "shade"] == [(3,), (8,)]


def test_the_tray_has_what_the_cups_take(twelve: Guide) -> None:
    """Fails where the tray asks for less of a paint than the whole drops of its mixtures are."""
    for mixture in twelve.mixtures:
        for pot, cup in zip(mixture.pots, mixture.cup, strict=True):
            (row,) = [row for row in twelve.tray if row.paint.code == pot.paint.code]
            assert float(row.amount.split()[0]) >= int(cup.split()[0]) * DROP - 1e-9


def test_a_tone_that_paint_cannot_reach_is_told_not_left_out() -> None:
    """Fails where a black part has a highlight and no word of its shade. A kit may turn highlights off."""
    made_of = work(12, highlight=0.0)
    first = made_of.scheme.parts[0].part.id
    bright = Tone("highlight", np.array([30.0, 0.0, 0.0]), None)
    told = []
    for only in (bright, replace(bright, role="shade")):
        steps = paint_steps(assemble(replace(made_of, tones={first: (only,)}), Words()))
        told += [step.tones for step in steps if step.tones]
    assert [[tone.role for tone in tones] for tones in told] == [["shade", "highlight"], ["shade"]]
    assert "as dark as paint gets" in told[0][0].how and "no paint comes near" in told[0][1].how


def test_remarks_on_the_parts_of_a_card_are_sentences() -> None:
    """Fails where two of them are joined as '… there.; 8: …'."""
    made_of = work(12)
    first, second = (made_of.scheme.parts[k].part.id for k in (2, 7))
    remarked = [replace(made_of.chosen[first], look=look) for look in ("metallic", "fluorescent")]
    chosen = {**made_of.chosen, first: remarked[0], second: remarked[1]}
    areas = {**made_of.areas, first: 30.0, second: 60.0}
    told = assemble(replace(made_of, chosen=chosen, areas=areas), Words())
    (step,) = [step for step in paint_steps(told) if (3, "Roof") in step.parts]
    assert step.chosen is not None and step.chosen.note.startswith("3: Metallic paint")
    assert ".; " not in step.chosen.note and ". 8: Fluorescent paint" in step.chosen.note
