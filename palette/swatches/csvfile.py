"""A swatch list as a spreadsheet writes it: one header row, one paint a row, nothing judged yet.

Commas, semicolons or tabs, quoted cells, decimal commas, any newline, stray blank rows and an `sep=;`
line on top are all read; the text itself is UTF-8, with or without a byte order mark.
"""

from __future__ import annotations

import csv
import io
import itertools
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import read_text

DELIMITERS = ",;\t"
_LIKELY = {  # what people call a column, too; not beyond doubt, so it is asked about
    "id": (
        *("nr", "nr.", "no", "no.", "num", "number", "code", "ref", "ref.", "reference", "sku", "item", "#"),
        *(
            "nummer",
            "art._nr.",
            "artikelnummer",
            "bestellnummer",
            "farbnummer",
            "paint_id",
            "paint_no",
            "id_no",
        ),
    ),
    "name": (
        *("title", "colour", "color", "paint", "colour_name", "color_name", "paint_name", "description"),
        *("farbe", "farbname", "farbton", "bezeichnung", "nom", "nombre", "couleur", "paint_colour"),
    ),
}
_LIKELY_COLOURS = (  # what holds a colour under another name, and what to do
    (re.compile(r"hex.+|html.*|web|.*_hex|rgb_?hex|#"), "call it hex"),
    (
        re.compile(r"rgb.*|s_?rgb.*|[rgb]|red|green|blue|[rgb]_?\(?0.*"),
        "write the colour as #rrggbb under hex",
    ),
    (
        re.compile(r"(?:cie_?)?[ch](?:_?ab)?_?\*?|lch.*|hue|chroma"),
        "write L*, a* and b* under lab_l, lab_a, lab_b",
    ),
    (
        re.compile(r"(?:cie_?)?lab.*|(?:cie_?)?[lab]_?\*?.*\(?d50.*"),
        "give lab_l, lab_a, lab_b, and a column illuminant",
    ),
    (re.compile(r"r?[3-7]\d0(?:_?nm)?"), "call the reflectances nm400, nm410 and so on"),
    (re.compile(r"farbe|farbwert|colour|color|couleur|swatch|value"), "call it hex where it holds #rrggbb"),
)
_LAB = ("lab_l", "lab_a", "lab_b")
_OF_LAB = re.compile(r"(?:cie_?)?(?:lab_?)?([lab])_?\*?")  # beyond doubt where there are all three
_DEEPEST_HEADER = 20  # rows that are looked at for a header
_LIGHT = re.compile(r"#.*\billuminant\b[\s:=]*(\S+)", re.IGNORECASE)


@dataclass(frozen=True)
class Table:
    """Rows of cells, with what each column is called and the line each row begins on."""

    file: str
    columns: dict[str, int]  # name, in lower case and with _ for blanks -> position
    rows: list[list[str]]  # as many cells each as the header, blanks round them taken away
    lines: list[int]
    header_line: int
    problems: list[Problem] = field(default_factory=list)
    remarks: list[Problem] = field(default_factory=list)  # what the reading itself has to say

    def column(self, name: str) -> list[str] | None:
        """The cells of a column, or None where there is no such column."""
        at = self.columns.get(name)
        return None if at is None else [row[at] for row in self.rows]


@dataclass(frozen=True)
class Record:
    """The cells of one row as written, and its first and last line."""

    cells: list[str]
    first: int
    last: int


def plain(header: str) -> str:
    """A column's name as palette compares it: 'Lab L ' is 'lab_l'."""
    return "_".join(header.casefold().replace("-", " ").replace("_", " ").split())


