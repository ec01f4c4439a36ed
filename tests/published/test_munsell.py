"""Munsell notation against the renotation data and ASTM D1535's value scale, as colour-science ships them."""

import colour
import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.notations import munsell_to_lab
from palette.colour.spaces import lab_to_xyz


@pytest.mark.parametrize("value", [1, 2.5, 5, 7, 9, 9.5])
def test_greys_have_the_luminance_of_astm_d1535(value: float) -> None:
    lab = munsell_to_lab(f"N {value:g}/")
    # the polynomial of ASTM D1535-08, typed in from memory
    percent = (
        1.1914 * value - 0.22533 * value**2 + 0.23352 * value**3 - 0.020484 * value**4 + 0.00081939 * value**5
    )
    assert lab_to_xyz(lab)[1] == pytest.approx(percent / 100, abs=2e-5)
    assert lab[1] == lab[2] == 0


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
