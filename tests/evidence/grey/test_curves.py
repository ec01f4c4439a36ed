"""A response or a filter from a CSV file: what is read, and what each fault is called."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette.errors import InputError
from palette.evidence.grey.curves import read_curve


def read(folder: Path, text: str | bytes, column: str = "response") -> tuple[np.ndarray, np.ndarray]:
    file = folder / "curve.csv"
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_curve(file, column)


def test_rows_in_any_order_with_spaces_and_a_byte_order_mark(tmp_path: Path) -> None:
    text = "\ufeffnm, response ,note\n700, 0,\n\n500,1,peak\n450 ,0.5,\n400,0.2,\n550,1,\n600,1,\n650,0.4,\n"
    nm, values = read(tmp_path, text)
    np.testing.assert_array_equal(nm, [400, 450, 500, 550, 600, 650, 700])
    np.testing.assert_array_equal(values, [0.2, 0.5, 1, 1, 1, 0.4, 0])


def test_semicolons_and_decimal_commas_as_spreadsheets_write_them(tmp_path: Path) -> None:
    for text in ("nm;response\n400;0,5\n445,5;1\n490;0\n", "sep=;\nnm;response\n400;0.5\n445.5;1\n490;0\n"):
        nm, values = read(tmp_path, text)
        np.testing.assert_array_equal([nm, values], [[400, 445.5, 490], [0.5, 1, 0]])
    with pytest.raises(InputError, match="csv:3: no two numbers"):
        read(tmp_path, "nm;response\n400;0,5\n450;1,0,0\n500;0\n")
    with pytest.raises(InputError, match="quoted cell"):
        read(tmp_path, 'nm,response\n400,"0.5\n450,1\n')


def test_a_filter_may_be_drawn_with_straight_lines(tmp_path: Path) -> None:
    # a response with such gaps is refused: what a stock sees between two far points nobody knows
    nm, values = read(tmp_path, "nm,transmittance\n400,0\n480,0\n520,0.9\n700,0.9\n", "transmittance")
    np.testing.assert_array_equal([nm, values], [[400, 480, 520, 700], [0, 0, 0.9, 0.9]])


def test_a_stock_that_is_blind_beyond_the_blue_is_whole(tmp_path: Path) -> None:
    # it covers half the spectrum because it sees half of it: its last row says so
    nm, _ = read(tmp_path, "nm,response\n380,0.6\n420,1\n460,0.7\n500,0.02\n")
    assert nm[-1] == 500


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("nm,response\n400,1\n450,1\n500,1\n", 4, "stops at 500 nm"),
        ("nm,response\n550,1\n600,1\n650,0.5\n700,0\n", 2, "stops at 550 nm"),
        ("nm,response\n0.40,1\n0.45,1\n0.70,0\n", 2, "micrometres"),
        ("nm,response\n400,0\n500,1\n550,1\n700,0\n", 3, "nothing between 400 and 500"),
        ("nm,response\n400,0\n450,1\n450,1\n500,0\n", 4, "450 nm stands there twice"),
        ("nm,response\n400,0\n450,0\n500,0\n", None, "every response is 0"),
        ("nm,response\n500,1\n", None, "fewer than two"),
        ("nm,response\n400,nan\n450,1\n", 2, "no two numbers"),
        ('nm,response\n400,"0,5"\n450,1\n', 2, "no two numbers"),
        ("nm,transmittance\n400,1\n450,1\n", 1, "nm,transmittance"),
        (b"nm,response\n400,\xff\n", None, "not UTF-8"),
        (b"nm,response\n" + b"400,1\n" * 200_000, None, "over 1 MB"),
    ],
)
def test_faults_are_named_with_their_line(
    tmp_path: Path, text: str | bytes, line: int | None, says: str
) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, text)
    problem = caught.value.problems[0]
    assert says in str(problem) and problem.line == line and problem.remedy


def test_all_faults_at_once(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, "nm,response\n400,-1\n450,x\n500,1\n550,-0.2\n")
    assert [p.line for p in caught.value.problems] == [2, 3, 5]


def test_a_filter_is_a_share_not_per_cent(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="share, not per cent"):
        read(tmp_path, "nm,transmittance\n400,10\n450,90\n500,92\n", "transmittance")


@pytest.mark.parametrize("what", ["missing", "folder"])
def test_no_file(tmp_path: Path, what: str) -> None:
    path = tmp_path if what == "folder" else tmp_path / "no.csv"
    with pytest.raises(InputError, match="cannot be read"):
        read_curve(path, "response")