def records(text: str, delimiter: str) -> Iterable[Record]:
    """The rows of a delimited text, blank ones too.

    Raises:
        csv.Error: a quote that is never closed, or is followed by more text.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    first = 1
    for cells in reader:
        yield Record(cells, first, reader.line_num)
        first = reader.line_num + 1


def header_of(text: str, wanted: Iterable[str]) -> tuple[str, Record | None]:
    """The delimiter that finds most of the `wanted` columns in the first row, and that row."""
    best: tuple[int, int, str, Record | None] = (-1, -1, ",", None)
    for delimiter in DELIMITERS:
        try:
            row = next((r for r in records(text, delimiter) if _is_header(r.cells)), None)
        except csv.Error:
            continue
        if row is not None:
            names = {plain(cell) for cell in row.cells}
            score = (len(names.intersection(wanted)), len(row.cells))
            if score > best[:2]:
                best = (*score, delimiter, row)
    return best[2], best[3]


def _is_header(cells: list[str]) -> bool:
    first = cells[0].strip().lower() if cells else ""
    comment = first.startswith("#") and len(first) > 1
    return any(cell.strip() for cell in cells) and not comment and not first.startswith("sep=")


def read_csv(path: Path, required: tuple[str, ...]) -> Table:
    """Read a delimited text with a header row that names the `required` columns.

    Rows that are too long, a column named twice, and a required one that is missing beside others that are
    there become problems of the table, so that what else is wrong is found too.

    Raises:
        InputError: no such text, no header, or broken quotes.
    """
    return parse_csv(read_text(path), str(path), required)


def parse_csv(text: str, file: str, required: tuple[str, ...]) -> Table:
    """`read_csv` of a text already in hand."""
    delimiter, header = header_of(text, required)
    if header is None:
        raise InputError(_broken(text, file, delimiter))
    names = _lab_names([plain(cell) for cell in header.cells])
    if likely := _likely(names, required, file, header):
        raise InputError.of(likely)
    if not set(required).intersection(names):
        raise InputError(_no_header(text, file, delimiter, header, required))
    columns = {name: i for i, name in enumerate(names) if name}
    width = len(names)
    table = Table(file, columns, [], [], header.first, _header_problems(names, required, file, header))
    try:
        for record in records(text, delimiter):
            if record.first <= header.last:
                continue
            cells = list(map(str.strip, record.cells))
            if not any(cells):
                continue
            if len(cells) < width:
                cells += [""] * (width - len(cells))
            elif len(cells) > width:
                if any(cells[width:]):
                    table.problems.append(_too_long(file, record, width, delimiter))
                del cells[width:]
            table.rows.append(cells)
            table.lines.append(record.first)
    except csv.Error:
        raise InputError(_broken(text, file, delimiter)) from None
    _add_light(table, text, delimiter, header)
    return table


def _lab_names(names: list[str]) -> list[str]:
    """The names with L, a and b called as palette calls them, where the list has no others for them."""
    letters = [match[1] if (match := _OF_LAB.fullmatch(name)) else "" for name in names]
    if set(_LAB) & set(names) or sorted(filter(None, letters)) != ["a", "b", "l"]:
        return names
    return [f"lab_{letter}" if letter else name for name, letter in zip(names, letters, strict=True)]


def likely_colour(table: Table) -> tuple[str, str] | None:
    """A column that looks like a colour under another name, and what to do, where a list names none."""
    for pattern, remedy in _LIKELY_COLOURS:
        for name in table.columns:
            if pattern.fullmatch(name) and name not in ("id", "name"):
                return name, remedy
    return None


def _likely(names: list[str], required: tuple[str, ...], file: str, header: Record) -> list[Problem]:
    """A required column that goes by another name, one problem each."""
    problems = []
    for wanted in required:
        if wanted in names:
            continue
        for name, cell in zip(names, header.cells, strict=True):
            if name in _LIKELY.get(wanted, ()):
                what = f"column {cell.strip()!r} looks like the {wanted}"
                problems.append(Problem(file, header.first, what, f"call it {wanted}"))
                break
    return problems


def _add_light(table: Table, text: str, delimiter: str, header: Record) -> None:
    """Give every row the illuminant that a comment above the header states for all of them."""
    for record in records(text, delimiter):
        if record.first >= header.first or "illuminant" in table.columns:
            return
        if stated := _LIGHT.match(delimiter.join(record.cells).strip()):
            table.columns["illuminant"] = len(header.cells)
            for row in table.rows:
                row.append(stated[1])


def _no_header(text: str, file: str, delimiter: str, header: Record, required: tuple[str, ...]) -> Problem:
    """The problem of a text whose first row is no header, and where its header is, if anywhere."""
    for separator in (delimiter, "|", ":"):
        for record in itertools.islice(records(text, separator), _DEEPEST_HEADER):
            if not set(required) <= {plain(cell) for cell in record.cells}:
                continue
            if separator != delimiter:
                what = f"its cells are parted by {separator!r}"
                return Problem(file, record.first, what, "save it with commas, semicolons or tabs")
            what = f"the header stands on line {record.first}, below other rows"
            return Problem(file, header.first, what, "take the rows above it out")
    what = f"the first row names no column {' or '.join(required)}"
    return Problem(file, header.first, what, f"put a header row on top, such as {','.join(required)},hex")


def _header_problems(names: list[str], required: tuple[str, ...], file: str, header: Record) -> list[Problem]:
    problems = [
        Problem(file, header.first, f"the header has no column {name!r}", "add it, and fill it for every row")
        for name in required
        if name not in names
    ]
    for name in dict.fromkeys(n for n in names if n and names.count(n) > 1):
        what = f"the header names column {name!r} twice"
        problems.append(Problem(file, header.first, what, "take one of them out"))
    return problems


def _too_long(file: str, record: Record, width: int, delimiter: str) -> Problem:
    what = f"the row has {len(record.cells)} cells, and the header {width}"
    if delimiter == ",":
        return Problem(file, record.first, what, "quote cells that hold a comma, decimal commas too")
    return Problem(file, record.first, what, "quote cells that hold the separator")


def _broken(text: str, file: str, delimiter: str) -> Problem:
    """Where the quotes of a text go wrong; it has been found that they do."""
    first, longest = 1, csv.field_size_limit()
    try:
        for record in records(text, delimiter):
            first = record.last + 1
    except csv.Error as error:
        if "field limit" in str(error):
            what = f"a cell is longer than {longest:,} characters"
            return Problem(file, first, what, "shorten it, or close its quotes")
    what = "a quoted cell is not closed, or goes on after its quote"
    return Problem(file, first, what, "double the quotes inside a cell, and close it")
