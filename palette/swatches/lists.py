"""Swatch lists over time: merged, compared, and replacements found for what is no longer made."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from palette.colour.difference import difference
from palette.colour.spectra import NM
from palette.errors import InputError, Problem
from palette.kit.tables import nearest_word
from palette.swatches.columns import Columns
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList
from palette.swatches.reading import load, swatches_of
from palette.swatches.writing import ListDraft, csv_text

_NM = re.compile(r"(tint_)?nm_?[\d.]+")
_NUMBER = re.compile(r"[+-]?\d*,\d+")


def merge(paths: Sequence[Path], later_wins: bool = False) -> tuple[str, int]:
    """Several lists as the text of one CSV, and how many paints it holds.

    Columns are those of all lists, in their order; cells are kept as written, but for decimal commas,
    which become points. Reflectances on different wavelengths, or partly in percent, are brought to
    400…700 nm in steps of 10. A paint that stands in two lists alike is written once.

    Raises:
        InputError: a list cannot be read, or, unless `later_wins`, one id stands for different rows.
    """
    rows, columns = _merged(_read_all(paths), later_wins)
    return csv_text(columns, rows.values()), len(rows)


def merge_into(path: Path, paths: Sequence[Path], later_wins: bool = False) -> tuple[int, int]:
    """`merge`, written into `path`, which is one of them: how many paints it then holds, and in how many rows
    something was changed or added. Rows that stay as they were keep their place and every byte; new ones come
    behind them, with decimal commas where the list has these.

    Raises:
        InputError: as `merge`; `path` is an instrument's export, has reflectances on other wavelengths than
            the rest, was changed meanwhile or cannot be written.
    """
    draft = ListDraft(path)
    lists = _read_all(paths)
    if len(_spectra(lists)) > 1:
        what = "the lists have reflectances on different wavelengths, or partly in percent"
        raise InputError(Problem(str(path), None, what, "merge them into a file of another name"))
    rows, _ = _merged(lists, later_wins)
    own = next(each for each, read in zip(lists, paths, strict=True) if read.resolve() == path.resolve())
    before = dict(zip(own.ids, _rows(own, resample=False), strict=True))
    commas = any(_NUMBER.fullmatch(cell) for cells in own.table.rows for cell in cells)

    def written(cell: str) -> str:
        return cell.replace(".", ",") if commas and re.fullmatch(r"[+-]?\d*\.\d+", cell) else cell

    touched = 0
    for id, cells in rows.items():
        if id not in before:
            draft.add({column: written(cell) for column, cell in cells.items()})
            touched += 1
            continue
        was = before[id]
        new = {c: cells.get(c, "") for c in {**was, **cells} if cells.get(c, "") != was.get(c, "")}
        for column, cell in new.items():
            draft.set(id, column, written(cell))
        touched += bool(new)
    draft.save()
    return len(rows), touched


def _read_all(paths: Sequence[Path]) -> list[Columns]:
    """The columns of lists read one by one, so that an id may stand in several."""
    lists: list[Columns] = []
    problems: list[Problem] = []
    for path in paths:
        read, wrong = load([path])
        lists += read
        problems += wrong
    if problems:
        raise InputError.of(problems)
    return lists


def _merged(lists: Sequence[Columns], later_wins: bool) -> tuple[dict[str, dict[str, str]], list[str]]:
    """The cells of each paint by id and column, blank ones left out; and the columns."""
    problems: list[Problem] = []
    columns: dict[str, None] = {}
    rows: dict[str, dict[str, str]] = {}
    first: dict[str, Problem] = {}
    resample = len(_spectra(lists)) > 1
    for paints in lists:
        for row, cells in zip(range(len(paints.ids)), _rows(paints, resample), strict=True):
            columns.update(dict.fromkeys(cells))
            cells = {column: cell for column, cell in cells.items() if cell}
            id, line = paints.ids[row], paints.table.lines[row]
            if id in rows and rows[id] != cells and not later_wins:
                before = first[id]
                what = f"id {id!r} stands for another row on line {before.line} of {before.file}"
                remedy = "give one of them another id, or merge with --later-wins"
                problems.append(Problem(paints.table.file, line, what, remedy))
            rows[id] = cells
            first.setdefault(id, Problem(paints.table.file, line, ""))
    if problems:
        raise InputError.of(problems)
    return rows, list(columns)


def _spectra(lists: Sequence[Columns]) -> set[tuple[tuple[str, ...], bool]]:
    """The sets of spectral columns there are, each with whether it is in percent."""
    columns = {
        (tuple(sorted(name for name in paints.table.columns if _NM.fullmatch(name))), paints.percent)
        for paints in lists
    }
    return columns - {((), False)}


def _rows(paints: Columns, resample: bool) -> list[dict[str, str]]:
    """The cells of each row by column, numbers with decimal points."""
    kept = {c: at for c, at in paints.table.columns.items() if c and not (resample and _NM.fullmatch(c))}
    rows = []
    for i, cells in enumerate(paints.table.rows):
        row = {column: _point(cells[at]) for column, at in kept.items()}
        if resample:
            for prefix, values in (("", paints.reflectance[i]), ("tint_", paints.tint_reflectance[i])):
                if not np.isnan(values[0]):
                    row |= {f"{prefix}nm{nm:g}": f"{v:.6g}" for nm, v in zip(NM, values, strict=True)}
        rows.append(row)
    return rows


def _point(cell: str) -> str:
    return cell.replace(",", ".") if _NUMBER.fullmatch(cell) else cell


@dataclass(frozen=True)
class Changed:
    """One paint in two versions of a list."""

    id: str
    name: str
    cells: tuple[tuple[str, str, str], ...]  # column, before, after
    difference: float | None  # CIEDE2000 between the colours, where both have one


@dataclass(frozen=True)
class Changes:
    added: list[tuple[str, str]]  # id and name
    removed: list[tuple[str, str]]
    changed: list[Changed]


def changes(old: Path, new: Path) -> Changes:
    """What became of a list: paints by id, cells by column; the order of rows and columns is nothing.

    A cell counts as changed when it says something else: 2.50 for 2,5 does not.

    Raises:
        InputError: one of them cannot be read.
    """
    lists = before, after = _read_all([old, new])
    rows_before, rows_after = ({i: n for n, i in enumerate(paints.ids)} for paints in lists)
    cells_before, cells_after = _rows(before, resample=False), _rows(after, resample=False)
    changed = []
    for id, row in rows_after.items():
        if id not in rows_before:
            continue
        was, now = cells_before[rows_before[id]], cells_after[row]
        cells = tuple(
            (column, was.get(column, ""), now.get(column, ""))
            for column in dict.fromkeys([*was, *now])
            if _value(was.get(column, "")) != _value(now.get(column, ""))
        )
        if cells:
            off = float(difference(before.lab[rows_before[id]], after.lab[row]))
            changed.append(Changed(id, after.names[row], cells, None if np.isnan(off) else off))
    return Changes(
        added=[(id, after.names[row]) for id, row in rows_after.items() if id not in rows_before],
        removed=[(id, before.names[row]) for id, row in rows_before.items() if id not in rows_after],
        changed=changed,
    )


def _value(cell: str) -> str | float:
    try:
        return float(cell)
    except ValueError:
        return cell


@dataclass(frozen=True)
class Replacement:
    """A paint, and the living paints nearest to it, nearest first, each with its CIEDE2000."""

    swatch: Swatch
    paints: tuple[tuple[Swatch, float], ...]


def replacements(paths: Sequence[Path], ids: Sequence[str] = (), count: int = 3) -> list[Replacement]:
    """Living paints of any range nearest to each retired one, or to each of `ids`.

    A metallic, fluorescent or clear paint is replaced by one of its kind, and replaces no other, unless none
    of the kind is living.

    Raises:
        InputError: a list cannot be read, an id is unknown, or no paint is living.
    """
    lists, problems = load(paths)
    if problems:
        raise InputError.of(problems)
    swatches = swatches_of(lists)
    known = {swatch.id: swatch for swatch in swatches}
    problems = []
    for id in dict.fromkeys(ids):
        if id not in known:
            near = nearest_word(id, known)
            remedy = f"did you mean {near!r}?" if near else "name another, or another list"
            what = f"no paint with a colour in these lists has the id {id!r}"
            problems.append(Problem(None, None, what, remedy))
    living = SwatchList(tuple(swatch for swatch in swatches if not swatch.retired))
    if not len(living):
        problems.append(
            Problem(str(paths[0]), None, "every paint is retired", "name a list with living ones too")
        )
    if problems:
        raise InputError.of(problems)
    wanted = [known[id] for id in ids] if ids else [swatch for swatch in swatches if swatch.retired]
    replaced = []
    kinds = [unmixable(swatch) for swatch in living.swatches]
    alike = {kind: living.where([each == kind for each in kinds]) for kind in set(kinds)}
    for swatch in wanted:
        those = alike.get(unmixable(swatch), living)
        those = those if set(those.ids) != {swatch.id} else living
        indices, off = those.nearest(swatch.lab, count + 1)
        paints = [(those.swatches[i], float(d)) for i, d in zip(indices, off, strict=True)]
        replaced.append(
            Replacement(swatch, tuple(pair for pair in paints if pair[0].id != swatch.id)[:count])
        )
    return replaced
