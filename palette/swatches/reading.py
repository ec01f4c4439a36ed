"""Swatch lists from files: delimited text, or CGATS.17 / ISO 28178 text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from pathlib import Path

import numpy as np

from palette import cache
from palette.colour.spaces import Array
from palette.errors import InputError, Problem, one_line
from palette.files import decode, read_text
from palette.swatches.cgats import is_cgats, parse_cgats
from palette.swatches.columns import MEDIA, REQUIRED, Columns, columns
from palette.swatches.csvfile import Table, likely_colour, parse_csv
from palette.swatches.model import Swatch


def read(paths: Sequence[Path]) -> list[Swatch]:
    """The paints of one or more lists, in order; ids are unique over all of them.

    A paint without any colour is left out. A tint whose share or white is not known is left out of its
    paint.

    Raises:
        InputError: with every problem of every row of every list, each with its line.
    """
    lists, problems = load(paths)
    if problems:
        raise InputError.of(problems)
    return swatches_of(lists)


def load(paths: Sequence[Path]) -> tuple[list[Columns], list[Problem]]:
    """The columns of each list that can be read at all, and the problems of all of them in order."""
    lists: list[Columns] = []
    problems: list[Problem] = []
    seen: set[Path] = set()
    for path in paths:
        try:
            if path.resolve() in seen:
                raise InputError(Problem(str(path), None, "the list is named twice", "name it once"))
            seen.add(path.resolve())
            paints = _columns(path, cache.content_if_readable(path))
        except InputError as error:
            problems.extend(error.problems)
            continue
        lists.append(paints)
        twice = duplicate_ids(lists)
        problems.extend(sorted([*paints.problems, *twice], key=lambda problem: problem.line or 0))
        if not paints.table.rows:
            problems.append(Problem(str(path), None, "the list holds no paint", "add a row for each paint"))
        elif not any(paints.measured) and not (paints.problems and _names_colour(paints.table)):
            what, remedy = "no paint has a colour", "fill hex, or lab_l, lab_a and lab_b, or nm400 to nm700"
            if not _names_colour(paints.table) and (likely := likely_colour(paints.table)):
                what, remedy = f"no paint has a colour, but column {likely[0]!r} looks like one", likely[1]
            problems.append(Problem(str(path), paints.table.header_line, what, remedy))
    return lists, problems


@lru_cache(maxsize=4)
def _columns(path: Path, digest: str | None) -> Columns:
    """A list as it is while its content is, so that who asks for it again does not wait for it again."""
    return columns(read_table(path))


def problems_of(path: Path, raw: bytes) -> list[Problem]:
    """What is wrong with a list that has, or is to have, these bytes; other lists are not looked at."""
    try:
        text = decode(raw, path)
        table = parse_cgats(text, str(path)) if is_cgats(text) else parse_csv(text, str(path), REQUIRED)
        paints = columns(table)
    except InputError as error:
        return list(error.problems)
    return [*paints.problems, *duplicate_ids([paints])]


def _names_colour(table: Table) -> bool:
    return any(name in ("hex", "lab_l", "lab_a", "lab_b") or name.startswith("nm") for name in table.columns)


def swatches_of(lists: Sequence[Columns]) -> list[Swatch]:
    """The paints of lists without problems, those without a colour left out."""
    whites = {id for paints in lists for id in paints.ids}
    return [swatch for paints in lists for swatch in _swatches(paints, whites)]


def read_table(path: Path) -> Table:
    """The rows of a swatch list in either form, unjudged.

    Raises:
        InputError: neither form can be made out.
    """
    text = read_text(path)
    return parse_cgats(text, str(path)) if is_cgats(text) else parse_csv(text, str(path), REQUIRED)


def duplicate_ids(lists: Sequence[Columns]) -> list[Problem]:
    """Ids of the last list that stand there twice or in an earlier one too."""
    *earlier, last = lists
    first = {
        id: f"line {line} of {paints.table.file}"
        for paints in earlier
        for id, line in zip(paints.ids, paints.table.lines, strict=True)
    }
    problems = []
    for id, line in zip(last.ids, last.table.lines, strict=True):
        if id and id in first:
            what = f"id {id!r} stands on {first[id]} already"
            problems.append(Problem(last.table.file, line, what, "give each paint an id of its own"))
        first.setdefault(id, f"line {line}")
    return problems


def _swatches(paints: Columns, whites: set[str]) -> Iterable[Swatch]:
    number = {name: _optional(values) for name, values in paints.numbers.items()}
    words, yes_no = paints.words, paints.yes_no
    for i, measured in enumerate(paints.measured):
        if not measured:
            continue
        share, white = number["tint_share"][i], words["tint_white"][i]
        tinted = share is not None and 0 < share < 1 and white in whites and white != paints.ids[i]
        yield Swatch(
            id=one_line(paints.ids[i]),
            name=one_line(paints.names[i]),
            lab=paints.lab[i],
            measured=measured,
            reflectance=_row(paints.reflectance, i),
            range=one_line(words["range"][i]),
            finish=words["finish"][i].casefold(),
            medium=medium if (medium := words["medium"][i].casefold()) in MEDIA else "",
            opacity=number["opacity"][i],
            owned=yes_no["owned"][i],
            retired=yes_no["retired"][i] is True,
            volume_ml=number["volume_ml"][i],
            price=number["price"][i],
            coverage_cm2_per_ml=number["coverage_cm2_per_ml"][i],
            source=words["source"][i],
            notes=words["notes"][i],
            tint_lab=_row(paints.tint_lab, i) if tinted else None,
            tint_reflectance=_row(paints.tint_reflectance, i) if tinted else None,
            tint_share=share if tinted else None,
            tint_white=white if tinted else None,
            specular=paints.specular[i],
            spread=number["spread"][i],
            file=paints.table.file,
            line=paints.table.lines[i],
        )


def _optional(values: Array) -> list[float | None]:
    return [None if value != value else value for value in values.tolist()]


def _row(values: Array, i: int) -> Array | None:
    return None if np.isnan(values[i, 0]) else values[i]
