"""The dossier's content: what is chosen, what is said of it, and that nothing is left out or made up."""

from dataclasses import replace

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.evidence.combine.model import PaintChoice
from palette.evidence.combine.notes import Decided, SamePaintAs, WordsTaken
from palette.evidence.grey.notes import WithComparison
from palette.guide.chips import chip, number, tidy
from palette.guide.dossier.assembly import assemble, remaining
from palette.guide.dossier.content import Dossier
from palette.paints.choosing.chosen import Odds
from palette.swatches.model import SwatchList
from palette.words.catalogue import Words
from tests.guide.guide_made import Remark, made, mix


@pytest.fixture(scope="module")
def guide() -> Dossier:
    scheme, swatches, pictures, odds = made(12)
    return assemble(scheme, swatches, pictures, odds=odds)


def test_only_colours_nobody_measured_are_marked_inferred(guide: Dossier) -> None:
    inferred = {part.number for part in guide.parts if part.inferred}
    assert inferred == {9, 10, 12} == {part.number for part in guide.inferred}
    assert all("measure" in part.text for part in guide.inferred)


def test_odds_are_printed_with_what_is_left_over(guide: Dossier) -> None:
    part = guide.inferred[0]
    shares = [likely.share for likely in part.likely]
    assert shares == sorted(shares, reverse=True) and part.rest
    assert part.lightness.startswith("L* 22 to 47")


def test_conflicts_and_decisions_are_shown_with_reason_and_sources(guide: Dossier) -> None:
    disputed = next(v for v in guide.explained if v.number == 4)
    decided = next(v for v in guide.explained if v.number == 5)
    assert disputed.conflict and len(disputed.rows) == 2
    assert decided.decided and "Depot paint book" in decided.text
    assert {v.number for v in guide.explained} == {4, 5}


def test_a_colour_nobody_knows_is_not_made_up(guide: Dossier) -> None:
    part = guide.parts[10]
    assert part.chip.hex == "" and part.choice.kind == "nothing" and part.sure.word == "unknown"


def test_a_missing_picture_leaves_a_note(guide: Dossier) -> None:
    lost = next(reference for reference in guide.references if reference.id == "lost-print")
    assert lost.picture is None and "no such file" in lost.missing and not lost.places


def test_a_painted_models_picture_is_no_reference() -> None:
    scheme, swatches, pictures, _ = made(3)
    references = tuple(replace(r, subject="painted") for r in scheme.kit.references)
    scheme = replace(scheme, kit=replace(scheme.kit, references=references))
    assert assemble(scheme, swatches, pictures).references == ()


def test_a_paint_no_longer_sold_is_passed_over() -> None:
    scheme, swatches, pictures, _ = made(1)
    part = scheme.parts[0]
    gone = replace(swatches.swatches[0], id="gone", name="Old stock", lab=part.lab, retired=True)
    paints = (PaintChoice("gone", "Old stock", "Harbour", gone.lab, 0.0),)
    mixes = (mix((("gone", 2), ("H-02", 1)), gone.lab, 0.0, 0.0, 0.0),)
    scheme = replace(scheme, parts=(replace(part, paints=paints, mixes=mixes),))
    guide = assemble(scheme, SwatchList((gone, *swatches.swatches)), pictures)
    assert guide.parts[0].choice.kind == "paint" and guide.parts[0].choice.title != "Old stock"
    alone = assemble(scheme, SwatchList((gone,)), pictures)
    assert "no longer sold" in alone.parts[0].choice.detail and alone.ranges == ()


def test_the_nearest_paint_of_every_range_by_brute_force() -> None:
    scheme, swatches, pictures, _ = made(12)
    rows = assemble(scheme, swatches, pictures).ranges[0].rows
    known = [colour for colour in scheme.parts if colour.lab is not None]
    assert len(rows) == len(known)
    for colour, (_, _, cells) in zip(known, rows, strict=True):
        for range_name, cell in zip(("Harbour", "Quayside Acrylic"), cells, strict=True):
            living = [s for s in swatches.swatches if s.range == range_name and not s.retired]
            if colour.basis in ("grey", "hint"):  # the least on average from what it may have been
                continue
            nearest = min(living, key=lambda s, lab=colour.lab: float(difference(lab, s.lab)))
            assert cell is not None and cell.paint.swatch == nearest.id
            assert cell.off.difference == number(float(difference(colour.lab, nearest.lab)))


def test_many_ranges_are_set_three_to_a_table() -> None:
    from tests.guide.guide_made import swatches

    scheme, _, pictures, _ = made(2)
    many = swatches(("Alder", "Birch", "Cedar", "Dogwood"), 12)
    tables = assemble(scheme, many, pictures).ranges
    assert [table.ranges for table in tables] == [("Alder", "Birch", "Cedar"), ("Dogwood",)]


def test_without_paints_or_parts_or_references_there_is_still_a_guide() -> None:
    scheme, _, _, _ = made(2)
    bare = replace(scheme.kit, parts=(), references=())
    guide = assemble(replace(scheme, kit=bare, parts=()), SwatchList(()), {})
    assert guide.parts == () and guide.ranges == () and guide.references == ()


def test_the_strip_runs_through_the_widest_doubt() -> None:
    strip = chip(np.array([50.0, 0.0, 0.0]), np.diag([100.0, 1.0, 1.0])).strip
    greys = [int(hex[1:3], 16) for hex in strip]
    assert greys == sorted(greys) and greys[0] < greys[2] < greys[-1]
    assert chip(np.array([50.0, 0.0, 0.0]), np.zeros((3, 3))).strip == ()


