"""Which paint is in which box: a list of paints, with a column `box` or in the order of the boxes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from palette.errors import InputError, Problem
from palette.paints.card import layout
from palette.swatches.columns import REQUIRED
from palette.swatches.csvfile import read_csv
from palette.swatches.reading import read_table

# A list's own colours give way to those read: a reflectance or a tint kept would contradict them.
_READ = re.compile(r"box|hex|lab_[lab]|spread|(tint_)?nm_?\d.*|tint_([lab]|share|white)|specular")


@dataclass(frozen=True)
class Named:
    """A paint said to be in a box, with the other cells of its row by column."""

    box: int
    id: str
    name: str
    cells: dict[str, str]


def names_of(lists: Sequence[Path]) -> list[str]:
    """Id and name of every paint of swatch lists, in order, as they are printed on a card.

    Raises:
        InputError: a list cannot be read, or holds more paints than a card has sheets for.
    """
    names: list[str] = []
    problems: list[Problem] = []
    for path in lists:
        try:
            table = read_table(path)
        except InputError as error:
            problems += error.problems
            continue
        problems += table.problems
        cells = zip(table.column("id") or [], table.column("name") or [], strict=False)
        names += ["  ".join(dict.fromkeys(word for word in row if word)) for row in cells]
    if problems:
        raise InputError.of(problems)
    most = layout.SHEETS * layout.PER_SHEET
    if len(names) > most:
        what = f"the lists hold {len(names)} paints, and a card has {most} boxes at most"
        raise InputError(Problem(str(lists[-1]), None, what, "print a card for each list"))
    return names


def read_names(path: Path) -> tuple[Named, ...]:
    """Read which paint is in which box.

    Raises:
        InputError: with every problem of every row.
    """
    table = read_csv(path, REQUIRED)
    problems = list(table.problems)
    boxes = table.column("box")
    keep = [column for column in table.columns if not _READ.fullmatch(column) and column not in REQUIRED]
    named: list[Named] = []
    taken: dict[tuple[str, object], int] = {}
    for i, (line, row) in enumerate(zip(table.lines, table.rows, strict=True)):
        cells = {column: row[at] for column, at in table.columns.items()}
        box: int | None = i + 1
        if boxes is not None:
            box = int(boxes[i]) if re.fullmatch(r"[1-9]\d{0,3}", boxes[i]) else None
            if boxes[i] and box is None:
                what = f"box is {boxes[i]!r}"
                problems.append(Problem(table.file, line, what, "write the number printed above the boxes"))
        for column in REQUIRED:
            if not cells.setdefault(column, "") and column in table.columns:
                problems.append(Problem(table.file, line, f"the row has no {column}", "give the paint one"))
        for what, value in (("id", cells["id"]), ("box", box)):
            if value and (what, value) in taken:
                where = f"{what} {value!r} stands on line {taken[what, value]} already"
                remedy = f"give each paint {'an id' if what == 'id' else 'a box'} of its own"
                problems.append(Problem(table.file, line, where, remedy))
            taken.setdefault((what, value), line)
        if box is not None:
            named.append(Named(box, cells["id"], cells["name"], {column: cells[column] for column in keep}))
    if not named and not problems:
        problems.append(Problem(table.file, None, "names no box", "fill the column box, or take it out"))
    if problems:
        raise InputError.of(problems)
    return tuple(named)
