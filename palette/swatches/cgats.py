"""Instrument exports in CGATS.17 / ISO 28178 text, as the same table that a CSV gives.

Read: SAMPLE_ID, SAMPLE_NAME, LAB_L/A/B, XYZ_X/Y/Z, spectra (SPECTRAL_NM400, NM_400, SPECTRAL_400,
R_400 and their likes), and any column that carries one of palette's own names. A light that the
header states for Lab and XYZ is honoured: these are carried to D65 by the Bradford transform (ICC.1,
annex E); where none is stated they are taken to be under D65 already. Spectra need no light.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from palette.colour.adaptation import adapted
from palette.colour.spaces import lab_to_xyz, xyz_to_lab
from palette.colour.spectra import tristimulus
from palette.errors import InputError, Problem
from palette.swatches.csvfile import Table, plain

_TOKEN = re.compile(r'"((?:[^"]|"")*)"|(\S+)')
_SPECTRAL = re.compile(r"(?:spectral|spec|nm|r|refl)?(?:_?(?:nm|r))?_?(\d{3,4}(?:\.\d+)?)(?:_?nm)?")
_FIELDS = {
    "sample_id": "id",
    "sampleid": "id",
    "sample_name": "name",
    "lab_l": "lab_l",
    "lab_a": "lab_a",
    "lab_b": "lab_b",
}
_XYZ = ("xyz_x", "xyz_y", "xyz_z")
_LAB = ("lab_l", "lab_a", "lab_b")
_LIGHT = re.compile(r"ILLUMIN\w*[\s,=:]+(A|C|E|D50|D55|D65|D75|FL?2|FL?7|FL?11)\b")
_TEN_DEGREES = re.compile(r"(?:OBSERVER|ANGLE)\w*[\s,=:]+10\b")


def is_cgats(text: str) -> bool:
    """Whether a text is in this form: it has a data format section near its top."""
    return re.search(r"^\s*BEGIN_DATA_FORMAT\b", text[:100_000], re.MULTILINE) is not None


@dataclass
class _Export:
    """What has been read of a text so far."""

    file: str
    fields: list[str] = field(default_factory=list)
    field_line: int | None = None
    light: str | None = None  # that Lab and XYZ are under, where stated
    ten_degrees: int | None = None  # the line that states the 10-degree observer
    stated_sets: tuple[int, str] | None = None
    sets: list[list[str]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    begun: list[str] = field(default_factory=list)  # a set whose values go on on the next line
    problems: list[Problem] = field(default_factory=list)

    def problem(self, line: int, what: str, remedy: str) -> None:
        self.problems.append(Problem(self.file, line, what, remedy))

    def header(self, line: int, tokens: list[str]) -> None:
        said = " ".join(tokens).upper()
        if tokens[0].upper() == "NUMBER_OF_SETS":
            self.stated_sets = (line, tokens[-1])
        if _TEN_DEGREES.search(said):
            self.ten_degrees = line
        if match := _LIGHT.search(said):
            self.light = re.sub(r"^FL?", "FL", match[1])

    def data(self, line: int, tokens: list[str], tabbed: bool) -> None:
        if not self.begun:
            self.lines.append(line)
            tokens = _fitted(tokens, len(self.fields)) if tabbed else tokens
        self.begun += tokens
        if len(self.begun) > len(self.fields):
            self.short()
        elif len(self.begun) == len(self.fields):
            self.sets.append(self.begun)
            self.begun = []

    def short(self) -> None:
        """Give up the set that has been begun."""
        what = f"the set has {len(self.begun)} values, and the data format {len(self.fields)}"
        self.problem(self.lines.pop(), what, "export it again, or complete the set")
        self.begun = []


def parse_cgats(text: str, file: str) -> Table:
    """The data sets of a text, as a table with palette's column names.

    Raises:
        InputError: no data format, no colour, or no column to tell the samples apart by.
    """
    export = _Export(file)
    section = ""
    for line, tokens, tabbed in _lines(text):
        word = tokens[0].upper()
        if word in ("END_DATA_FORMAT", "END_DATA"):
            section = ""
        elif word == "BEGIN_DATA":
            if export.sets:
                export.problem(line, "the file holds more than one table", "put each in a file of its own")
                break
            section = word
        elif word == "BEGIN_DATA_FORMAT":
            section, export.field_line = word, line
            export.fields = [token for token in tokens[1:] if token]
        elif section == "BEGIN_DATA_FORMAT":
            export.fields += [token for token in tokens if token]
        elif section == "BEGIN_DATA":
            export.data(line, tokens, tabbed)
        else:
            export.header(line, tokens)
    if export.begun:
        export.short()
    if not export.fields:
        raise InputError(Problem(file, export.field_line, "the data format is empty", "export it again"))
    if section or (not export.sets and not export.problems):
        what = "the file breaks off before END_DATA" if section else "the file holds no data"
        export.problem(text.count("\n") + 1, what, "export it again")
    stated = export.stated_sets
    if stated and stated[1].isdigit() and int(stated[1]) != len(export.sets) and not export.problems:
        what = f"NUMBER_OF_SETS says {stated[1]}, and the data has {len(export.sets)}"
        export.problem(stated[0], what, "export it again, or correct the number")
    return _as_table(export)


def _lines(text: str) -> Iterator[tuple[int, list[str], bool]]:
    """Each line that says something: its tokens without their quotes, and whether tabs part them."""
    for line, raw in enumerate(re.split(r"\r\n|\r|\n", text), 1):
        if raw.lstrip().startswith("#"):
            continue
        tabbed = "\t" in raw.strip()
        if tabbed:
            tokens = [_unquoted(cell.strip()) for cell in raw.split("\t")]
        else:
            tokens = [bare or quoted.replace('""', '"') for quoted, bare in _TOKEN.findall(raw)]
        if any(tokens):
            yield line, tokens, tabbed


def _fitted(tokens: list[str], width: int) -> list[str]:
    """A tabbed line holds one set: blank cells at its end may be missing or too many."""
    while len(tokens) > width and not tokens[-1]:
        tokens = tokens[:-1]
    return tokens + [""] * (width - len(tokens))


def _unquoted(cell: str) -> str:
    if len(cell) >= 2 and cell[0] == cell[-1] == '"':
        return cell[1:-1].replace('""', '"')
    return cell


def _as_table(export: _Export) -> Table:
    names = [_name(name) for name in export.fields]
    at_line = export.field_line or 1
    if "id" not in names and "name" not in names:
        what = "there is no SAMPLE_ID or SAMPLE_NAME"
        raise InputError(Problem(export.file, at_line, what, "export the samples' names too"))
    for missing, present in (("id", "name"), ("name", "id")):
        if missing not in names:
            at = names.index(present)
            names.append(missing)
            for row in export.sets:
                row.append(row[at])
    columns: dict[str, int] = {}
    for i, name in enumerate(names):
        columns.setdefault(name, i)
    table = Table(export.file, columns, export.sets, export.lines, at_line, export.problems)
    if any(name.startswith("nm") for name in columns):
        if export.light not in (None, "D65") or export.ten_degrees:
            for name in _LAB:  # the spectra say it better
                columns.pop(name, None)
        return table
    _to_d65(table, export.light, export.ten_degrees)
    if not any(name in columns for name in (*_LAB, "hex")) and not export.problems:
        what = "there are no LAB, XYZ or spectral columns"
        raise InputError(Problem(export.file, at_line, what, "export one of these too"))
    return table


def _name(field: str) -> str:
    name = plain(field)
    if name in _FIELDS:
        return _FIELDS[name]
    spectral = _SPECTRAL.fullmatch(name)
    if spectral and 200 <= float(spectral[1]) <= 1200:
        return f"nm{float(spectral[1]):g}"
    return name


def _to_d65(table: Table, light: str | None, ten_degrees: int | None) -> None:
    """XYZ to Lab, and Lab under another light to Lab under D65, in the table's own cells."""
    columns = table.columns
    if ten_degrees is not None:
        what = "the colours are for the 10-degree observer, and there are no spectra"
        table.problems.append(Problem(table.file, ten_degrees, what, "export spectra, or for 2 degrees"))
        return
    from_xyz = not all(name in columns for name in _LAB) and all(name in columns for name in _XYZ)
    if not from_xyz and (light in (None, "D65") or not all(name in columns for name in _LAB)):
        return
    source = _XYZ if from_xyz else _LAB
    try:
        cells = [[float(row[columns[name]].replace(",", ".")) for name in source] for row in table.rows]
    except ValueError:
        return _bad_number(table, source)
    values = np.array(cells, dtype=np.float64).reshape(-1, 3)
    white = tristimulus(light or "D65")[1]
    xyz = values / (100 if values[:, 1].max(initial=0) > 2 else 1) if from_xyz else lab_to_xyz(values, white)
    lab = xyz_to_lab(adapted(xyz, white, tristimulus("D65")[1]), tristimulus("D65")[1])
    if light not in (None, "D65"):
        what = f"Lab under {light} was carried to D65 by chromatic adaptation; spectra would say it better"
        table.remarks.append(Problem(table.file, table.header_line, what))
    for name in _LAB:
        columns[name] = len(columns) if name not in columns else columns[name]
    width = max(columns.values()) + 1
    for row, colour in zip(table.rows, lab, strict=True):
        row += [""] * (width - len(row))
        for name, value in zip(_LAB, colour, strict=True):
            row[columns[name]] = repr(float(value))


def _bad_number(table: Table, source: tuple[str, ...]) -> None:
    for row, line in zip(table.rows, table.lines, strict=True):
        for name in source:
            cell = row[table.columns[name]]
            try:
                float(cell.replace(",", "."))
            except ValueError:
                what = f"{name.upper()} is {cell!r}, which is no number"
                table.problems.append(Problem(table.file, line, what, "correct it"))
