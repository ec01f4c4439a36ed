"""What cannot be true together is noticed, and what hangs on it is marked."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from palette.colour.difference import difference
from palette.evidence.combine.build import colours
from palette.evidence.combine.notes import NotLighter, PictureInDoubt, SampleApart, WordsContradicted
from palette.notes import OfReference
from palette.words import say
from tests.evidence.combine.kits import ANCHORS, BLUE, BROWN, RED, kit, part, picture, reference

TEAL = (55.0, -30.0, -10.0)


def coloured(kit_):
    return colours(kit_)[0]


def told(part_, kind):
    return [n.note for n in part_.notes if isinstance(n, OfReference) and isinstance(n.note, kind)]


def test_two_samples_of_one_picture_that_cannot_be_one_paint_are_a_conflict(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED, TEAL])
    scheme = coloured(kit(tmp_path, part("w"), reference("a", {6: "w", 7: "w"}), paints=False))
    one = scheme.parts[0]
    assert one.conflict
    assert [note.number for note in told(one, SampleApart)] == [1, 2]
    assert len(one.evidence) == 2
    assert min(difference(e.lab, RED) for e in one.evidence) < 4


def test_the_odd_one_of_three_samples_is_named_and_not_believed(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED, TEAL, RED])
    scheme = coloured(kit(tmp_path, part("w"), reference("a", {6: "w", 7: "w", 8: "w"}), paints=False))
    one = scheme.parts[0]
    assert one.conflict
    assert [note.number for note in told(one, SampleApart)] == [2]
    assert difference(one.lab, RED) < 4
    assert one.evidence[1].weight < 0.05
    assert "cannot be the same paint" in " ".join(map(say, one.notes))


def test_shade_on_one_sample_is_no_conflict(tmp_path):
    shaded = np.array(RED) * 0.7
    picture(tmp_path / "a.png", [*ANCHORS, RED, shaded])
    one = coloured(kit(tmp_path, part("w"), reference("a", {6: "w", 7: "w"}), paints=False)).parts[0]
    assert not one.conflict
    assert len(one.evidence) == 1


def test_what_hangs_on_a_picture_that_others_contradict_is_marked(tmp_path):
    for name in "abc":
        picture(tmp_path / f"{name}.png", [*ANCHORS, RED, BROWN, TEAL], seed=ord(name))
    wrong = {2: '{ munsell = "N 8/" }'}  # the dark grey is N 3.5
    blocks = [
        *(part(id) for id in ("w", "v", "alone")),
        reference("a", {6: "w", 7: "v"}),
        reference("b", {6: "w", 7: "v"}),
        reference("c", {6: "w", 7: "v", 8: "alone"}, anchors=wrong),
    ]
    scheme = coloured(kit(tmp_path, *blocks, paints=False))
    (note,) = told(scheme.part("alone"), PictureInDoubt)
    assert "w" in note.parts
    assert not told(scheme.part("w"), PictureInDoubt)
    lab = scheme.part("alone").lab
    assert difference(lab, TEAL) < scheme.part("alone").radius90


def test_pictures_that_agree_put_nothing_in_doubt(tmp_path):
    for name in "ab":
        picture(tmp_path / f"{name}.png", [*ANCHORS, RED, TEAL], seed=ord(name))
    blocks = [part("w"), part("alone"), reference("a", {6: "w"}), reference("b", {6: "w", 7: "alone"})]
    assert not told(coloured(kit(tmp_path, *blocks, paints=False)).part("alone"), PictureInDoubt)


def test_strong_words_that_every_picture_contradicts_are_told(tmp_path):
    for name in "ab":
        picture(tmp_path / f"{name}.png", [*ANCHORS, RED], seed=ord(name))
    hint = ["[[part.hint]]", 'words = "{}"', 'source = "foreman"', "trust = 1.0"]
    for words, contradicted in (("deep blue", True), ("red", False)):
        block = part("w", *(line.format(words) for line in hint))
        one = coloured(
            kit(tmp_path, block, reference("a", {6: "w"}), reference("b", {6: "w"}), paints=False)
        ).parts[0]
        assert (
            any(isinstance(n, WordsContradicted) and n.source == "foreman" for n in one.notes) == contradicted
        )


def test_a_comparison_that_pictures_contradict_is_told(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, (30.0, 5.0, 5.0), (70.0, 0.0, 10.0)])
    than = ["[[part.than]]", 'lighter = "{}"']
    for part_, other, said in (("dark", "light", True), ("light", "dark", False)):
        blocks = [
            part(id, *((line.format(other) for line in than) if id == part_ else ()))
            for id in ("dark", "light")
        ]
        scheme = coloured(kit(tmp_path, *blocks, reference("a", {6: "dark", 7: "light"}), paints=False))
        assert any(isinstance(n, NotLighter) for n in scheme.warnings) == said


@pytest.mark.parametrize("lab", [RED, TEAL])
def test_a_turned_part_is_less_sure_of_its_lightness_and_no_less_of_its_hue(tmp_path, lab):
    picture(tmp_path / "a.png", [*ANCHORS, lab])
    plain = reference("a", {6: "w"})
    flat, turned = (
        coloured(kit(tmp_path, part("w"), text, paints=False)).parts[0].evidence[0]
        for text in (plain, plain + "turned = true\n")
    )
    wider = np.sqrt(np.diag(turned.covariance) / np.diag(flat.covariance))
    assert wider[0] > 2
    hue = np.array([0.0, -lab[2], lab[1]]) / np.hypot(*lab[1:])
    assert hue @ turned.covariance @ hue < 1.15 * (hue @ flat.covariance @ hue)
    assert difference(flat.lab, turned.lab) < 1


def test_a_part_far_from_all_anchors_is_less_sure_than_one_beside_them(tmp_path):
    greys = [(60.0, 0.0, 0.0)] * 12
    picture(tmp_path / "a.png", [*ANCHORS, RED, *greys, RED])
    text = (part("near"), part("far"), reference("a", {6: "near", 19: "far"}))
    near, far = coloured(kit(tmp_path, *text, paints=False)).parts
    assert far.covariance[0, 0] > 1.3 * near.covariance[0, 0]


TONES = {"sepia": [0.8, 1.0, 1.3], "blue": [1.35, 1.1, 0.85]}  # powers of red, green and blue


def toned(path, tone, labs):
    """Patches as a black-and-white picture whose print was toned."""
    picture(path, labs, gains=(1.0, 1.0, 1.0))
    grey = np.asarray(Image.open(path), dtype=float).mean(axis=-1, keepdims=True) / 255
    Image.fromarray((255 * grey ** np.array(tone)).astype(np.uint8)).save(path)


GREYS = tuple((light, 0.0, 0.0) for light in (8, 20, 32, 44, 56, 68, 80, 92))


@pytest.mark.parametrize("tone", TONES)
def test_a_toned_picture_that_is_said_to_be_in_colour_tells_no_hue(tmp_path, tone):
    # fails when its toning counts as the colour of what it shows
    toned(tmp_path / "a.png", TONES[tone], [*ANCHORS, RED, *GREYS])
    greys = {i: f"{{ lab = {list(lab)} }}" for i, lab in enumerate(ANCHORS[:1])}
    scheme = coloured(kit(tmp_path, part("w"), reference("a", {6: "w"}, anchors=greys), paints=False))
    one = scheme.part("w")
    assert difference(one.lab, RED) < one.radius90
    assert one.covariance[1, 1] > 100 and one.covariance[2, 2] > 100
    assert any("toned black-and-white" in say(note) for note in scheme.warnings)


def test_a_picture_with_colour_in_it_is_not_taken_for_a_toned_one(tmp_path):
    # a grey car before a grey shed, with one small coloured sign as its anchor
    picture(tmp_path / "a.png", [*GREYS * 20, BLUE, (50.0, 0.0, 0.0)])
    anchors = {7: f"{{ lab = {list(GREYS[7])} }}", 160: f"{{ lab = {list(BLUE)} }}"}
    scheme = coloured(kit(tmp_path, part("w"), reference("a", {161: "w"}, anchors=anchors), paints=False))
    assert not any("toned" in say(note) for note in scheme.warnings)
    assert scheme.part("w").radius90 < 8


@pytest.mark.parametrize("lab", [RED, TEAL])
def test_a_picture_of_one_coloured_thing_in_light_and_shade_is_not_taken_for_a_toned_one(tmp_path, lab):
    shades = [np.array(lab) * factor for factor in np.linspace(0.7, 1.3, 8)]
    picture(tmp_path / "a.png", shades)
    scheme = coloured(kit(tmp_path, part("w"), reference("a", {3: "w"}, anchors={}), paints=False))
    assert not any("toned" in say(note) for note in scheme.warnings)
