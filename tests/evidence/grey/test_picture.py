"""What a response sees under a light, and what more evidence would tell."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.families import even_normals
from palette.colour.responses import named
from palette.colour.spectra import FINE, NM
from palette.evidence.grey.advice import _information
from palette.evidence.grey.picture import Sensitivity
from palette.evidence.grey.surfaces import Surfaces

WHITE = Surfaces(np.array([[100.0, 0, 0]]), np.ones((1, 31)), np.zeros(1, np.intp))
RED = Surfaces(np.array([[50.0, 60, 40]]), np.where(NM >= 600, 0.8, 0.03)[None], np.zeros(1, np.intp))


@pytest.mark.parametrize("light", ["D65", "A", "ISO 7589 Studio Tungsten", 3200.0, None])
@pytest.mark.parametrize(
    "name", ["panchromatic", "orthochromatic", "blue-sensitive", "camera-tube", "luma-601"]
)
def test_the_perfect_white_is_one(name: str, light: str | float | None) -> None:
    np.testing.assert_allclose(Sensitivity.of(named(name), light).log_signals(WHITE), 0.0, atol=2e-3)


def test_red_is_dark_to_a_stock_blind_to_it_and_lighter_by_lamplight() -> None:
    # ISO 7589 names lights for such reasons: sensitometric tungsten is redder than daylight
    ortho, pan = (
        Sensitivity.of(named(n), "D65").log_signals(RED).mean() for n in ("orthochromatic", "panchromatic")
    )
    lamp = Sensitivity.of(named("panchromatic"), "A").log_signals(RED).mean()
    assert ortho < pan - 0.5
    assert lamp > pan + 0.3


def test_a_filter_darkens_what_it_holds_back() -> None:
    yellow = np.where(FINE > 500, 1.0, 0.0)
    blue = Surfaces(np.array([[40.0, 10, -40]]), np.where(NM < 500, 0.6, 0.05)[None], np.zeros(1, np.intp))
    bare = Sensitivity.of(named("panchromatic"), "D65").log_signals(blue).mean()
    held = Sensitivity.of(named("panchromatic"), "D65", filter=yellow).log_signals(blue).mean()
    assert held < bare - 0.5


def test_a_filter_that_stops_all_the_stock_sees() -> None:
    with pytest.raises(ValueError, match="nothing through"):
        Sensitivity.of(named("blue-sensitive"), "D65", filter=np.where(FINE > 620, 1.0, 0.0))


def test_an_unnamed_light_is_several() -> None:
    # a warm surface is lighter by lamp than by daylight: the spread must show it
    known, unknown = (
        Sensitivity.of(named("panchromatic"), under).log_signals(RED) for under in ("D55", None)
    )
    assert unknown.std() > known.std()


def test_even_normals_are_standard_and_the_same_each_time() -> None:
    normals = even_normals(64, 5)
    np.testing.assert_allclose(normals.mean(axis=0), 0, atol=1e-12)
    np.testing.assert_allclose(normals.std(axis=0), 1)
    assert np.abs(np.corrcoef(normals.T) - np.eye(5)).max() < 0.25
    np.testing.assert_array_equal(normals, even_normals(64, 5))


def test_information_of_a_reading() -> None:
    # mutual information: all of log2 n when every surface has its own level, none when noise drowns it
    signals = np.array([[-3.0], [-2.0], [-1.0], [0.0]])
    equal, owner = np.full(4, 0.25), np.arange(4)
    assert _information(signals, equal, owner, 0.05) == pytest.approx(2.0, abs=0.01)
    assert _information(signals, equal, owner, 40.0) < 0.05
    # two levels ±1 in Gaussian noise of 1: the capacity of the binary-input Gaussian channel, by quadrature
    # (Cover & Thomas, Elements of Information Theory, 2nd ed., ch. 9; from memory)
    two = _information(np.array([[-1.0], [1.0]]), np.full(2, 0.5), np.arange(2), 1.0)
    x = np.linspace(-9, 9, 20001)
    density = np.exp(-0.5 * (x - 1) ** 2) / np.sqrt(2 * np.pi)
    expected = 1 - np.trapezoid(density * np.log2(1 + np.exp(-2 * x)), x)
    assert two == pytest.approx(expected, abs=0.02)
