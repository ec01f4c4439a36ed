"""Names and words against sources outside the project.

Kelly & Judd, NBS Special Publication 440: the system's modifiers, hues and centroid colours, from memory,
the centroids confirmed against the dictionary in Debian's libcolor-library-perl. The colour survey whose
results matplotlib ships (XKCD_COLORS, public domain): what some 150,000 people called which screen colour.
"""

import pytest

from palette.colour.names import name, names
from palette.colour.spaces import hex_to_lab
from tests.benchmarks import names as bench

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
    count, right = bench.understood()
    assert count > 300
    assert right > 0.80


def test_names_keep_the_basic_hue_of_what_was_not_learnt() -> None:
    # would fail where the votes of the survey were dropped: the nearest centroid alone keeps 77 %
    hues, lab = bench.held_back()
    assert len(hues) > 100
    assert bench.kept(names(lab), hues) > 0.87
