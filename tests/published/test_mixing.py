"""Mixing against the papers' formulas, worked by hand, and against colour-science."""

import numpy as np
import pytest

from palette.colour.spectra import NM
from palette.paints.metamerism import special_index
from palette.paints.mixing import law
from palette.paints.mixing.colourants import Colourants
from palette.paints.mixing.inference import Gaussian, lab_of


def test_kubelka_munk_and_saunderson_by_hand() -> None:
    # Kubelka & Munk 1931: K/S = (1 - R)²/2R, so R = 1/2 gives 1/4. Saunderson 1942 with K1 = 0.03 and
    # K2 = 0.65 (Berns 2016): 0.97 · 0.35 · 0.5 / (1 - 0.65 · 0.5) = 0.16975 / 0.675 = 0.2514815 without the
    # gloss, and 0.03 more with it.
    assert law.reflectance(np.array([0.25])) == pytest.approx(0.2514815, abs=1e-7)
    assert law.reflectance(np.array([0.25]), 1.0) == pytest.approx(0.2814815, abs=1e-7)
    assert law.ratio(np.array([0.2514815])) == pytest.approx(0.25, abs=1e-6)
    assert law.ratio(np.array([0.2814815]), 1.0) == pytest.approx(0.25, abs=1e-6)


def test_two_constants_by_hand() -> None:
    # Duncan 1940: one volume of K = 3, S = 0.2 in three of K = 0.01, S = 1: K/S = 3.03/3.2 = 0.946875, so
    # R = 1.946875 - √2.790322 = 0.276449 inside and 0.3395 R / (1 - 0.65 R) = 0.114414 outside
    films = Colourants(
        ids=("a", "b"),
        lab=np.zeros((2, 3)),
        gloss=np.zeros(2),
        believed=Gaussian(np.zeros((2, 62)), np.zeros((2, 62, 62))),
        absorption=np.repeat([[3.0], [0.01]], 31, axis=1),
        scattering=np.repeat([[0.2], [1.0]], 31, axis=1),
        unmixable={},
        notes={},
        medium=("", ""),
    )
    mixed = films.spectra(np.array([[0.25, 0.75]]), np.array([[0, 1]]))
    np.testing.assert_allclose(mixed, 0.114414, atol=1e-6)


def test_slope_of_the_reflectance_is_that_of_the_formula() -> None:
    q = np.array([0.01, 0.3, 5.0, 80.0])
    step = 1e-6
    numeric = (law.reflectance(q * np.exp(step)) - law.reflectance(q * np.exp(-step))) / (2 * step)
    np.testing.assert_allclose(law.log_slope(q), numeric, rtol=1e-6)


def test_reflectance_to_lab_is_that_of_colour_science() -> None:
    # colour-science, sd_to_XYZ by ASTM E308 under D65 for the 1931 observer; its white is taken from the same
    colour = pytest.importorskip("colour")
    reflectance = law.reflectance(3 * np.exp(-(((NM - 600) / 60) ** 2)) + 0.05)
    shape = colour.SpectralShape(400, 700, 10)
    lights = colour.SDS_ILLUMINANTS["D65"]
    xyz = [
        colour.sd_to_XYZ(
            colour.SpectralDistribution(r, shape.wavelengths), illuminant=lights, method="ASTM E308"
        )
        for r in (reflectance, np.ones(31))
    ]
    white = xyz[1] / xyz[1][1]
    expected = colour.XYZ_to_Lab(xyz[0] / xyz[1][1], colour.XYZ_to_xy(white))
    np.testing.assert_allclose(lab_of(reflectance), expected, atol=0.05)


def test_special_metamerism_index_as_cie_15_defines_it() -> None:
    # CIE 15, 9.2 (from memory): XYZ of the sample under the test light, each times the quotient of
    # standard and sample under the reference light; recomputed here with colour-science's own arithmetic
    colour = pytest.importorskip("colour")
    standard = 0.3 + 0.1 * np.sin(NM / 40)
    sample = 0.3 + 0.1 * np.cos(NM / 33)

    def xyz(reflectance: np.ndarray, light: str) -> np.ndarray:
        sd = colour.SpectralDistribution(reflectance, NM)
        return np.asarray(colour.sd_to_XYZ(sd, illuminant=colour.SDS_ILLUMINANTS[light], method="ASTM E308"))

    white = xyz(np.ones(31), "A")
    corrected = xyz(sample, "A") * xyz(standard, "D65") / xyz(sample, "D65")
    labs = [colour.XYZ_to_Lab(v / white[1], colour.XYZ_to_xy(white)) for v in (xyz(standard, "A"), corrected)]
    expected = colour.delta_E(*labs, method="CIE 2000")
    assert special_index(standard, sample, "A") == pytest.approx(expected, abs=0.05)
