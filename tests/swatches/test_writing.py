"""Changing a list changes what was asked for, as the reader of lists sees it, and nothing else.

Each test fails when what splits a row when writing differs from what splits it when reading.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from palette.commands import group
from palette.errors import InputError
from palette.swatches.columns import REQUIRED
from palette.swatches.csvfile import Table, parse_csv
from palette.swatches.writing import ListDraft, cell_spans

LETTERS = st.text(st.sampled_from("ab6 \"',;\t\n\r#=é\u2028\x1d"), max_size=6)


@st.composite
def lists(draw: st.DrawFn) -> tuple[str, list[str]]:
    """A list as some spreadsheet or editor wrote it, and its ids."""
    delimiter, newline = draw(st.sampled_from(",;\t")), draw(st.sampled_from(["\n", "\r\n", "\r"]))

    def cell(text: str) -> str:
        bare = not text.startswith('"') and not any(sign in text for sign in (delimiter, "\n", "\r"))
        if bare and draw(st.booleans()):
            return text
        return '"' + text.replace('"', '""') + '"'

    def row(cells: list[str]) -> str:
        return delimiter.join(map(cell, cells))

    columns = ["id", "name", "hex", *draw(st.permutations(["owned", "notes", "retired", "Shelf", ""]))]
    columns = columns[: draw(st.integers(3, len(columns)))]
    rows, ids = [row(columns)], []
    if draw(st.booleans()):
        rows.insert(0, f"sep={delimiter}")
    for number in range(draw(st.integers(1, 4))):
        ids.append(f"P{number}")
        rest = draw(st.lists(LETTERS, max_size=len(columns) - 1))
        rows.append(row([ids[-1], *rest]) + delimiter * draw(st.sampled_from([0, 0, 1, 3])))
        if draw(st.integers(0, 5)) == 0:
            rows.append("")
    mark = draw(st.sampled_from(["", "\ufeff"]))
    return mark + newline.join(rows) + draw(st.sampled_from(["", newline])), ids


def read(text: str) -> Table:
    return parse_csv(text.removeprefix("\ufeff"), "list.csv", REQUIRED)


def table(text: str) -> list[dict[str, str]]:
    """Its rows as dictionaries, blank cells and nameless columns left out."""
    content = read(text)
    return [{name: row[at] for name, at in content.columns.items() if row[at]} for row in content.rows]


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    lists(),
    st.data(),
    st.sampled_from(["owned", "retired", "notes", "name"]),
    st.sampled_from(["yes", "no", "", '6" pot', '"x"', "a;b,c\td", "two\nlines"]),
)
def test_a_mark_changes_the_one_cell_as_it_is_read(
    tmp_path: Path, written: tuple[str, list[str]], data: st.DataObject, column: str, value: str
) -> None:
    text, ids = written
    path = tmp_path / "list.csv"
    path.write_bytes(text.encode("utf-8"))
    before = table(text)
    id = data.draw(st.sampled_from(ids))
    draft = ListDraft(path)
    draft.set(id, column, value)
    draft.save()
    after = path.read_bytes().decode("utf-8")
    expected = [{**row, column: value} if row["id"] == id else row for row in before]
    assert table(after) == [{name: cell for name, cell in row.items() if cell} for row in expected]
    lines = io.StringIO(text, newline="").readlines()
    if column in read(text).columns:  # every line of the other rows is as it was
        now = io.StringIO(after, newline="").readlines()
        at = next(line for line, row in zip(read(text).lines, before, strict=True) if row["id"] == id)
        assert now[: at - 1] == lines[: at - 1]


@settings(max_examples=300, deadline=None)
@given(st.lists(LETTERS, min_size=1, max_size=5), st.sampled_from(",;\t"), st.data())
def test_cells_stand_where_pythons_csv_finds_them(
    cells: list[str], delimiter: str, data: st.DataObject
) -> None:
    # the csv module of Python, which is what reads lists, is the judge
    row = delimiter.join(
        text
        if not text.startswith('"')
        and not any(c in text for c in (delimiter, "\n", "\r"))
        and data.draw(st.booleans())
        else '"' + text.replace('"', '""') + '"'
        for text in cells
    )
    (parsed,) = csv.reader(io.StringIO(row, newline=""), delimiter=delimiter, strict=True) if row else ([""],)
    spans = cell_spans(row, delimiter)
    assert parsed == cells and len(spans) == len(cells)
    for (start, end), cell in zip(spans, cells, strict=True):
        bare = row[start:end]
        assert (bare[1:-1].replace('""', '"') if bare.startswith('"') else bare) == cell


def test_quotes_inside_cells_do_not_move_the_columns(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text(
        'id,name,hex,owned,retired,notes\nA,6" pot,#102030,no,no,mine\nB,5" grey,#a0b0c0,,,mine\n'
    )
    words = ["swatches", "mark", str(path), "A", "B", "--owned"]
    assert CliRunner().invoke(group, words).exit_code == 0
    assert (
        path.read_text()
        == 'id,name,hex,owned,retired,notes\nA,6" pot,#102030,yes,no,mine\nB,5" grey,#a0b0c0,yes,,mine\n'
    )
    other = tmp_path / "other.csv"
    other.write_text('id,name,hex,owned,retired,notes\nA,6" pot,#102030,yes,yes,mine\n')
    words = ["swatches", "merge", str(path), str(other), "--out", str(path), "--later-wins"]
    assert CliRunner().invoke(group, words).exit_code == 0
    assert path.read_text().splitlines()[1] == 'A,6" pot,#102030,yes,yes,mine'


def test_a_new_column_takes_no_cell_that_stands_behind_the_header(tmp_path: Path) -> None:
    # fails when a note without a heading becomes what the new column says
    path = tmp_path / "list.csv"
    text = "id,name,hex\nA,One,#102030,yes\nB,Two,#a0b0c0\n"
    path.write_text(text)
    draft = ListDraft(path)
    with pytest.raises(InputError, match=r":2: the row has 4 cells, and the header 3"):
        draft.set("B", "owned", "yes")
    assert not draft.save() and path.read_text() == text
