"""Names and words against sources outside the project.

Kelly & Judd, NBS Special Publication 440: the system's modifiers, hues and centroid colours, from memory,
the centroids confirmed against the dictionary in Debian's libcolor-library-perl. The colour survey whose
results matplotlib ships (XKCD_COLORS, public domain): what some 150,000 people called which screen colour.
"""

import matplotlib.colors
import numpy as np
import pytest
from colour.models import DATA_POINTER_GAMUT_VOLUME
from scipy.spatial import Delaunay

from palette.colour.names import UnknownWords, name, parse
from palette.colour.spaces import hex_to_lab

CENTROIDS = {
    "vivid red": "#be0032", "dark greyish green": "#3a4b47", "light olive brown": "#967117",
    "greyish yellow green": "#8f9779", "pale pink": "#ead8d7", "moderate blue": "#436b95",
    "dark brown": "#422518", "strong reddish brown": "#882d17", "medium grey": "#848482", "black": "#222222",
    "white": "#f2f3f4", "greenish grey": "#7d8984", "dark purple": "#563c5c", "brilliant yellow": "#fada5e",
    "light purplish blue": "#8791bf", "yellowish white": "#f0ead6", "moderate olive": "#665d1e",
}  # fmt: skip


@pytest.mark.parametrize("words", CENTROIDS)
def test_centroids_bear_their_names(words: str) -> None:
    assert name(hex_to_lab(CENTROIDS[words])) == words


def test_words_hold_what_people_call_by_them() -> None:
    lightness, chroma, hue = DATA_POINTER_GAMUT_VOLUME.T
    angle = np.radians(hue)
    edge = np.column_stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)])
    solid = Delaunay(np.vstack([edge, [0, 0, 0], [100, 0, 0]]))
    inside = []
    for words, code in matplotlib.colors.XKCD_COLORS.items():
        lab = hex_to_lab(code)
        if solid.find_simplex(lab) < 0:
            continue  # a screen's colour that no paint can have
        try:
            region = parse(words.removeprefix("xkcd:"))
        except UnknownWords:
            continue
        off = lab - region.lab
        inside.append(off @ np.linalg.solve(region.covariance, off) < 6.25)  # chi-square, 3 df, 90 %
    assert len(inside) > 300
    assert np.mean(inside) > 0.80
