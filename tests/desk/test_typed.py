"""A colour typed in any notation, or as a paint's id."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.notations import munsell_to_lab
from palette.colour.spaces import hex_to_lab
from palette.desk.typed import typed
from palette.errors import InputError
from palette.swatches.model import SwatchList
from tests.evidence.combine.kits import PAINTS


@pytest.fixture
def paints(tmp_path):
    (tmp_path / "bench.csv").write_text(PAINTS + "5GY 4/3,Odd id,10,0,0\nabc,Like hex,20,0,0\n")
    return SwatchList.read(tmp_path / "bench.csv")


@pytest.mark.parametrize(
    ("text", "table", "lab"),
    [
        ("#7f8a66", {"hex": "#7f8a66"}, hex_to_lab("#7f8a66")),
        (" 7f8a66 ", {"hex": "7f8a66"}, hex_to_lab("#7f8a66")),
        ("hex #7f8a66", {"hex": "#7f8a66"}, hex_to_lab("#7f8a66")),
        ("N 9/", {"munsell": "N 9/"}, munsell_to_lab("N 9/")),
        ("munsell 5gy 4/3", {"munsell": "5gy 4/3"}, munsell_to_lab("5GY 4/3")),
        ("52 10 -20", {"lab": [52, 10, -20]}, (52, 10, -20)),
        ("lab 52.0, 10, −20", {"lab": [52, 10, -20]}, (52, 10, -20)),
        ("R1", {"swatch": "R1"}, (40, 44, 26)),
        ("swatch R1", {"swatch": "R1"}, (40, 44, 26)),
        ("5GY 4/3", {"swatch": "5GY 4/3"}, (10, 0, 0)),  # what the user has called so goes first
        ("abc", {"swatch": "abc"}, (20, 0, 0)),
    ],
)
def test_every_notation_is_understood(paints, text, table, lab):
    meant = typed(text, paints)
    assert meant.table == table
    np.testing.assert_allclose(meant.lab, lab, atol=1e-9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no colour is given"),
        ("neutral", "no colour"),
        ("#12345", "hex"),
        ("5GY 4/99", "Munsell"),
        ("nan nan nan", "surface colour"),
        ("900 0 0", "surface colour"),
        ("R11", "did you mean 'R1'"),
        ("a b", "no colour and no paint"),
        ("lab 1 2", "CIELAB"),
        ("lab x y z", "write 3 numbers"),
        ("x" * 5000, "5000 characters"),  # and not all of them again
    ],
)
def test_what_is_none_is_said(paints, text, said):
    with pytest.raises(InputError, match=said):
        typed(text, paints)


def test_a_grey_of_unknown_lightness_only_where_it_may_be(paints):
    meant = typed("Neutral", paints, neutral=True)
    assert meant.lab is None and meant.table == {"neutral": True}
