"""Reflectances recovered from colours: exact, physical, repeatable, and at home with any input."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from palette.colour.difference import difference
from palette.colour.recovery import recover
from palette.colour.spectra import reflectance_to_lab


@example(29.0, -40.0, -45.0)  # next to the edge of what a surface can have
@given(st.floats(8, 95), st.floats(-40, 40), st.floats(-40, 40))
def test_every_draw_has_the_colour(lightness: float, a: float, b: float) -> None:
    # fails where the constraint is met only in the mean, or only roughly
    share = min(1.0, (100 - abs(2 * lightness - 100)) / 60)
    lab = np.array([lightness, a * share, b * share])
    recovered = recover(lab, 8)
    assert recovered.samples.min() >= 0 and recovered.samples.max() <= 1
    assert difference(lab, reflectance_to_lab(recovered.samples[0])).max() < 0.05
    assert recovered.error[0] < 0.05


def test_a_colour_gets_the_same_answer_in_any_company() -> None:
    lab = np.array([[50.0, 20, 10], [30, -10, 5], [80, 0, 40]])
    together, alone = recover(lab), recover(lab[1])
    np.testing.assert_allclose(together.mean[1], alone.mean[0], atol=1e-12)


def test_no_surface_can_have_it() -> None:
    # a colour outside the solid of surfaces gets the nearest there is, and says how far off that is
    recovered = recover([[50.0, 120, -100]])
    assert recovered.error[0] > 3
    assert np.all((recovered.mean >= 0) & (recovered.mean <= 1))


def test_none_and_nonsense() -> None:
    assert recover(np.zeros((0, 3))).mean.shape == (0, 31)
    with pytest.raises(ValueError):
        recover([[50.0, np.nan, 0]])
