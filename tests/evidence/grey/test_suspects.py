"""Anchors of grey pictures judged together: the guilty one is named, the innocent stay believed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.colour.responses import named
from palette.colour.spaces import srgb_encode
from palette.evidence.grey.notes import AnchorAstray, AnchorsAtOdds, ColourAstray
from palette.evidence.grey.picture import AnchorLevel, GreyPicture, Sensitivity
from palette.evidence.grey.suspects import judged
from palette.evidence.grey.tone import Level
from palette.words import say
from palette.words.catalogue import Words
from tests.benchmarks.grey.accused import accused, made

STATED = (95.0, 62.0, 25.0)
PARTS = {"roof": 75.0, "upper": 87.0, "lower": 42.0}


def anchor(name: str, lightness: float, part: str | None = None, shows: float | None = None) -> AnchorLevel:
    """Of a neutral of that L*, on a surface that `shows` another, through the sRGB curve of IEC 61966-2-1."""
    seen = ((lightness if shows is None else shows) + 16) / 116
    level = Level(float(srgb_encode(np.array(seen**3))), 0.001)
    return AnchorLevel(name, level, np.array([lightness, 0.0, 0.0]), 1.0, part)


def picture(name: str, stated: bool = True, **shows: float) -> GreyPicture:
    greys = [anchor(f"anchor {i}", lightness) for i, lightness in enumerate(STATED, 1)] if stated else []
    parts = [anchor(f"part {part!r}", PARTS[part], part, shows.get(part)) for part in PARTS]
    return GreyPicture(name, Sensitivity.of(named("panchromatic"), "D55"), (*greys, *parts), {}, 0.08)


def trial(*pictures: GreyPicture):
    return judged({one.name: one for one in pictures})


def doubted(found) -> set[tuple[str, str]]:
    return {(n, a.name) for n, one in found.pictures.items() for a in one.anchors if a.lab is None}


def test_anchors_that_fit_are_left_alone():
    found = trial(picture("plate"), picture("press", stated=False))
    assert not found.notes and not found.against and not doubted(found)


def test_a_mark_on_another_part_is_named_and_those_it_contradicts_are_not():
    # fails when anchors in the wrong order accuse each other: in one picture the upper's mark is on the lower
    found = trial(picture("plate"), picture("press", stated=False, upper=PARTS["lower"]))
    assert found.notes == (AnchorAstray("press", "part 'upper'", part=True),)
    assert doubted(found) == {("press", "part 'upper'")}


def test_a_wrong_colour_of_a_part_explains_what_several_pictures_show():
    # the colour pictures have the upper as dark as the lower; both grey ones show it pale
    wrong = {"upper": PARTS["lower"]}
    pictures = [picture("plate"), picture("press", stated=False)]
    told = [
        replace(
            one,
            anchors=tuple(
                a if a.part not in wrong else replace(a, lab=np.array([wrong[a.part], 0.0, 0.0]))
                for a in one.anchors
            ),
        )
        for one in pictures
    ]
    found = trial(*told)
    assert found.notes == (ColourAstray("upper", ("plate", "press"), colour=True),)
    assert found.against == {"upper": ("plate", "press")}
    assert doubted(found) == {("plate", "part 'upper'"), ("press", "part 'upper'")}


def test_where_nothing_tells_which_is_wrong_both_are_suspects():
    # a light roof that shows darker than a dark wall, and nothing else in the picture
    light = anchor("part 'roof'", 80.0, "roof", shows=30.0)
    both = (light, anchor("part 'lower'", 35.0, "lower", shows=75.0))
    found = trial(replace(picture("press", stated=False), anchors=both))
    assert found.notes == (AnchorsAtOdds("press", ("part 'roof'", "part 'lower'")),)
    assert {name for _, name in doubted(found)} == {"part 'roof'", "part 'lower'"}
    assert "cannot both be right" in say(found.notes[0])


def test_a_stated_grey_of_a_wrong_colour_is_named():
    plain = picture("plate")
    wrong = replace(plain.anchors[1], lab=np.array([90.0, 0.0, 0.0]))
    found = trial(replace(plain, anchors=(plain.anchors[0], wrong, *plain.anchors[2:])))
    assert found.notes == (AnchorAstray("plate", "anchor 2", part=False),)


@pytest.mark.parametrize("case", ["nothing", "a stated grey", "a mark", "a colour"])
def test_on_measured_surfaces_no_innocent_is_accused(case):
    pictures, guilty = made(4, case)
    assert accused(judged(pictures)) == ({guilty} if guilty else set())


@pytest.mark.parametrize("language", ["en", "de"])
def test_each_note_names_whom_it_means(language):
    words = Words(language)
    notes = [
        AnchorAstray("press", "part 'upper'", part=True),
        AnchorAstray("press", "anchor 2", part=False),
        AnchorsAtOdds("press", ("anchor 2", "part 'upper'")),
        AnchorsAtOdds("press", ("anchor 2", "anchor 3", "part 'upper'")),
        ColourAstray("upper", ("press",), colour=False),
        ColourAstray("upper", ("press",), colour=True),
    ]
    told = [say(note, words=words) for note in notes]
    assert all("press" in text for text in told) and len(set(told)) == len(told)
    assert all("upper" in told[i] for i in (0, 2, 3, 4, 5)) and all("2" in told[i] for i in (1, 2, 3))
