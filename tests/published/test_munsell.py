"""Munsell notation against the renotation data and ASTM D1535's value scale, as colour-science ships them."""

import colour
import numpy as np
import pytest
from colour.colorimetry import luminance_ASTMD1535

from palette.colour.difference import difference
from palette.colour.notations import munsell_to_lab
from palette.colour.notations.munsell import from_illuminant_c
from palette.colour.spaces import lab_to_xyz
from palette.colour.spectra import reflectance_to_lab, tristimulus


@pytest.mark.parametrize("value", [1, 2.5, 5, 7, 9, 9.5])
def test_greys_have_the_luminance_of_astm_d1535(value: float) -> None:
    lab = munsell_to_lab(f"N {value:g}/")
    assert lab_to_xyz(lab)[1] == pytest.approx(luminance_ASTMD1535(value) / 100, abs=1e-9)
    assert lab[1] == lab[2] == 0


def test_what_the_step_from_illuminant_c_costs() -> None:
    # CIE 224:2017, 99 samples: their true colours under D65 against those under C carried over
    from colour.quality.cfi2017 import load_TCS_CIE2017

    samples = load_TCS_CIE2017(colour.SpectralShape(380, 780, 5)).values[4:65:2].T  # 400…700 by 10
    table, _ = tristimulus("C")
    off = difference(from_illuminant_c(samples @ table), reflectance_to_lab(samples))
    print(f"CAT16 from C to D65 on CIE 224's samples: {off.mean():.2f} in the mean, {off.max():.2f} at most")
    assert off.mean() < 0.35 and off.max() < 0.75


def test_renotation_colours() -> None:
    # Newhall, Nickerson & Judd 1943, for illuminant C; CIELAB relative to C's own white is CIELAB under D65
    # to within a surface's shift between the two lights (1.7 CIEDE2000 at most for CIE 224:2017's samples)
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
    rng = np.random.default_rng(5)
    real = colour.notation.MUNSELL_COLOURS_REAL
    for i in rng.permutation(len(real))[:40]:
        (hue, value, chroma), xyy = real[i]
        xyz = colour.xyY_to_XYZ([xyy[0], xyy[1], xyy[2] * 0.975 / 100])
        under_c = colour.XYZ_to_Lab(xyz, white)
        assert difference(munsell_to_lab(f"{hue} {value:g}/{chroma:g}"), under_c) < 3.0


def test_hues_lie_round_the_circle_in_their_order() -> None:
    hues = ["5R", "5YR", "5Y", "5GY", "5G", "5BG", "5B", "5PB", "5P", "5RP"]
    labs = np.array([munsell_to_lab(f"{hue} 5/6") for hue in hues])
    angles = np.unwrap(np.arctan2(labs[:, 2], labs[:, 1]))
    assert (np.diff(angles) > 0).all() and np.ptp(angles) < 2 * np.pi
