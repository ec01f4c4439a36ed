"""A response or a filter from a CSV file: `nm,response` or `nm,transmittance`.

Semicolons and tabs for commas, and with them decimal commas, are read as in swatch lists.
"""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import numpy as np

from palette.colour.responses import Response, named, names
from palette.colour.spaces import Array
from palette.colour.spectra import FINE
from palette.errors import InputError, Problem
from palette.swatches.csvfile import header_of, records

_LARGEST = 1 << 20
_WIDEST_GAP = 50.0  # nm: a straight line over more would be an invention
_COVER = (430.0, 640.0)  # what a response must at least say something about, unless it has ended by then


def read_curve(path: Path, column: str) -> tuple[Array, Array]:
    """Wavelengths (n,) in nm, increasing, and values (n,) of a CSV file.

    Raises:
        InputError: with every problem found, each with its line.
    """
    file = str(path)
    text = _text(path)
    delimiter, head = header_of(text, ("nm", column))
    header = [cell.strip().lower() for cell in head.cells] if head is not None else []
    if head is None or header[:2] != ["nm", column]:
        columns = ",".join(header) or "nothing"
        line = 1 if head is None else head.first
        raise InputError(
            Problem(file, line, f"the first row says {columns[:60]!r}", f"head the columns nm,{column}")
        )
    try:
        rows = [(r.first, r.cells) for r in records(text, delimiter) if r.first > head.last]
    except csv.Error:
        what = "a quoted cell is not closed, or goes on after its quote"
        raise InputError(Problem(file, None, what, "take the quotes out: numbers need none")) from None
    problems: list[Problem] = []
    nm: list[float] = []
    values: list[float] = []
    lines: list[int] = []
    for line, row in rows:
        if not any(cell.strip() for cell in row):
            continue
        try:
            one, other = (
                float(cell.replace(",", ".") if delimiter != "," else cell) for cell in (row[0], row[1])
            )
            if not (np.isfinite(one) and np.isfinite(other)):
                raise ValueError
        except (ValueError, IndexError):
            problems.append(Problem(file, line, "no two numbers", f"write nm,{column} with decimal points"))
            continue
        nm.append(one)
        values.append(other)
        lines.append(line)
        if other < 0:
            problems.append(Problem(file, line, f"{column} {other:g} is negative", "write 0 or more"))
        elif column == "transmittance" and other > 1:
            problems.append(
                Problem(
                    file, line, f"transmittance {other:g} is above 1", "write it as a share, not per cent"
                )
            )
    if problems:
        raise InputError.of(problems)
    _check(file, column, np.array(nm), np.array(values), lines)
    order = np.argsort(nm)
    return np.array(nm)[order], np.array(values)[order]


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > _LARGEST:
            raise InputError(Problem(str(path), None, "is over 1 MB", "give one curve, a row a wavelength"))
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(Problem(str(path), None, f"cannot be read: {reason}", "correct its path")) from error
    except UnicodeDecodeError as error:
        raise InputError(Problem(str(path), None, "is not UTF-8 text", "save it as CSV in UTF-8")) from error


def _check(file: str, column: str, nm: Array, values: Array, lines: list[int]) -> None:
    if len(nm) < 2:
        raise InputError(Problem(file, None, "holds fewer than two wavelengths", "give the whole curve"))
    if nm.max() < 20:
        raise InputError(
            Problem(file, lines[0], "wavelengths look like micrometres", "write nanometres: 0.55 is 550")
        )
    problems = []
    order = np.argsort(nm, kind="stable")
    for before, after in pairwise(order):
        gap = nm[after] - nm[before]
        if gap == 0:
            problems.append(
                Problem(file, lines[after], f"{nm[after]:g} nm stands there twice", "keep one of the two")
            )
        # a filter sold by its edges is drawn with straight lines; what a stock sees has to be measured
        elif column == "response" and gap > _WIDEST_GAP and (nm[before] < 700 and nm[after] > 400):
            problems.append(
                Problem(
                    file,
                    lines[after],
                    f"nothing between {nm[before]:g} and {nm[after]:g} nm",
                    f"give a row at least every {_WIDEST_GAP:g} nm",
                )
            )
    if problems:
        raise InputError.of(problems)
    if values.max() <= 0:
        raise InputError(Problem(file, None, f"every {column} is 0", "give the curve's values"))
    # outside its points a curve is zero: one that stops in mid-air was cut off, not blind
    first, last = order[0], order[-1]
    for at, missing, end in ((first, nm[first] > _COVER[0], "below"), (last, nm[last] < _COVER[1], "above")):
        if missing and values[at] > 0.1 * values.max():
            raise InputError(
                Problem(
                    file,
                    lines[at],
                    f"stops at {nm[at]:g} nm where the {column} is still {values[at]:g}, "
                    f"and would count as zero {end} that",
                    "give the rest of the curve, or a row with 0 where it ends",
                )
            )


def response_of(response: str | Path) -> Response:
    """A named response, or the one in a CSV file.

    Raises:
        InputError: what is wrong with the name or the file.
    """
    if isinstance(response, str) and response in names():
        return named(response)
    nm, values = read_curve(Path(response), "response")
    curve = np.interp(FINE, nm, values, left=0.0, right=0.0)
    return Response(
        Path(response).name, "its own curve", str(response), members=curve[None, :], is_class=False
    )
