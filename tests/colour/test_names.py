"""Words for colours where no outside list says which: near grey no hue is seen."""

import numpy as np
import pytest

from palette.colour.names import name
from palette.colour.spoken import parse


@pytest.mark.parametrize("lightness", np.arange(0, 101, 4.0))
def test_a_neutral_has_no_hue(lightness: float) -> None:
    # would fail where the centroid of a tinted grey lies nearer in lightness, as 'bluish grey' does at L* 62
    assert name([lightness, 0, 0]) in {"black", "dark grey", "medium grey", "light grey", "white"}


@pytest.mark.parametrize(("said", "meant"), [("nearly black", "black"), ("almost white", "white")])
def test_what_is_nearly_a_colour_is_within_its_error(said: str, meant: str) -> None:
    # would fail where the words people write of dark and pale surfaces are not known
    assert parse(said).words == parse(meant).words
