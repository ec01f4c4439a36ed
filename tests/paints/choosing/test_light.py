"""The kit's own light: metameric paints are chosen by what they look like in it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.colour.recovery import recover
from palette.colour.spectra import reflectance_to_lab
from palette.paints.choosing.chosen import Chosen, choose
from palette.swatches.model import Swatch, SwatchList
from palette.words import say
from tests.paints.choosing.test_choosing import one, paint
from tests.paints.test_metamerism import metamer

LAB = (45.0, 12.0, 20.0)


def measured(id: str, reflectance: np.ndarray) -> Swatch:
    return Swatch(id, id, reflectance_to_lab(reflectance), "reflectance", reflectance=reflectance)


@pytest.fixture(scope="module")
def pair() -> SwatchList:
    """One paint that is a little off in every light, and one that is nearer in daylight alone."""
    plain = recover(np.array([LAB])).mean[0]
    return SwatchList((measured("plain", plain * 1.02), measured("metamer", metamer(plain, 0.12))))


def chosen(swatches: SwatchList, light: str | float) -> Chosen:
    scheme = one(swatches, LAB)
    scheme = replace(scheme, kit=replace(scheme.kit, light=light))
    (chosen_paint,) = choose(scheme, swatches).values()
    return chosen_paint


@pytest.mark.parametrize(("light", "takes"), [("D65", "metamer"), ("A", "plain"), (2700, "plain")])
def test_the_paint_is_chosen_in_the_light_of_the_kit(
    pair: SwatchList, light: str | float, takes: str
) -> None:
    # would fail where the kit's light is not passed on: daylight's choice is then taken in every light
    assert chosen(pair, light).recipe == ((takes, 1),)


def test_a_match_that_parts_under_a_lamp_is_said_to(pair: SwatchList) -> None:
    (remark,) = chosen(pair, "D65").remarks
    assert say(remark).startswith("matches in daylight, but not under a ")
    assert chosen(pair, "A").remarks == ()


def test_paints_known_by_their_lab_are_chosen_as_in_daylight() -> None:
    # two paints of one Lab are one colour in every light, since nobody knows better
    swatches = SwatchList((paint("near", (45.5, 12.0, 20.0)), paint("far", (48.0, 10.0, 24.0))))
    for light in ("D65", "A", "LED-B1"):
        assert chosen(swatches, light).recipe == (("near", 1),)
