"""Panchromatic: sees all the spectrum, strongest in blue, with a second hump in orange and red."""

from importlib.resources import files

import numpy as np

from palette.colour.spaces import Array
from palette.colour.spectra import FINE
from palette.grey.family import cut, even_normals, hump, members
from palette.grey.responses import Response

_TEXT = files("palette.grey.data").joinpath("panchromatic_negative.csv").read_text("utf-8")
_NM, _SHEET = np.array([row.split(",") for row in _TEXT.splitlines()[1:]], dtype=np.float64).T
# The sheet was digitised from 400 nm up; below, an old lens of flint glass ends what the stock would see.
SHEET: Array = np.interp(FINE, _NM, _SHEET, right=0.0)


def _member(z: Array) -> Array:
    """Blue against the rest (data sheets of two camera negatives, 250 and 400 speed, differ by 0.35 in
    the logarithm), the hump in the red, where the red ends (old stocks ended between 620 and 680 nm),
    and a shift of the whole."""
    moved = np.interp(FINE - 4.0 * z[0], FINE, SHEET)
    end = 637.0 + 9.0 * z[1]
    stretched = np.where(FINE < 560, moved, np.interp(560 + (FINE - 560) * 77.0 / (end - 560), FINE, moved))
    blue = np.exp(0.25 * z[2] * cut(500.0, 12.0))
    red = np.exp(0.20 * z[3] * (1 - cut(600.0, 10.0)))
    return np.asarray(stretched * blue * red * (1 - cut(394.0, 3.0)))


def _eye(z: Array) -> Array:
    """Filtered to the eye's own curve, or one green channel of something that saw in colours."""
    return hump(545.0 + 12.0 * z[0], 38.0 * np.exp(0.15 * z[1]), 38.0 * np.exp(0.15 * z[2]))


def _flat(z: Array) -> Array:
    """As evenly as the later flat grains were dyed, or as anyone draws who has no data sheet."""
    blue, red = np.exp(0.45 * z[1] * cut(500.0, 20.0)), np.exp(0.25 * z[2] * (1 - cut(590.0, 15.0)))
    return np.asarray(cut(648.0 + 12.0 * z[0], 8.0) * (1 - cut(394.0, 3.0)) * blue * red)


_BROAD = hump(545.0, 50.0, 48.0) + 0.15 * SHEET / SHEET.max()  # a stock and a filter that come near the eye

RESPONSE = Response(
    "panchromatic",
    "panchromatic",
    "digitised from the maker's data sheet of a 250-speed (daylight) black-and-white camera negative, "
    "type 5222/7222; the spread of the class from that of a 400-speed negative and from memory",
    members=members(
        _member,
        4,
        ripple=0.05,
        strays=[*(_eye(z) for z in even_normals(4, 3)), _BROAD, *(_flat(z) for z in even_normals(3, 3))],
    ),
)
