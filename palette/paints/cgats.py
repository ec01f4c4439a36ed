"""Instrument exports in CGATS.17 / ISO 28178 text, as the same table that a CSV gives.

Read: SAMPLE_ID, SAMPLE_NAME, LAB_L/A/B, XYZ_X/Y/Z, spectra (SPECTRAL_NM400, NM_400, SPECTRAL_400,
R_400 and their likes), and any column that carries one of palette's own names. A light that the
header states for Lab and XYZ is honoured: these are carried to D65 by the Bradford transform (ICC.1,
annex E); where none is stated they are taken to be under D65 already. Spectra need no light.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from palette.colour.spaces import Array, lab_to_xyz, xyz_to_lab
from palette.colour.spectra import tristimulus
from palette.errors import InputError, Problem
from palette.paints.csvfile import Table, plain

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
_BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def is_cgats(text: str) -> bool:
    """Whether a text is in this form: it has a data format section near its top."""
    return re.search(r"^\s*BEGIN_DATA_FORMAT\b", text[:100_000], re.MULTILINE) is not None


def parse_cgats(text: str, file: str) -> Table:
    """Every data set of a text, as a table with palette's column names.

    Raises:
        InputError: no readable data section, or no column to tell the samples apart by.
    """
    fields: list[str] = []
    field_line = 0
    light: str | None = None
    ten_degrees = None
    stated_sets = None
    section = ""
    rows: list[list[str]] = []
    lines: list[int] = []
    problems: list[Problem] = []
    cells: list[str] = []
    for line, tokens, tabbed in _lines(text):
        word = tokens[0].upper()
        if word == "BEGIN_DATA_FORMAT":
            section, fields, field_line = word, [], line
            tokens = tokens[1:]
        elif word in ("END_DATA_FORMAT", "END_DATA"):
            if word == "END_DATA" and cells:
                problems.append(_short(file, lines.pop(), cells, fields))
                cells = []
            section = ""
            continue
        elif word == "BEGIN_DATA":
            if rows:
                what = "the file holds more than one table"
                problems.append(Problem(file, line, what, "put each in a file of its own"))
                break
            section = word
            continue
        if section == "BEGIN_DATA_FORMAT":
            fields += [token for token in tokens if token]
        elif section == "BEGIN_DATA":
            if not cells:
                lines.append(line)
                tokens = _fitted(tokens, len(fields)) if tabbed else tokens
            cells += tokens  # a set may run over several lines
            if len(cells) > len(fields):
                problems.append(_short(file, lines.pop(), cells, fields))
                cells = []
            elif len(cells) == len(fields):
                rows.append(cells)
                cells = []
        elif word == "NUMBER_OF_SETS":
            stated_sets = (line, tokens[-1])
        else:
            said = " ".join(tokens).upper()
            if _TEN_DEGREES.search(said):
                ten_degrees = line
            if found := _LIGHT.search(said):
                light = re.sub(r"^FL?", "FL", found[1])
    if not fields:
        raise InputError(
            Problem(file, field_line or None, "the data format section is empty", "export it again")
        )
    if section or (not rows and not problems):
        what = "the file breaks off before END_DATA" if section else "the file holds no data section"
        problems.append(Problem(file, text.count("\n") + 1, what, "export it again"))
    if stated_sets and stated_sets[1].isdigit() and int(stated_sets[1]) != len(rows) and not problems:
        what = f"NUMBER_OF_SETS says {stated_sets[1]}, and the data has {len(rows)}"
        problems.append(Problem(file, stated_sets[0], what, "export it again, or correct the number"))
    return _as_table(file, field_line, fields, rows, lines, problems, light, ten_degrees)


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


def _short(file: str, line: int, cells: list[str], fields: list[str]) -> Problem:
    what = f"the set has {len(cells)} values, and the data format {len(fields)}"
    return Problem(file, line, what, "export it again, or complete the set")


def _as_table(
    file: str,
    field_line: int,
    fields: list[str],
    rows: list[list[str]],
    lines: list[int],
    problems: list[Problem],
    light: str | None,
    ten_degrees: int | None,
) -> Table:
    names = [_name(field) for field in fields]
    if "id" not in names and "name" not in names:
        raise InputError(
            Problem(file, field_line, "no SAMPLE_ID or SAMPLE_NAME", "export the samples' names too")
        )
    for missing, present in (("id", "name"), ("name", "id")):
        if missing not in names:
            at = names.index(present)
            names.append(missing)
            for row in rows:
                row.append(row[at])
    columns: dict[str, int] = {}
    for i, name in enumerate(names):
        columns.setdefault(name, i)
    table = Table(file, columns, rows, lines, field_line, problems)
    spectral = any(name.startswith("nm") for name in columns)
    if not spectral:
        _to_d65(table, light, ten_degrees)
        if not any(name in columns for name in (*_LAB, "hex")) and not problems:
            problems.append(
                Problem(file, field_line, "no LAB, XYZ or spectral columns", "export one of these too")
            )
    elif not all(name in columns for name in _LAB) or light not in (None, "D65") or ten_degrees:
        for name in _LAB:  # the spectra say it better
            columns.pop(name, None)
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


def adapted(xyz: Array, white: Array, to: Array) -> Array:
    """XYZ (…, 3) seen under one white carried to another by the Bradford transform (ICC.1, annex E)."""
    gains = (_BRADFORD @ to) / (_BRADFORD @ white)
    return np.asarray(xyz @ (np.linalg.inv(_BRADFORD) @ (gains[:, None] * _BRADFORD)).T)
