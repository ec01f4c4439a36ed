"""What people say leans on a colour and never rules one out."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette.evidence.grey.testimony import hint_factor, lighter_factor, relations
from palette.kit.model import Hint, Kit, Part, Than
from palette.kit.paints import same_paint

RNG = np.random.default_rng(3)
TYPICAL = np.column_stack([RNG.uniform(5, 95, 4000), RNG.normal(0, 25, 4000), RNG.normal(0, 25, 4000)])
GREEN, RED = np.array([[52.0, -12.0, 8.0]]), np.array([[42.0, 60.0, 35.0]])


def test_trusted_words_lift_what_they_name() -> None:
    hint = Hint("greyish green", trust=0.8)
    assert hint_factor(hint, GREEN, TYPICAL)[0] > 3
    assert hint_factor(hint, RED, TYPICAL)[0] < 0.5


@pytest.mark.parametrize("trust", [0.0, 0.3, 0.7, 1.0])
def test_words_never_rule_out(trust: float) -> None:
    # even full trust leaves one part in twenty; none leaves everything as it was
    factor = hint_factor(Hint("greyish green", trust=trust), RED, TYPICAL)[0]
    assert factor >= 1 - 0.95 * trust - 1e-9
    if trust == 0:
        assert factor == pytest.approx(1)


@pytest.mark.parametrize("trust", [0.2, 0.6, 1.0])
def test_words_are_a_factor_of_a_surface_at_random(trust: float) -> None:
    # so that they add no probability of their own: the mean over surfaces is 1
    assert hint_factor(Hint("greyish green", trust=trust), TYPICAL, TYPICAL).mean() == pytest.approx(1)


def test_mistrust_widens_the_region() -> None:
    # how much of the lift at the middle is left beside it
    beside = GREEN + np.array([[0.0, -14.0, 12.0]])

    def left(trust: float) -> float:
        hint = Hint("greyish green", trust=trust)
        base = 1 - 0.95 * trust
        one, other = (hint_factor(hint, lab, TYPICAL)[0] - base for lab in (GREEN, beside))
        return float(other / one)

    assert left(0.3) > 1.3 * left(1.0)


def test_lighter_leans_both_ways_and_never_vetoes() -> None:
    lightness = np.array([10.0, 50.0, 90.0])
    other, weight = np.array([49.0, 50.0, 51.0]), np.full(3, 1 / 3)
    lighter = lighter_factor(lightness, other, weight, True)
    darker = lighter_factor(lightness, other, weight, False)
    assert lighter[0] < lighter[1] < lighter[2]
    assert lighter.min() >= 0.049 and darker.min() >= 0.049
    np.testing.assert_allclose(lighter + darker, 1.0)
    np.testing.assert_allclose(lighter[1], 0.5, atol=0.1)


def kit(*parts: Part) -> Kit:
    return Kit(Path("kit.toml"), "T", parts=parts)


def test_lighter_than_its_own_paint_is_nothing() -> None:
    parts = kit(Part("a", "A", thans=(Than("b"), Than("c"))), Part("b", "B", same_as="a"), Part("c", "C"))
    assert relations(parts, same_paint(parts)) == [("a", "c")]
