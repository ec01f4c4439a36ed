"""Changing a swatch list and leaving the rest of it as its owner's spreadsheet wrote it.

Rows that are not touched stay as they are, byte for byte; so do the separator, decimal commas, newlines
and a byte order mark.
"""

from __future__ import annotations

import contextlib
import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import decode, read_bytes, replace_unchanged
from palette.kit.tables import nearest_word
from palette.swatches.cgats import is_cgats
from palette.swatches.columns import REQUIRED
from palette.swatches.csvfile import header_of, parse_csv, plain, records

_MARK = b"\xef\xbb\xbf"


class ListDraft:
    """A CSV being changed; nothing is written before `save`."""

    def __init__(self, path: Path) -> None:
        """Open a list.

        Raises:
            InputError: no list can be made out, or it is an instrument's export, which is not for editing.
        """
        self.path = path
        self._read = read_bytes(path)
        text = decode(self._read, path)
        if is_cgats(text):
            remedy = "merge it into a CSV first: palette swatches merge"
            raise InputError(
                Problem(str(path), None, "is an instrument's export, not a list to edit", remedy)
            )
        table = parse_csv(text, str(path), REQUIRED)
        if wrong := [problem for problem in table.problems if problem.line == table.header_line]:
            raise InputError.of(wrong)
        self._delimiter, header = header_of(text, REQUIRED)
        assert header is not None
        self._lines = io.StringIO(text, newline="").readlines()
        self._newline = "\r\n" if "\r\n" in text else "\r" if "\r" in text and "\n" not in text else "\n"
        self._columns = [plain(cell) for cell in header.cells]
        self._header = header.first
        at = self._columns.index("id")
        self._rows: dict[str, tuple[int, int]] = {}  # id -> its first and last line
        self._again: dict[str, int] = {}  # id -> the line where it stands a second time
        too_long = set()
        for record in records(text, self._delimiter):
            if any(cell.strip() for cell in record.cells[len(header.cells) :]):
                too_long.add(record.first)
            if record.first > header.last and len(record.cells) > at and record.cells[at].strip():
                id = record.cells[at].strip()
                if id in self._rows:
                    self._again.setdefault(id, record.first)
                self._rows.setdefault(id, (record.first, record.last))
        self._too_long = [problem for problem in table.problems if problem.line in too_long]
        self._end = max([header.last, *(last for _, last in self._rows.values())])
        self._added: list[str] = []
        self._spans = {first: last for first, last in [(header.first, header.last), *self._rows.values()]}

    @property
    def ids(self) -> list[str]:
        return list(self._rows)

    def wrong(self, id: str) -> Problem | None:
        """Why no cell can be set for an id: no paint has it, or two have."""
        if id in self._again:
            what = f"id {id!r} stands on line {self._rows[id][0]} already"
            return Problem(str(self.path), self._again[id], what, "give each paint an id of its own")
        if id in self._rows:
            return None
        near = nearest_word(id, self._rows)
        remedy = f"did you mean {near!r}?" if near else "name an id of this list"
        return Problem(str(self.path), None, f"no paint has the id {id!r}", remedy)

    def set(self, id: str, column: str, value: str) -> None:
        """Write one cell; a column the list lacks is added behind the others.

        Raises:
            InputError: no paint has that id, or two have.
        """
        if wrong := self.wrong(id):
            raise InputError(wrong)
        self._need(column)
        self._write_cell(self._rows[id][0], self._columns.index(column), value)

    def add(self, cells: Mapping[str, str]) -> None:
        """Put a new paint behind the others, its cells by column; columns the list lacks are added."""
        for column in cells:
            self._need(column)
        self._added.append(csv_line((cells.get(column, "") for column in self._columns), self._delimiter))

    def remove(self, id: str) -> None:
        """Take out the row of a paint.

        Raises:
            InputError: no paint has that id, or two have.
        """
        if wrong := self.wrong(id):
            raise InputError(wrong)
        first, last = self._rows.pop(id)
        self._lines[first - 1 : last] = [""] * (last - first + 1)

    def _need(self, column: str) -> None:
        """Add a column behind the others, unless the list has it.

        Raises:
            InputError: a row has more cells than the header, which would fall into the new column.
        """
        if column not in self._columns:
            if self._too_long:
                raise InputError.of(self._too_long)
            self._write_cell(self._header, len(self._columns), column)
            self._columns.append(column)

    @property
    def read(self) -> bytes:
        """The file as it was read, or as it was saved last."""
        return self._read

    @property
    def raw(self) -> bytes:
        """The file as it is to be."""
        before, after = "".join(self._lines[: self._end]), "".join(self._lines[self._end :])
        if self._added and not before.endswith(("\n", "\r")):
            before += self._newline
        raw = (before + "".join(line + self._newline for line in self._added) + after).encode("utf-8")
        return _MARK + raw if self._read.startswith(_MARK) else raw

    def save(self) -> bool:
        """Replace the file; False where nothing had to be changed.

        Raises:
            InputError: someone else has changed the file meanwhile, or it cannot be written.
        """
        raw = self.raw
        if raw == self._read:
            return False
        replace_unchanged(self.path, self._read, raw)
        self._read = raw
        return True

    def _write_cell(self, first: int, column: int, value: str) -> None:
        """Change one cell of the row that begins on a line; its lines become one element of `_lines`.

        The reader has the last word: where the row as patched would not be read as the old one but for that
        cell, it is written anew.
        """
        last = self._spans[first]
        raw = "".join(self._lines[first - 1 : last])
        body = raw.rstrip("\r\n")
        old = self._cells(body)
        if column < len(old) and old[column].strip() == value:
            return
        new = [*old, *[""] * (column + 1 - len(old))]
        new[column] = value
        patched = self._patched(body, len(old), column, value)
        if self._cells(patched) != new:
            patched = csv_line(new, self._delimiter)
        self._lines[first - 1] = patched + raw[len(body) :]
        self._lines[first:last] = [""] * (last - first)

    def _cells(self, row: str) -> list[str]:
        """A row's cells as the reader sees them; none where it sees no single row."""
        with contextlib.suppress(csv.Error):
            rows = list(records(row, self._delimiter))
            return rows[0].cells if len(rows) == 1 else []
        return []

    def _patched(self, row: str, count: int, column: int, value: str) -> str:
        written = csv_line([value], self._delimiter) if value else ""
        if column >= count:
            return row + self._delimiter * (column - count + 1) + written
        spans = cell_spans(row, self._delimiter)
        if len(spans) != count:
            return row
        start, end = spans[column]
        return row[:start] + written + row[end:]


def cell_spans(row: str, delimiter: str) -> list[tuple[int, int]]:
    """Where each cell of one row stands, quotes included; only a quote that begins a cell quotes it."""
    spans, start = [], 0
    cell = re.compile(rf'"(?:[^"]|"")*"|[^{re.escape(delimiter)}]*')
    while True:
        match = cell.match(row, start)
        assert match is not None  # a cell may be empty
        spans.append((start, match.end()))
        if match.end() >= len(row):
            return spans
        start = match.end() + 1


def csv_line(cells: Iterable[str], delimiter: str = ",") -> str:
    """One row, quoted where it has to be, without a newline."""
    line = io.StringIO()
    csv.writer(line, delimiter=delimiter, lineterminator="\r\n").writerow(list(cells))
    return line.getvalue()[:-2]


def csv_text(columns: Sequence[str], rows: Iterable[Mapping[str, str]]) -> str:
    """A whole list: a header, then the cells of each row by column."""
    lines = [csv_line(columns), *(csv_line(row.get(column, "") for column in columns) for row in rows)]
    return "\n".join([*lines, ""])