def test_colours_beyond_the_screen_are_marked() -> None:
    assert chip(np.array([60.0, -90.0, 20.0])).outside
    assert not chip(np.array([60.0, 5.0, 5.0])).outside
    assert not chip(np.array([100.0, 0.0, 0.0])).outside  # white itself is shown as it is


def test_the_slice_shows_where_the_draws_are() -> None:
    draws = np.random.default_rng(0).normal([50, 30, -20], 3, size=(2000, 3))
    plot = remaining(draws.mean(axis=0), np.eye(3), Words(), draws)
    step = (float(plot.a[1].replace("−", "-")) - float(plot.a[0].replace("−", "-"))) / plot.size
    likeliest = max(plot.cells, key=lambda cell: cell.share)
    a = float(plot.a[0].replace("−", "-")) + (likeliest.column + 0.5) * step
    b = float(plot.b[0].replace("−", "-")) + (likeliest.row + 0.5) * step
    assert abs(a - 30) < 4 and abs(b + 20) < 4
    assert plot.zero == (None, None)  # neutral lies outside this plot


def test_numbers_and_texts_are_fit_to_print() -> None:
    assert number(-0.04) == "0.0" and number(-1.25) == "−1.2" and number(12.0, 0) == "12"
    assert tidy(" a\u0007\u202eb\n c\ue000 ") == "a b c"
    assert tidy("نمی\u200cخواهم") == "نمی\u200cخواهم"


def test_odds_that_name_a_paint_no_list_has_do_not_fail() -> None:
    scheme, swatches, pictures, _ = made(10)
    guide = assemble(scheme, swatches, pictures, odds={"part-9": Odds((10.0, 20.0), (("gone", 1.0),))})
    assert guide.inferred[0].likely[0].paint.name == "gone"


def test_notes_name_parts_and_leave_out_what_says_nothing() -> None:
    scheme, swatches, pictures, _ = made(2)
    first, second = scheme.parts
    notes = (
        WithComparison(True, "part-2"),
        WordsTaken("bright red", "bright red"),
        WordsTaken("rust", "dark red"),
    )
    first = replace(
        first,
        evidence=(replace(first.evidence[0], notes=notes),),
        notes=(SamePaintAs(("part-2",)),),
    )
    guide = assemble(replace(scheme, parts=(first, replace(second, evidence=()))), swatches, pictures)
    lines = [line for note in guide.notes for line in note.lines]
    assert lines[:2] == ["Weighed as lighter than “Waist panels”.", "“rust” taken as dark red."]
    assert "The same paint as “Waist panels”, sharing its evidence." in lines


def test_an_object_is_described_as_seen_in_colour() -> None:
    scheme, swatches, pictures, _ = made(1)
    references = (replace(scheme.kit.references[0], kind="object", year=2024),)
    scheme = replace(scheme, kit=replace(scheme.kit, references=references))
    assert assemble(scheme, swatches, pictures).references[0].description == "object, in colour, 2024"


def test_a_decisions_reason_is_printed_once() -> None:
    scheme, swatches, pictures, _ = made(12)
    notes = (Decided("the paint book"), Remark("another matter"))
    decided = replace(scheme.parts[4], notes=notes)
    parts = (*scheme.parts[:4], decided, *scheme.parts[5:])
    guide = assemble(replace(scheme, parts=parts), swatches, pictures)
    lines = [line for note in guide.notes for line in note.lines]
    assert "Another matter." in lines and not any("paint book" in line for line in lines)


def test_the_light_is_told_to_those_who_know_no_illuminants() -> None:
    for light, told in (
        ("D65", "in daylight (D65)"),
        ("A", "under a household bulb (A)"),
        (2700.0, "under a warm white lamp (2700 K)"),
        ("FL2", "under a fluorescent tube (FL2)"),
    ):
        scheme, swatches, _, _ = made(1, light=light)
        assert ("Judged", told) in assemble(scheme, swatches, {}).facts


def test_a_part_that_gets_no_paint_is_not_told_as_undecided() -> None:
    scheme, swatches, pictures, _ = made(11)
    glass = replace(scheme.parts[10], part=replace(scheme.parts[10].part, finish="clear"))  # has no colour
    told = assemble(replace(scheme, parts=(*scheme.parts[:10], glass)), swatches, pictures).parts[10]
    assert told.chip.bare and told.chip.words == "no paint, clear"
    assert told.sure.word == "–" and told.choice.title == "–"


def test_finishes_and_numbers_are_told_in_the_language_of_the_dossier() -> None:
    scheme, swatches, pictures, odds = made(12)
    told = assemble(scheme, swatches, pictures, Words("de"), odds=odds)
    assert {part.finish for part in told.parts} == {"glänzend", "seidenmatt", "matt", "Metall"}
    known = " ".join(words for reference in told.references for _, words in reference.anchors)
    assert "L* " not in known  # a number never leaves its sign at the end of a line


def test_names_from_the_right_keep_to_themselves_in_notes() -> None:
    """Fails where the number of a heading changes sides, or a name stands apart from its quotes."""
    scheme, swatches, pictures, _ = made(3, names=("סקירה",))
    first = replace(scheme.parts[0], notes=(SamePaintAs(("part-2",)),))
    (note,) = [
        note
        for note in assemble(replace(scheme, parts=(first, *scheme.parts[1:])), swatches, pictures).notes
        if note.heading.startswith("1 ")
    ]
    assert note.heading == "1 \u2068סקירה\u2069" and "“\u2068סקירה 2\u2069”" in note.lines[0]
