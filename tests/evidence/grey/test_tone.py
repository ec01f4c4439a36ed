"""The tone curve, integrated over: against plain quadrature, and what clipping and few anchors leave."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.spaces import srgb_encode
from palette.evidence.grey import tone
from palette.evidence.grey.tone import AnchorSignal, Level, Shapes, fit, signals_for


def anchors(signals: list[float], gamma: float = 1.0, members: int = 1) -> list[AnchorSignal]:
    """Surfaces through the exponent `gamma` and the sRGB curve of IEC 61966-2-1."""
    return [
        AnchorSignal(Level(float(srgb_encode(np.array(s**gamma))), 0.001), np.full(members, np.log(s)), 0.0)
        for s in signals
    ]


def posterior(curves: tone.Curves, level: Level, uneven: float = 0.05) -> tuple[float, float]:
    """Mean and standard deviation of the log signal, all signals being equal before."""
    axis = signals_for(uneven)
    table = curves.signal_density([level], axis).sum(axis=0)
    table = table / table.sum()
    mean = float(table @ axis.points)
    return mean, float(np.sqrt(table @ (axis.points - mean) ** 2))


@pytest.mark.parametrize("gamma", [0.7, 1.0, 1.5])
def test_three_anchors_find_the_signal_whatever_the_contrast(gamma: float) -> None:
    curves = fit(anchors([0.9, 0.2, 0.03], gamma), 1, 0.02, 0.05)
    level = Level(float(srgb_encode(np.array(0.4**gamma))), 0.001)
    mean, deviation = posterior(curves, level, 0.02)
    assert abs(mean - np.log(0.4)) < 2 * deviation
    assert deviation < 0.15


def test_closed_form_agrees_with_quadrature(monkeypatch: pytest.MonkeyPatch) -> None:
    # the same belief summed over a plain grid of exponents and exposures: fails when a Jacobian, a
    # covariance or the nodes of the exponent are wrong
    def one_shape(lowest: float, crushed: bool = False) -> Shapes:
        del lowest, crushed
        zero = np.zeros(1)
        return Shapes(np.array([False]), zero, np.full(1, 0.004), zero, zero)

    monkeypatch.setattr(tone, "shapes", one_shape)
    monkeypatch.setattr(tone, "_WANDER", 1e-6)
    uneven = 0.1
    known = anchors([0.8, 0.3, 0.1], 1.2)
    level = Level(0.5, 1e-6)
    mean, deviation = posterior(fit(known, 1, uneven, 0.0), level, uneven)

    a = np.linspace(0.3, 2.5, 201)[:, None]  # 1 / γ
    c = np.linspace(-2.0, 2.0, 401)[None, :]  # minus the logarithm of the exposure
    s = np.linspace(-2.5, 0.5, 301)

    def height(level: float) -> float:  # logarithm of the light in the file, IEC 61966-2-1
        return float(np.log(((level + 0.055) / 1.055) ** 2.4))

    def normal(x: np.ndarray, sd: float) -> np.ndarray:
        return np.exp(-0.5 * (x / sd) ** 2) / sd

    weight = a**-2 * normal(np.log(a), tone._CONTRAST_SD) * normal(c, tone._EXPOSURE_SD)
    for one in known:
        h = height(one.level.value)
        noise = tone.LEVEL_FLOOR * 2.4 / (one.level.value + 0.055)  # of h, from that of the level
        weight = weight * a * normal(one.log_signal[0] - a * h - c, np.hypot(uneven, noise))
    noise = tone.LEVEL_FLOOR * 2.4 / (level.value + 0.055)
    density = np.array(
        [(weight * a * normal(x - a * height(0.5) - c, np.hypot(uneven, noise))).sum() for x in s]
    )
    density /= density.sum()
    assert mean == pytest.approx(density @ s, abs=0.01)
    assert deviation == pytest.approx(np.sqrt(density @ (s - density @ s) ** 2), rel=0.04)


def test_fewer_anchors_leave_more() -> None:
    level = Level(0.5, 0.001)
    spread = [
        posterior(fit(anchors(signals), 1, 0.05, 0.1), level)[1] for signals in ([0.9, 0.2, 0.03], [0.9], [])
    ]
    assert spread[0] < 0.5 * spread[1] < 0.5 * spread[2]


def test_an_anchor_that_is_believed_less_leaves_more() -> None:
    sure = anchors([0.9, 0.2, 0.03])
    unsure = [AnchorSignal(a.level, a.log_signal, 0.2) for a in sure]
    level = Level(0.6, 0.001)
    assert posterior(fit(unsure, 1, 0.05, 0.1), level)[1] > 1.5 * posterior(fit(sure, 1, 0.05, 0.1), level)[1]


def test_clipped_levels_are_bounds() -> None:
    curves = fit(anchors([0.6, 0.2, 0.03]), 1, 0.05, 0.0, crushed=True)
    axis = signals_for(0.05)
    white = curves.signal_density([Level(1.0, 0.0, 1)], axis).sum(axis=0)
    black = curves.signal_density([Level(0.0, 0.0, -1)], axis).sum(axis=0)
    # the brighter the likelier, and the reverse; a peak anywhere would be a value, not a bound
    assert np.all(np.diff(white) >= -1e-6 * white.max()) and white[-1] > 0.9 * white.max()
    assert np.all(np.diff(black) <= 1e-6 * black.max()) and black[0] > 0.9 * black.max()
    middle = int(np.argmin(np.abs(axis.points - np.log(0.2))))
    assert white[middle] < 0.02 * white[-1] and black[middle] < 0.02 * black[0]


def test_a_clipped_anchor_says_less_than_one_that_is_not() -> None:
    plain = anchors([0.9, 0.2, 0.03])
    clipped = [AnchorSignal(Level(1.0, 0.0, 1), plain[0].log_signal, 0.0), *plain[1:]]
    level = Level(0.8, 0.001)
    wide, tight = (posterior(fit(a, 1, 0.05, 0.1), level)[1] for a in (clipped, plain))
    assert wide > tight


def test_two_places_of_one_paint_halve_the_variance_of_the_light() -> None:
    curves = fit(anchors([0.9, 0.6, 0.45, 0.3, 0.2, 0.1, 0.05, 0.03]), 1, 0.2, 0.1)
    axis = signals_for(0.2)
    level = Level(0.6, 0.001)

    def variance(levels: list[Level]) -> float:
        table = curves.signal_density(levels, axis).sum(axis=0)
        table = table / table.sum()
        return float(table @ (axis.points - table @ axis.points) ** 2)

    one, four = variance([level]), variance([level] * 4)
    # what the curve itself leaves unknown is not halved
    assert 0.03 / 4 < four < 0.6 * one


def test_members_are_weighed_by_the_anchors() -> None:
    # five greys fit the first member; the second would need a bend that goes up and down
    plain = anchors([0.9, 0.5, 0.2, 0.08, 0.03], members=2)
    odd = [
        AnchorSignal(a.level, a.log_signal + np.array([0.0, 0.5 * (-1) ** i]), a.deviation)
        for i, a in enumerate(plain)
    ]
    assert np.diff(_shares(fit(odd, 2, 0.05, 0.1)))[0] < -0.9


def _shares(curves: tone.Curves) -> np.ndarray:
    return np.asarray(np.exp(curves.log_weight).sum(axis=(0, 2)))


@pytest.mark.parametrize("level", [Level(0.5, 0.001), Level(1.0, 0.0, 1), Level(0.0, 0.0, -1)])
def test_a_surface_of_unknown_signal_weighs_the_curves_as_it_is_itself_weighed_by_them(level: Level) -> None:
    # both ways round it is one joint distribution, so its margin over members must be one
    plain = anchors([0.6, 0.2, 0.03], members=2)
    curves = fit(plain, 2, 0.05, 0.0, crushed=True)
    axis = signals_for(0.05)
    middles = np.array([[-4.5], [-3.9]]) if level.end < 0 else np.array([[-0.9], [-0.3]])
    spread = np.exp(-0.5 * ((axis.points - middles) / 0.4) ** 2)
    spread /= spread.sum(axis=1, keepdims=True)
    narrowed = curves.given(np.log(np.maximum(curves.likelihood([level], spread, axis), 1e-300)))
    table = (curves.signal_density([level], axis) * spread).sum(axis=1)
    assert _shares(narrowed).sum() == pytest.approx(1)
    np.testing.assert_allclose(_shares(narrowed), table / table.sum(), atol=0.01)
    assert abs(_shares(narrowed)[0] - _shares(curves)[0]) > 0.05
    # what no curve can make says nothing of them
    never = np.zeros_like(spread)
    never[:, 0 if level.end >= 0 else -1] = 1.0
    np.testing.assert_array_equal(curves.likelihood([level], never, axis), 1.0)
