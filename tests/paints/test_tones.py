"""Shade and highlight: size and direction are common practice, no source; the bounds are Pointer's."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.surfaces import most_chroma
from palette.paints.tones import highlight, shade

COLOURS = [
    (40.0, 40.0, 25.0),
    (60.0, -25.0, 20.0),
    (45.0, 5.0, -30.0),
    (70.0, 10.0, 50.0),
    (50.0, 20.0, -20.0),
]


def chroma_hue(lab: np.ndarray) -> tuple[float, float]:
    return float(np.hypot(lab[1], lab[2])), float(np.degrees(np.arctan2(lab[2], lab[1])) % 360)


def towards(hue: float, pole: float) -> float:
    return abs((hue - pole + 180) % 360 - 180)


@pytest.mark.parametrize("lab", COLOURS)
def test_a_shade_is_darker_fuller_cooler_and_a_highlight_the_reverse(lab: tuple[float, float, float]) -> None:
    """Common practice, no source: 10 to 15 L*; fails where a sign is turned."""
    dark, light = shade(lab), highlight(lab)
    assert dark is not None and light is not None
    chroma, hue = chroma_hue(np.array(lab))
    assert 10 <= lab[0] - dark[0] <= 15 and 10 <= light[0] - lab[0] <= 15
    assert chroma_hue(light)[0] < chroma < chroma_hue(dark)[0] < 1.25 * chroma
    assert towards(chroma_hue(dark)[1], 255) < towards(hue, 255)
    assert towards(chroma_hue(light)[1], 75) < towards(hue, 75)


def test_a_grey_is_tinted_a_little() -> None:
    dark, light = shade((50.0, 0.0, 0.0)), highlight((50.0, 0.0, 0.0))
    assert dark is not None and light is not None
    assert dark[2] < -0.5 and light[2] > 0.5 and max(chroma_hue(dark)[0], chroma_hue(light)[0]) < 3


def test_black_has_no_shade_and_white_no_highlight() -> None:
    """Fails where a tone would be pure black or beyond white."""
    assert shade((6.0, 0.0, 0.0)) is None and highlight((95.0, 0.0, 5.0)) is None
    dark, light = shade((14.0, 2.0, 1.0)), highlight((88.0, 0.0, 5.0))
    assert dark is not None and light is not None
    assert 3 < dark[0] < 11 and 91 < light[0] < 97


def test_steps_can_be_set() -> None:
    dark = shade((60.0, 20.0, 20.0), step=8.0, hue=0.0)
    assert dark is not None and dark[0] == pytest.approx(52.0)
    assert chroma_hue(dark)[1] == pytest.approx(45.0)
    assert shade((60.0, 20.0, 20.0), step=0.0) is None


def test_limits_are_pointers() -> None:
    """Against colour-science, whose table of Pointer's gamut (1980) is under illuminant C."""
    colour = pytest.importorskip("colour")
    table = np.array(colour.models.DATA_POINTER_GAMUT_VOLUME, dtype=float)
    angle = np.radians(table[:, 2])
    labs = np.column_stack([table[:, 0], 30 * np.cos(angle), 30 * np.sin(angle)])
    np.testing.assert_allclose(most_chroma(labs), table[:, 1], atol=1e-6)
    halfway = most_chroma([17.5, 30.0, 0.0])
    assert halfway == pytest.approx((table[0, 1] + table[36, 1]) / 2)


def test_no_tone_is_more_colourful_than_a_surface_can_be() -> None:
    """Pointer (1980); a colour beyond that itself keeps its share of the limit."""
    rng = np.random.default_rng(5)
    for _ in range(200):
        lab = np.array([rng.uniform(10, 90), *rng.normal(0, 30, 2)])
        limit = max(1.0, np.hypot(lab[1], lab[2]) / float(most_chroma(lab)))
        for tone in (shade(lab), highlight(lab)):
            assert tone is None or np.hypot(tone[1], tone[2]) <= limit * float(most_chroma(tone)) + 1e-6
