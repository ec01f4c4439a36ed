"""The skeleton's colour core against independent libraries."""

import colour
import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import hex_to_lab, lab_to_hex
from palette.colour.spectra import NM, reflectance_to_lab


def test_reflectances_become_lab_by_astm_e308() -> None:
    # ASTM E308 as colour-science carries it out, on the 24-patch chart it ships (measured reflectances)
    chart = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]
    for sd in chart.values():
        values = sd.copy().align(colour.SpectralShape(400, 700, 10)).values
        ours = reflectance_to_lab(values)
        xyz = colour.sd_to_XYZ(
            colour.SpectralDistribution(values, NM),
            colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"],
            colour.SDS_ILLUMINANTS["D65"],
            method="ASTM E308",
        )
        theirs = colour.XYZ_to_Lab(xyz / 100, colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
        assert difference(ours, theirs) < 0.02


def test_difference_equals_colour_science() -> None:
    rng = np.random.default_rng(1)
    a, b = rng.uniform([0, -120, -120], [100, 120, 120], (2, 5000, 3))
    np.testing.assert_allclose(difference(a, b), colour.delta_E(a, b, method="CIE 2000"), atol=1e-9)


def test_hex_survives_a_round_trip() -> None:
    for text in ("#000000", "#ffffff", "#5b2c2f", "#0000ff"):
        assert lab_to_hex(hex_to_lab(text)) == text
