"""Munsell notation, `5GY 4/3`, and greys, `N 5/`.

Sources: ASTM D1535 (value to luminance, interpolation between the renotation colours of Newhall,
Nickerson & Judd 1943), as carried out by colour-science. The renotation is for CIE illuminant C; it
is carried to D65 by the CAT16 transform (CIE 248:2022). Measured against the true colours of the
CIE 224:2017 samples under both lights, that step costs 0.3 CIEDE2000 in the mean and 0.7 at most
(tests/published/test_munsell.py prints it).
"""

from __future__ import annotations

import re
import warnings
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import D65_XYZ, Array, xyz_to_lab
from palette.memory import remembered

ORDER = 3
NUMBERS = 1
EXAMPLE = "--munsell '5GY 4/3'"
HELP = "A colour in Munsell notation, hue value/chroma; greys as 'N 5/'."

_NUMBER = r"(\d+(?:\.\d*)?|\.\d+)"
_GREY = re.compile(rf"N\s*{_NUMBER}\s*/?\s*(?:0(?:\.0*)?)?")
_COLOUR = re.compile(rf"{_NUMBER}\s*(R|YR|Y|GY|G|BG|B|PB|P|RP)\s*{_NUMBER}\s*/\s*{_NUMBER}")


def to_lab(value: object) -> Array:
    if not isinstance(value, str):
        raise ValueError(f"{value!r} is no Munsell colour; write it in quotes, as in '5GY 4/3' or 'N 5/'")
    return _to_lab(" ".join(value.upper().split())).copy()


@lru_cache(maxsize=4096)
def _to_lab(text: str) -> Array:
    if grey := _GREY.fullmatch(text):
        level = float(grey[1])
        if level > 10:
            raise ValueError(f"Munsell {text!r} is no colour; a value goes from 0 to 10")
        return _grey(level)
    if not (colour := _COLOUR.fullmatch(text)):
        raise ValueError(f"{text!r} is no Munsell colour; write it as '5GY 4/3', or 'N 5/'")
    hue, letters, level, chroma = float(colour[1]), colour[2], float(colour[3]), float(colour[4])
    if hue > 10 or level > 10:
        raise ValueError(f"Munsell {text!r} is no colour; a hue's number and a value go from 0 to 10")
    if chroma == 0:
        return _grey(level)
    return _adapted(f"{hue:g}{letters} {level:g}/{chroma:g}").copy()


def from_illuminant_c(xyz: ArrayLike) -> Array:
    """XYZ (…, 3) under illuminant C, Y of the white = 1, to CIELAB D65 by the CAT16 transform."""
    from colour import CCS_ILLUMINANTS
    from colour.adaptation import chromatic_adaptation_VonKries

    x, y = CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
    white = np.array([x / y, 1.0, (1 - x - y) / y])
    return xyz_to_lab(chromatic_adaptation_VonKries(xyz, white, D65_XYZ, transform="CAT16"))


@remembered(kept=True)  # colour-science takes two seconds to load
def _adapted(text: str) -> Array:
    from colour import munsell_colour_to_xyY, xyY_to_XYZ

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            xyy = np.asarray(munsell_colour_to_xyY(text), dtype=np.float64)
    except (AssertionError, ValueError, IndexError, LookupError):
        raise ValueError(
            f"Munsell {text!r} lies outside the renotation colours; "
            "give a colour with a value from 1 to 9.9 and a chroma that exists there"
        ) from None
    return from_illuminant_c(xyY_to_XYZ(xyy))


def _grey(value: float) -> Array:
    """A grey of that value, 0 to 10: luminance by ASTM D1535, under any light."""
    terms = (1.1914, -0.22533, 0.23352, -0.020484, 0.00081939)
    luminance = sum(term * value**power for power, term in enumerate(terms, 1)) / 100
    return xyz_to_lab(luminance * D65_XYZ)
