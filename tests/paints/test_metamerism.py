"""Matches under other lights."""

import numpy as np
import pytest

from palette.colour.recovery import recover
from palette.colour.spectra import reflectance_to_lab, tristimulus
from palette.paints.metamerism import parted, special_index, under_lights
from palette.words import say

GREY = np.full(31, 0.3)


def metamer(of: np.ndarray, size: float) -> np.ndarray:
    """Another reflectance with the same XYZ under D65: a wave without its part along the E308 weights."""
    table, _ = tristimulus("D65")
    wave = np.cos(np.linspace(0, 5 * np.pi, 31))
    wave -= table @ np.linalg.lstsq(table, wave, rcond=None)[0]
    return np.asarray(of + size * wave / np.abs(wave).max())


def test_the_same_reflectance_never_parts() -> None:
    for answer in under_lights(GREY, GREY):
        assert answer.difference == pytest.approx(0.0, abs=1e-9)
    assert parted(under_lights(GREY, GREY)) is None


def test_a_metamer_agrees_in_daylight_and_parts_under_a_lamp() -> None:
    seen = under_lights(GREY, metamer(GREY, 0.15), tolerance=1.0)
    assert seen[0].difference == pytest.approx(0.0, abs=1e-6)
    assert any(answer.parts for answer in seen[1:])
    note = parted(seen)
    assert note is not None and note.difference == max(answer.difference for answer in seen[1:])
    assert say(note).startswith("matches in daylight, but not under a ")


def test_what_does_not_match_in_daylight_is_not_blamed_on_the_lamp() -> None:
    assert parted(under_lights(GREY, metamer(GREY, 0.15) + 0.2, tolerance=1.0)) is None


def test_a_colour_without_reflectance_gets_a_range_that_holds_its_own_recovery() -> None:
    lab = reflectance_to_lab(GREY + 0.2 * np.linspace(-1, 1, 31))
    seen = under_lights(lab, recover(lab[None]).mean[0])
    assert seen[0].difference < 0.5
    lamp = seen[1]
    assert lamp.low <= lamp.difference <= lamp.high
    assert lamp.high > lamp.low


def test_the_index_takes_out_what_parts_the_pair_already_under_the_reference() -> None:
    # a sample twice as bright all over is the same shape: no metamerism at all
    assert special_index(GREY, 2 * GREY, "A") == pytest.approx(0.0, abs=1e-9)
    assert special_index(GREY, metamer(GREY, 0.15), "A") > 1.0
