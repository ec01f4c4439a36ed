"""Colours asked about: one as the command line gives it, or many from a file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.files import read_text
from palette.kit.tables import nearest_word
from palette.swatches.columns import columns
from palette.swatches.csvfile import Table, parse_csv
from palette.swatches.model import SwatchList


@dataclass(frozen=True)
class Asked:
    """A colour asked about: what its asker calls it, and CIELAB D65 (3,)."""

    id: str
    lab: Array


def read_colours(path: Path, text: str | None = None) -> list[Asked]:
    """The colours of a CSV with columns `id` and `hex`, or `lab_l`, `lab_a` and `lab_b`; Lab where both are.

    `text` is the file's content where it is already in hand. Reflectances are read too, as in a swatch
    list, and other columns are passed over.

    Raises:
        InputError: with every problem of every row: a bad number, no colour, no id, or one used twice.
    """
    table = parse_csv(read_text(path) if text is None else text, str(path), ("id",))
    colours = columns(_with_names(table))
    problems = list(colours.problems)
    first: dict[str, int] = {}
    told = {problem.line for problem in problems}
    for id, line, measured in zip(colours.ids, table.lines, colours.measured, strict=True):
        if id and id in first:
            what = f"id {id!r} is used on line {first[id]} too"
            problems.append(Problem(str(path), line, what, "give every colour an id of its own"))
        first.setdefault(id, line)
        if not measured and line not in told:
            remedy = "fill hex, or lab_l, lab_a and lab_b"
            problems.append(Problem(str(path), line, f"{id!r} has no colour", remedy))
    if not table.rows:
        problems.append(Problem(str(path), None, "the file holds no colour", "add a row for each colour"))
    if problems:
        raise InputError.of(sorted(problems, key=lambda problem: problem.line or 0))
    return [Asked(id, lab) for id, lab in zip(colours.ids, colours.lab, strict=True)]


def swatch_colour(id: str, swatches: SwatchList) -> Asked:
    """The colour of a swatch of the list.

    Raises:
        InputError: the list has no such swatch.
    """
    for swatch in swatches.swatches:
        if swatch.id == id:
            return Asked(id, swatch.lab)
    near = nearest_word(id, swatches.ids)
    remedy = f"did you mean {near!r}?" if near else "take an id from the lists given"
    raise InputError(Problem(None, None, f"no swatch with a colour has the id {id!r}", remedy))


def _with_names(table: Table) -> Table:
    """The columns a colour is in, with a name for every row, which a swatch list must have."""
    kept = {
        name: at for name, at in table.columns.items() if name in _COLOUR_COLUMNS or name.startswith("nm")
    }
    columns = {**kept, "id": table.columns["id"], "name": max(table.columns.values()) + 1}
    rows = [[*row[: columns["name"]], "-"] for row in table.rows]
    return Table(table.file, columns, rows, table.lines, table.header_line, table.problems, table.remarks)


_COLOUR_COLUMNS = ("hex", "lab_l", "lab_a", "lab_b", "illuminant")
