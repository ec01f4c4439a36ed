"""From a kit's pictures to the colours of its parts."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

import palette
from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, srgb_encode
from palette.errors import InputError
from palette.kit.model import Kit
from palette.paints.scheme import scheme
from palette.report.scheme import scheme_text
from palette.words import say
from tests.evidence.combine.kits import (
    ANCHORS,
    BLUE,
    BROWN,
    GREEN,
    GREY,
    RED,
    SIDE,
    kit,
    part,
    picture,
    rect,
    reference,
    write,
)


def test_a_part_gets_its_colour_paints_and_evidence(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    coloured = scheme(kit(tmp_path, part("waist"), reference("a", {6: "waist"}))).part("waist")
    assert difference(coloured.lab, RED) < min(coloured.radius90, 3.0)
    assert (coloured.basis, coloured.conflict) == ("colour", False)
    assert [(e.reference, e.kind) for e in coloured.evidence] == [("a", "colour")]
    assert [p.swatch for p in coloured.paints][:2] == ["R1", "R2"] and len(coloured.paints) == 5
    assert [p.difference for p in coloured.paints] == sorted(p.difference for p in coloured.paints)
    assert coloured.paints[0].difference == pytest.approx(difference(coloured.lab, (40, 44, 26)))
    # a mix's difference is told to thousandths
    assert coloured.mixes and coloured.mixes[0].difference <= coloured.paints[0].difference + 5e-4


def test_a_kit_without_lists_has_no_paints_and_no_mixes(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    read = kit(tmp_path, part("waist"), part("roof"), reference("a", {6: "waist"}), paints=False)
    waist, roof = scheme(read).parts
    assert waist.paints == () and waist.mixes == ()
    assert (roof.basis, roof.lab, roof.radius90, roof.conflict) == ("none", None, None, False)


def test_the_front_door_stays_a_function(tmp_path):
    # fails when importing the room of that name replaces the function
    read = kit(tmp_path, part("roof"), paints=False)
    for _ in range(2):
        assert palette.scheme(read).parts[0].basis == "none"


def test_parts_of_one_paint_share_evidence(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    picture(tmp_path / "b.png", [*ANCHORS, RED], gains=(0.5, 0.6, 0.7))
    blocks = [part("waist"), part("dash", 'same_as = "waist"')]
    both = scheme(
        kit(tmp_path, *blocks, reference("a", {6: "waist"}), reference("b", {6: "dash"}), paints=False)
    )
    waist, dash = both.parts
    np.testing.assert_array_equal(waist.lab, dash.lab)
    assert [e.reference for e in waist.evidence] == [e.reference for e in dash.evidence] == ["a", "b"]
    alone = scheme(kit(tmp_path, *blocks, reference("a", {6: "waist"}), paints=False)).parts[0]
    assert waist.radius90 < alone.radius90


def test_samples_in_one_picture_share_its_error(tmp_path):
    # fails when the correction's error is taken for new in every sample: the radius would halve
    picture(tmp_path / "a.png", [*ANCHORS, RED, RED, RED, RED])
    one = scheme(kit(tmp_path, part("w"), reference("a", {6: "w"}), paints=False)).parts[0]
    four = kit(tmp_path, part("w"), reference("a", {6: "w", 7: "w", 8: "w", 9: "w"}), paints=False)
    coloured = scheme(four).parts[0]
    assert len(coloured.evidence) == 1
    assert coloured.radius90 > 0.9 * one.radius90


def test_samples_that_scatter_widen_the_colour(tmp_path):
    darker = np.array(RED) - (9, 6, 4)
    picture(tmp_path / "a.png", [*ANCHORS, RED, RED, darker])
    even = scheme(kit(tmp_path, part("w"), reference("a", {6: "w", 7: "w"}), paints=False)).parts[0]
    uneven = scheme(kit(tmp_path, part("w"), reference("a", {6: "w", 8: "w"}), paints=False)).parts[0]
    assert uneven.radius90 > even.radius90 + 1.0


def test_one_wrong_picture_in_three_is_shown_and_not_followed(tmp_path):
    for name in "abc":
        picture(tmp_path / f"{name}.png", [*ANCHORS, BROWN if name == "b" else RED], seed=ord(name))
    blocks = [part("waist"), *(reference(name, {6: "waist"}) for name in "abc")]
    coloured = scheme(kit(tmp_path, *blocks, paints=False)).part("waist")
    assert difference(coloured.lab, RED) < 3.0
    assert coloured.conflict and any("disagrees" in note for note in map(say, coloured.notes))
    odd = coloured.evidence[1]
    assert odd.weight < 0.05 and "not believed" in say(odd.notes[0])
    assert difference(odd.lab, BROWN) < 4.0  # as it was seen


def compressed_again(folder, name: str, copy: str) -> None:
    with Image.open(folder / f"{name}.png") as image:
        image.save(folder / "copy.jpg", quality=60)
    with Image.open(folder / "copy.jpg") as image:
        image.save(folder / f"{copy}.png")


def test_copies_of_a_picture_count_once(tmp_path):
    # fails when two copies pass for two sources, or the better marked of them is not the one that counts
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    compressed_again(tmp_path, "a", "b")
    alone, twice = (
        scheme(kit(tmp_path, part("waist"), *(reference(id, {6: "waist"}) for id in ids), paints=False))
        for ids in ("a", "ab")
    )
    assert twice.parts[0].radius90 == pytest.approx(alone.parts[0].radius90, rel=0.05)
    assert sorted(round(e.weight) for e in twice.parts[0].evidence) == [0, 1]
    assert not twice.parts[0].conflict and "a copy of the picture '" in scheme_text(twice)
    bare = reference("a", {6: "waist"}, anchors={})
    coloured = scheme(kit(tmp_path, part("waist"), bare, reference("b", {6: "waist"}), paints=False)).parts[0]
    assert coloured.evidence[0].weight == 0 and "'b', which counts for both" in say(
        coloured.evidence[0].notes[0]
    )


def test_anchors_of_one_colour_do_not_check_each_other(tmp_path):
    # fails when three patches of one blue that agree pass for a correction that was checked
    picture(tmp_path / "a.png", [BLUE, BLUE, BLUE, RED])
    anchors = {i: f"{{ lab = {list(BLUE)} }}" for i in range(3)}
    coloured = scheme(kit(tmp_path, part("waist"), reference("a", {3: "waist"}, anchors), paints=False))
    assert say(coloured.pictures["a"][0]).endswith(
        "three anchors, of one colour, so that they cannot check each other"
    )


def test_two_exposures_of_one_view_are_two_sources(tmp_path):
    for i, name in enumerate("ab"):
        picture(tmp_path / f"{name}.png", [*ANCHORS, RED], seed=i)
    alone, twice = (
        scheme(
            kit(tmp_path, part("waist"), *(reference(id, {6: "waist"}) for id in ids), paints=False)
        ).parts[0]
        for ids in ("a", "ab")
    )
    assert twice.radius90 < 0.95 * alone.radius90


def test_a_decision_overrides_and_the_evidence_is_still_shown(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    decided = part("waist", 'colour = { swatch = "K1" }', 'why = "depot paint book"')
    blocks = [decided, part("dash", 'same_as = "waist"'), reference("a", {6: "waist"})]
    waist, dash = scheme(kit(tmp_path, *blocks)).parts
    assert (waist.basis, waist.radius90) == ("decision", 0.0)
    np.testing.assert_array_equal(waist.lab, [44, 14, 17])
    assert waist.evidence[0].reference == "a"
    assert any("depot paint book" in note for note in map(say, waist.notes))
    assert any("from what the evidence supports" in note for note in map(say, waist.notes))
    assert dash.basis == "decision"


def test_words_alone_are_a_hint_and_a_wide_one(tmp_path):
    hint = '[[part.hint]]\nwords = "dark green"\nsource = "a letter"\ntrust = 0.9'
    coloured = scheme(kit(tmp_path, part("roof", hint), paints=False)).part("roof")
    assert coloured.basis == "hint" and coloured.evidence[0].reference == "a letter"
    assert coloured.lab[1] < -5 and coloured.lab[0] < 50 and coloured.radius90 > 10
    doubted = part("roof", hint.replace("0.9", "0.2"))
    assert scheme(kit(tmp_path, doubted, paints=False)).part("roof").radius90 > coloured.radius90


def test_pictures_on_the_other_side_of_a_repaint_do_not_count(tmp_path):
    picture(tmp_path / "old.png", [*ANCHORS, RED])
    picture(tmp_path / "older.png", [*ANCHORS, RED], seed=2)
    picture(tmp_path / "new.png", [*ANCHORS, BROWN])
    blocks = [part("waist"), reference("old", {6: "waist"}, year=1958)]
    blocks += [reference("new", {6: "waist"}, year=1975), reference("older", {6: "waist"}, year=1951)]
    coloured = scheme(kit(tmp_path, *blocks, head="repainted = 1968", paints=False)).part("waist")
    weights = {e.reference: e.weight for e in coloured.evidence}
    assert weights["new"] == 0 and weights["old"] > 0.3 and not coloured.conflict
    assert difference(coloured.lab, RED) < 3
    assert "after the repaint of 1968" in say(coloured.evidence[1].notes[0])
    together = scheme(kit(tmp_path, *blocks, paints=False)).part("waist")
    assert together.conflict


def test_a_part_settled_elsewhere_is_an_anchor_and_does_not_confirm_itself(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    picture(tmp_path / "b.png", [GREY, RED, BROWN, RED], gains=(0.9, 0.5, 0.3))
    anchors = {0: f"{{ lab = {list(GREY)} }}", 1: '{ part = "waist" }'}
    b = reference("b", {2: "frame", 3: "waist"}, anchors)
    blocks = [part("waist"), part("frame"), b, reference("a", {6: "waist"})]
    waist, frame = scheme(kit(tmp_path, *blocks, paints=False)).parts
    assert [e.reference for e in waist.evidence] == ["a"]
    assert [e.reference for e in frame.evidence] == ["b"]
    assert difference(frame.lab, BROWN) <= frame.radius90


def test_anchors_on_one_part_are_wrong_together(tmp_path):
    # fails when every anchor on a part counts as a colour known on its own
    picture(tmp_path / "a.png", [GREY, RED])
    picture(tmp_path / "b.png", [RED, RED, RED, RED, BROWN], gains=(0.9, 0.5, 0.3))

    def radius(count):
        b = reference("b", {4: "frame"}, {i: '{ part = "waist" }' for i in range(count)})
        a = reference("a", {1: "waist"}, {0: f"{{ lab = {list(GREY)} }}"})
        return scheme(kit(tmp_path, part("waist"), part("frame"), a, b, paints=False)).part("frame").radius90

    assert radius(4) > 0.87 * radius(1)


def test_parts_that_one_picture_told_are_wrong_together_as_anchors(tmp_path):
    # fails when parts of one picture, whose light nobody knows, count as if three pictures had told them
    labs = {"waist": RED, "roof": GREEN, "truck": BLUE}
    picture(tmp_path / "all.png", [*labs.values(), GREY])
    for seed, id in enumerate(labs):
        picture(tmp_path / f"{id}.png", [*labs.values(), GREY], seed=seed)
    picture(tmp_path / "b.png", [*labs.values(), BROWN], gains=(0.9, 0.5, 0.3))
    b = reference("b", {3: "frame"}, {i: f'{{ part = "{id}" }}' for i, id in enumerate(labs)})
    one = [reference("all", dict(enumerate(labs)), {})]
    three = [reference(id, {i: id}, {}) for i, id in enumerate(labs)]

    def radius(before):
        parts = [part(id) for id in (*labs, "frame")]
        return scheme(kit(tmp_path, *parts, *before, b, paints=False)).part("frame").radius90

    assert radius(one) > 1.15 * radius(three)


def test_an_anchor_on_a_part_is_looked_at_by_the_colour_it_was_corrected_by(tmp_path):
    # fails when a look takes the part's final colour, to which pictures that lean on this one have added
    from palette.evidence.combine.corrected import corrected, find

    picture(tmp_path / "a.png", [*ANCHORS, RED], seed=1)
    picture(tmp_path / "b.png", [RED, GREEN, GREY], seed=2)
    picture(tmp_path / "c.png", [(43.0, 38.0, 20.0), GREEN, GREY], seed=3)
    parts = [part("waist"), part("roof")]
    blocks = [*parts, reference("a", {6: "waist"}), reference("b", {1: "roof"}, {0: '{ part = "waist" }'})]
    leaning = reference("c", {0: "waist"}, {1: '{ part = "roof" }', 2: f"{{ lab = {list(GREY)} }}"})
    kits = [kit(tmp_path, *blocks, *more, paints=False) for more in ([], [leaning])]
    before, after = (corrected(k, find(k, "b")).colours[0] for k in kits)
    assert before is not None and after is not None
    np.testing.assert_array_equal(before.lab, after.lab)
    assert difference(scheme(kits[1]).part("waist").lab, after.lab) > 0.1


def test_a_part_seen_in_grey_alone_is_inferred(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    levels = np.repeat(np.array([230, 150, 70, 100, 180, 120, 90, 60], dtype=np.uint8), 40)
    Image.fromarray(np.repeat(levels[None], 40, axis=0)).save(tmp_path / "g.png")
    grey = reference("g", {6: "waist", 7: "truck"}, {0: "{ neutral = true }"}, tone="grey")
    blocks = [part("waist"), part("truck"), reference("a", {6: "waist"}), grey]
    waist, truck = scheme(kit(tmp_path, *blocks)).parts
    assert waist.basis == "colour" and [e.kind for e in waist.evidence] == ["colour", "grey"]
    assert 0 < waist.evidence[1].weight < waist.evidence[0].weight
    assert truck.basis == "grey" and truck.radius90 > 8 and truck.evidence[0].reference == "g"


def test_every_problem_is_told_at_once_with_its_line(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    (tmp_path / "b.png").write_bytes(b"no picture")
    blocks = [part("waist"), reference("a", {30: "waist"}), reference("b", {6: "waist"})]
    path = write(tmp_path, *blocks, paints=False)
    with pytest.raises(InputError) as caught:
        scheme(Kit.read(path))
    told = [str(problem) for problem in caught.value.problems]
    line = path.read_text().splitlines().index(rect(30)) + 1
    assert len(told) == 2
    assert "kit.toml" in told[0] and "280 × 40" in told[0]
    assert abs(caught.value.problems[0].line - line) <= 2
    assert "b.png" in told[1]


def test_a_picture_without_colour_is_told_and_tells_no_hue(tmp_path):
    # fails where a black-and-white picture is taken for a sure neutral
    shades = lab_to_linear(np.array([*ANCHORS, RED])) @ [0.2126, 0.7152, 0.0722]
    levels = np.repeat(np.rint(255 * srgb_encode(shades)).astype(np.uint8), SIDE)
    Image.fromarray(np.repeat(levels[None], SIDE, axis=0)).save(tmp_path / "a.png")
    greys = {i: f"{{ lab = {list(lab)} }}" for i, lab in enumerate(ANCHORS[:3])}
    coloured = scheme(kit(tmp_path, part("w"), reference("a", {6: "w"}, greys), paints=False))
    (warning,) = map(say, coloured.warnings)
    assert "'a'" in warning and 'tone = "grey"' in warning
    assert difference(coloured.parts[0].lab, RED) <= coloured.parts[0].radius90
    assert "tells nothing of hue" in scheme_text(coloured)


def test_a_picture_leans_on_a_measured_part_before_a_remembered_one(tmp_path):
    # fails where words about a part do for an anchor though another picture shows it
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    picture(tmp_path / "b.png", [GREY, RED, BROWN], gains=(0.9, 0.5, 0.3))
    anchors = {0: f"{{ lab = {list(GREY)} }}", 1: '{ part = "waist" }'}
    pictures = (reference("b", {2: "frame"}, anchors), reference("a", {6: "waist"}))
    told = part("waist", "[[part.hint]]", 'words = "vivid green"', "trust = 0.5")
    with_words = scheme(kit(tmp_path, told, part("frame"), *pictures, paints=False)).part("frame")
    without = scheme(kit(tmp_path, part("waist"), part("frame"), *pictures, paints=False)).part("frame")
    assert difference(with_words.lab, without.lab) < 1


def test_what_is_the_matter_with_a_picture_stands_once_in_the_text(tmp_path):
    # fails where only several sources' notes are printed, or each part repeats them
    picture(tmp_path / "a.png", [*ANCHORS, RED, BROWN])
    colours = [GREEN, *ANCHORS[1:]]  # the white is said to be green
    anchors = {i: f"{{ lab = {list(lab)} }}" for i, lab in enumerate(colours)}
    blocks = [part("waist"), part("frame"), reference("a", {6: "waist", 7: "frame"}, anchors)]
    text = scheme_text(scheme(kit(tmp_path, *blocks, paints=False)))
    assert text.count("a: anchor 1 (lab 50.0, -32.0, 22.0) contradicts") == 1


def test_the_text_tells_what_counted_and_leaves_routine_to_the_json(tmp_path):
    # fails where every part repeats each picture's correction, or shading that was seen to is told again
    for i, name in enumerate("ab"):
        drawn = picture(tmp_path / f"{name}.png", [*ANCHORS, RED, BROWN], seed=i)
        with Image.open(drawn) as image:
            levels = np.asarray(image, dtype=float)
        light = np.tile(np.linspace(1, 0.8, SIDE), levels.shape[1] // SIDE)
        light[: 6 * SIDE] = 1
        Image.fromarray((levels * light[:, None]).astype(np.uint8)).save(drawn)
    blocks = [part("waist"), part("frame"), *(reference(name, {6: "waist", 7: "frame"}) for name in "ab")]
    coloured = scheme(kit(tmp_path, *blocks, paints=False))
    assert all("shaded" in " ".join(map(say, e.notes)) for colour in coloured.parts for e in colour.evidence)
    text = scheme_text(coloured)
    assert "shaded" not in text and 1 <= text.count("fitted on six anchors") <= 2
    (line,) = (line for line in text.splitlines() if line.startswith("  waist"))
    assert line in ("  waist  a 50 %, b 50 %", "  waist  b 50 %, a 50 %")


def test_an_edge_through_an_anchor_is_told_once_for_its_picture(tmp_path):
    drawn = picture(tmp_path / "a.png", [*ANCHORS, RED])
    with Image.open(drawn) as image:
        levels = np.asarray(image, dtype=float)
    levels[:, 2 * SIDE : 2 * SIDE + SIDE // 2] *= 0.75  # a cast shadow over half of the third anchor
    Image.fromarray(levels.astype(np.uint8)).save(drawn)
    text = scheme_text(scheme(kit(tmp_path, part("waist"), reference("a", {6: "waist"}), paints=False)))
    assert text.count("a: anchor 3 has an edge in its light") == 1


def test_a_source_trusted_with_nothing_is_called_so(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    coloured = scheme(kit(tmp_path, part("waist"), reference("a", {6: "waist"}, trust=0), paints=False))
    assert "its trust is 0" in scheme_text(coloured)


def test_decisions_for_one_paint_that_differ_are_told(tmp_path):
    blocks = [
        part("waist", "colour = { lab = [40, 42, 24] }", 'why = "a chip"'),
        part("dash", 'same_as = "waist"', "colour = { lab = [60, -30, 20] }", 'why = "a letter"'),
        part("step", 'same_as = "waist"'),
    ]
    (warning,) = map(say, scheme(kit(tmp_path, *blocks, paints=False)).warnings)
    assert "'waist' and 'dash'" in warning and "same_as" in warning


def test_a_livery_that_was_guessed_is_told(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    picture(tmp_path / "b.png", [*ANCHORS, GREEN])
    shown = [reference("a", {6: "waist"}, year=1950), reference("b", {6: "waist"}, year=1970)]
    parts = [part("waist"), *shown]
    (warning,) = map(say, scheme(kit(tmp_path, *parts, head="repainted = [1960]", paints=False)).warnings)
    assert "a (shows the livery before the repaint of 1960)" in warning and "year" in warning
    assert not scheme(kit(tmp_path, *parts, head="repainted = [1960]\nyear = 1970", paints=False)).warnings


def test_a_comparison_that_counts_for_nothing_is_told(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    roof = part("roof", "[[part.than]]", 'lighter = "waist"')
    shown = [part("waist"), roof, reference("a", {6: "waist"})]
    (warning,) = map(say, scheme(kit(tmp_path, *shown, paints=False)).warnings)
    assert "'roof'" in warning and "'waist'" in warning and "grey" in warning
