"""Paints and recipes under the light that the model is judged in."""

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spectra import reflectance_to_lab, tristimulus
from palette.paints.choosing.under import mixes_under, paints_under
from palette.paints.match import matched
from palette.paints.mixing import mixes
from palette.swatches.asked import Asked
from palette.swatches.model import Swatch, SwatchList

NM = np.arange(400.0, 701.0, 10.0)
GREEN = 0.08 + 0.35 * np.exp(-(((NM - 545) / 45) ** 2))


def paint(id: str, reflectance: np.ndarray) -> Swatch:
    return Swatch(id, id, reflectance_to_lab(reflectance), "reflectance", reflectance)


@pytest.fixture(scope="module")
def twins() -> SwatchList:
    """The green, a paint of its Lab in daylight by another way (less a metameric black), and one that is a
    little darker in any light."""
    weights, _ = tristimulus("D65")
    lamp = tristimulus("A")[0][:, 0]
    black = lamp - weights @ np.linalg.lstsq(weights, lamp, rcond=None)[0]
    black *= 0.07 / np.abs(black).max()
    white = paint("white", np.full_like(NM, 0.85))
    return SwatchList((paint("twin", GREEN - black), paint("darker", 0.93 * GREEN), white))


def by_colour_science(reflectance: np.ndarray, wanted: np.ndarray) -> float:
    """CIEDE2000 under illuminant A, by colour-science."""
    import colour

    table = colour.SDS_ILLUMINANTS["A"]
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    labs = []
    white = colour.sd_to_XYZ(colour.SpectralDistribution(np.ones_like(NM), NM), observer, table)
    for one in (reflectance, wanted):
        xyz = colour.sd_to_XYZ(colour.SpectralDistribution(one, NM), observer, table)
        labs.append(colour.XYZ_to_Lab(xyz / 100, colour.XYZ_to_xy(white / 100)))
    return float(colour.delta_E(*labs, method="CIE 2000"))


def test_a_metameric_twin_is_nearest_in_daylight_and_not_under_a_lamp(twins: SwatchList) -> None:
    from palette.colour.recovery import recover

    target = twins.swatches[0].lab
    assert paints_under("D65", target, twins)[0].swatch == "twin"
    under = paints_under("A", target, twins)
    assert under[0].swatch == "darker"
    wanted = recover(target[None]).mean[0]
    for one in under:
        (swatch,) = (s for s in twins.swatches if s.id == one.swatch)
        assert one.difference == pytest.approx(by_colour_science(swatch.reflectance, wanted), abs=0.15)


def test_recipes_go_by_the_light_too(twins: SwatchList) -> None:
    target = twins.swatches[0].lab
    recipes = mixes(target, twins, count=20)
    assert recipes[0].drops == (("twin", 1),)
    assert mixes_under("D65", target, recipes, twins) == tuple(recipes[:5])
    under = mixes_under("A", target, recipes, twins)
    assert under[0].drops != (("twin", 1),)
    assert [one.difference for one in under] == sorted(one.difference for one in under)


def test_nothing_is_offered_where_there_is_nothing() -> None:
    assert paints_under("A", None, SwatchList(())) == ()
    assert mixes_under("A", None, [], SwatchList(())) == ()


def test_match_orders_by_the_light_asked_for_and_gives_both_differences(twins: SwatchList) -> None:
    """Fails where another light changes nothing, or takes the place of the difference in daylight."""
    target = twins.swatches[0].lab
    asked = [Asked("one", target)]
    (plain,) = matched(asked, twins, 2)
    (lit,) = matched(asked, twins, 2, light="A")
    assert plain.paints[0].swatch == "twin" and plain.under == ()
    assert lit.paints[0].swatch == "darker" and list(lit.under) == sorted(lit.under)
    for paint in lit.paints:
        assert paint.difference == pytest.approx(float(difference(target, paint.lab)))
