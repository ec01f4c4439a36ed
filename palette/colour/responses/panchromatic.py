"""Panchromatic: sees all the spectrum, strongest in blue, with a second hump in orange and red."""

from importlib.resources import files

import numpy as np

from palette.colour.families import cut, hump, members
from palette.colour.responses import Response
from palette.colour.spaces import Array
from palette.colour.spectra import FINE, observer

_TEXT = files("palette.colour.data").joinpath("panchromatic_negative.csv").read_text("utf-8")
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


def _flat(end: float, blue: float, red: float) -> Array:
    """As evenly as the later flat grains were dyed, or as anyone draws who has no data sheet; `blue` and
    `red` are natural logarithms."""
    return np.asarray(
        cut(end, 8.0) * (1 - cut(394.0, 3.0)) * np.exp(blue * cut(500.0, 20.0) + red * (1 - cut(590.0, 15.0)))
    )


_EVEN = _flat(648.0, 0.0, 0.0)
# So many and so unlike one another that sets nearly hold where the truth was like one of them, and not so
# many that stocks of the class lose by it.
_OUTLIERS = (
    _flat(643.0, -0.55, -0.26),
    _flat(637.0, 0.55, 0.34),
    _EVEN * (1 - cut(490.0, 18.0)),  # behind a yellow filter that nobody mentions
    _EVEN * (1 - cut(545.0, 15.0)),  # behind an orange one
    # not film at all but something that saw in colours, made grey: by its luminance, or by one channel
    observer()[:, 1],
    hump(546.0, 41.0, 43.0),
    hump(553.0, 50.0, 66.0),
    hump(532.0, 48.0, 43.0),
    hump(527.0, 36.0, 36.0),
    hump(465.0, 34.0, 32.0),
)

RESPONSE = Response(
    "panchromatic",
    "panchromatic",
    "digitised from the maker's data sheet of a 250-speed (daylight) black-and-white camera negative, "
    "type 5222/7222; the spread of the class from that of a 400-speed negative and from memory",
    members=members(_member, 4, ripple=0.05, outliers=_OUTLIERS),
)
