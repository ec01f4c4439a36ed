"""What is wrong, or merely odd, with swatch lists: every row at once.

Two kinds of finding. A *problem* is what makes a list unreadable, and every command refuses it: no
header, no id or name, a cell that is no number or out of its range (L* outside 0 to 100, a
reflectance below 0 or above 2), part of a colour missing, an id used twice, a word where yes or no
belongs. A *remark* is what can be read but is probably a slip; the list is still used:

- a colour no surface can have that only reflects (outside the optimal colours), or a reflectance above 1
- cells that contradict each other: hex and Lab, Lab and reflectances, a tint and its paint
- a tint that cannot be used: no share, a share of 0 or 1, an unknown white, a white with a tint
- a tint that no paint of that masstone gives in white, is lighter than its white, or is no tint at all
- two paints of nearly the same colour, of one finish, both or neither retired
- an unknown finish or medium, a column that looks like a slip for a known one, a paint without any colour
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.colour.adaptation import din99
from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_linear, lab_to_xyz, linear_to_lab, srgb_decode, srgb_encode
from palette.colour.spectra import lab_to_reflectance_targets, reflectance_to_lab, tristimulus
from palette.errors import Problem
from palette.kit.tables import nearest_word
from palette.swatches.columns import FINISHES, KNOWN, MEDIA, Columns, carried
from palette.swatches.model import Swatch, SwatchList
from palette.swatches.reading import load

NEARLY_SAME = 0.5  # CIEDE2000; half of what can just be seen side by side
HEX_SLACK = 3.0  # CIEDE2000 from a rounded hex, by whatever rendering, to the paint's Lab
LAB_SLACK = 1.0  # CIEDE2000 between Lab and reflectances of one reading
_FLUORESCES = 1.05  # above the perfect diffuser by more than a reading's error
_OPTIMAL_SLACK = 1.02  # a little beyond the optimal colours of 31 bands, for rounding and narrower bands
_TINT_SLACK = 0.03  # reflectance, or Y, by which a tint may leave the way from paint to white


@dataclass(frozen=True)
class Checked:
    count: int  # rows that hold something
    problems: list[Problem]  # every command refuses the list
    remarks: list[Problem]  # it can be used

    @property
    def all(self) -> list[tuple[str, Problem]]:
        """Both, each with 'error' or 'remark', in the order of the lists and their lines."""
        both = [("error", p) for p in self.problems] + [("remark", p) for p in self.remarks]
        files = {file: i for i, file in enumerate(dict.fromkeys(p.file for _, p in both))}
        return sorted(both, key=lambda one: (files[one[1].file], one[1].line or 0))


def check(paths: Sequence[Path]) -> Checked:
    """Check lists together: ids and whites are looked for over all of them."""
    lists, problems = load(paths)
    remarks: list[Problem] = []
    for paints in lists:
        remarks += [
            *paints.table.remarks,
            *_header(paints),
            *_leaning(paints),
            *_warm(paints),
            *_carried(paints),
        ]
        row_remarks = sorted(_rows(paints), key=lambda at: at[0])
        remarks += [_remark(paints, *at) for at in row_remarks]
    remarks += [*_tints(lists), *_nearly_same(lists)]
    order = {str(path): i for i, path in enumerate(paths)}
    remarks.sort(key=lambda p: (order.get(p.file or "", -1), p.line or 0))
    return Checked(sum(len(paints.ids) for paints in lists), problems, remarks)


def _carried(paints: Columns) -> Iterator[Problem]:
    """The lights that Lab was carried from."""
    cells = {cell.strip().upper() for cell in paints.table.column("illuminant") or ()} - {"", "D65"}
    if cells and not paints.problems:
        lights = " and ".join(sorted(cells))
        what = f"Lab under {lights} was carried to D65 by chromatic adaptation; spectra would say it better"
        yield Problem(paints.table.file, paints.table.header_line, what)


_GREY = re.compile(r"\b(?:white|grey|gray)\b")
_Wrong = Iterator[tuple[int, str, str]]  # row, what, remedy


def _remark(paints: Columns, row: int, what: str, remedy: str) -> Problem:
    return Problem(paints.table.file, paints.table.lines[row], f"paint {paints.ids[row]!r}: {what}", remedy)


def _header(paints: Columns) -> Iterator[Problem]:
    for column in paints.table.columns:
        if column in KNOWN or column.startswith(("nm", "tint_nm")):
            continue
        near = nearest_word(column, KNOWN)
        if near and near not in paints.table.columns:
            what = f"column {column!r} is kept but not read"
            yield Problem(paints.table.file, paints.table.header_line, what, f"did you mean {near!r}?")
    if paints.percent:
        what = "the reflectances are in percent, and are read as such"
        yield Problem(paints.table.file, paints.table.header_line, what)


_LEAN = np.array([2.4, 17.6])  # a*, b* of the white of D50 against that of D65 (CIE 15)
_LEANS = 5.0  # in a*, b*, from there
_STRONG, _ENOUGH = 20.0, 5  # chroma; paints
_ROUNDED = 1.0  # CIEDE2000 by which hex may be off for its rounding, and by whatever rendering


def _leaning(paints: Columns) -> Iterator[Problem]:
    """Whites and greys that are all as yellow as XYZ under D50 come out against the white of D65."""
    named = np.array([bool(_GREY.search(name.casefold())) for name in paints.names], dtype=bool)
    lab = paints.given_lab[named & np.isfinite(paints.given_lab).all(axis=1)]
    lab = lab[lab[:, 0] > 30]
    if len(lab) < 3:
        return
    lean = np.median(lab[:, 1:] / ((lab[:, :1] + 16) / 116), axis=0)
    if np.hypot(*(lean - _LEAN)) < _LEANS:
        what = f"its whites and greys lean to yellow (b* {np.median(lab[:, 2]):.0f}), as colours under D50 do"
        remedy = "was it worked out against the white of D65? Export Lab for D65, or reflectances"
        yield Problem(paints.table.file, paints.table.header_line, what, remedy)


def _warm(paints: Columns) -> Iterator[Problem]:
    """Lab that fits the list's own hex where it is carried from the white of D50: greys do not tell, since
    they are neutral under any white, but strong colours do."""
    if {cell.strip().upper() for cell in paints.table.column("illuminant") or ()} - {""}:
        return
    strong = np.hypot(paints.given_lab[:, 1], paints.given_lab[:, 2]) > _STRONG
    lab, shown = paints.given_lab[strong], paints.hex_lab[strong]
    off = difference(shown, lab)
    if np.isfinite(off).sum() < _ENOUGH:
        return
    plain, warm = np.nanmedian(off), np.nanmedian(difference(shown, carried(lab, "D50")))
    if plain > _ROUNDED and warm < plain / 2:
        what = f"its Lab is {plain:.1f} away from its hex in the middle, and fits it ({warm:.1f}) under D50"
        remedy = "if it was measured under D50, say so: write D50 in a column illuminant"
        yield Problem(paints.table.file, paints.table.header_line, what, remedy)


def _rows(paints: Columns) -> _Wrong:
    yield from _without_colour(paints)
    yield from _impossible(paints)
    yield from _contradictory(paints)
    for column, known in (("finish", FINISHES), ("medium", MEDIA)):
        for row, word in enumerate(paints.words[column]):
            if word and word.casefold() not in known:
                near = nearest_word(word, known)
                remedy = f"did you mean {near!r}?" if near else f"palette knows {', '.join(known)}"
                yield row, f"{column} {word!r} is not known", remedy


def _without_colour(paints: Columns) -> _Wrong:
    bad = {problem.line for problem in paints.problems}
    for row, measured in enumerate(paints.measured):
        if not measured and paints.table.lines[row] not in bad:
            yield row, "has no colour, and is never proposed", "fill hex, lab_l to lab_b, or nm400 to nm700"


def _impossible(paints: Columns) -> _Wrong:
    fluorescent = np.array(
        [finish.casefold() == "fluorescent" for finish in paints.words["finish"]], dtype=bool
    )
    largest = paints.reflectance.max(axis=1)
    for row in np.flatnonzero((largest > _FLUORESCES) & ~fluorescent).tolist():
        yield (
            row,
            f"reflects {largest[row]:.2f} of the light, more than falls on it",
            ("write fluorescent as its finish, or correct the reading"),
        )
    dark = paints.reflectance.mean(axis=1) < 0.01
    for row in np.flatnonzero(dark & paints.percent).tolist():
        yield row, "is blacker than paint can be", "is this row in fractions, among rows in percent?"
    beyond = beyond_optimal(paints.lab) & ~(largest > _FLUORESCES) & ~fluorescent
    for row in np.flatnonzero(beyond).tolist():
        yield row, "is no colour that a surface can have by reflecting alone", "correct it"


@cache
def _optimal() -> tuple[Array, Array, Array]:
    """Normals (k, 3), half-widths (k,) and centre (3,) of the solid of optimal colours under D65.

    The XYZ of every reflectance between 0 and 1 in 31 bands are a zonotope with the E308 weights as
    its generators; it is centred on half the white and bounded by the planes along two of them.
    """
    weights, white = tristimulus("D65")
    first, second = np.triu_indices(len(weights), 1)
    normals = np.cross(weights[first], weights[second])
    half = np.abs(normals @ weights.T).sum(axis=1) / 2
    keep = half > 1e-9 * half.max()
    return normals[keep] / half[keep, None], np.ones(keep.sum()), white / 2


def beyond_optimal(lab: Array) -> NDArray[np.bool_]:
    """Which colours (n, 3) lie outside the optimal colours of a surface under D65; NaN lies nowhere.

    Source: MacAdam, "Maximum Visual Efficiency of Colored Materials", JOSA 25 (1935) 361-367.
    """
    normals, half, centre = _optimal()
    offset = lab_to_reflectance_targets(lab) - centre
    return np.asarray((np.abs(offset @ normals.T) > _OPTIMAL_SLACK * half).any(axis=1))


def _contradictory(paints: Columns) -> _Wrong:
    """Cells of one row that state different colours."""
    shown = _as_srgb(paints.lab)
    lost = difference(shown, paints.lab)
    off = np.minimum(difference(paints.hex_lab, paints.lab), difference(paints.hex_lab, shown))
    for row in np.flatnonzero(off > HEX_SLACK + lost).tolist():
        used = {"reflectance": "reflectances", "lab": "Lab"}.get(paints.measured[row])
        if used:
            what = f"hex is {off[row]:.1f} away from the {used}"
            yield row, what, f"palette goes by the {used}; correct or clear the hex"
    from_spectrum = reflectance_to_lab(paints.reflectance)
    apart = difference(paints.given_lab, from_spectrum)
    warm = difference(paints.given_lab, reflectance_to_lab(paints.reflectance, "D50"))
    for row in np.flatnonzero(apart > LAB_SLACK).tolist():
        why = ", and fits them under D50" if warm[row] < apart[row] / 3 else ""
        remedy = "palette goes by the reflectances; correct or clear the Lab"
        yield row, f"Lab is {apart[row]:.1f} away from the reflectances{why}", remedy


def _as_srgb(lab: Array) -> Array:
    """The sRGB colour that a screen would show for each Lab (n, 3), clipped channel by channel."""
    return linear_to_lab(srgb_decode(np.clip(srgb_encode(lab_to_linear(lab)), 0.0, 1.0)))


def _tints(lists: Sequence[Columns]) -> Iterator[Problem]:
    named = [pair for paints in lists for pair in zip(paints.ids, paints.words["tint_white"], strict=True)]
    whites = {white for id, white in named if white and white != id}
    where = {id: (paints, row) for paints in lists for row, id in enumerate(paints.ids) if id in whites}
    consistent: list[tuple[Columns, int]] = []
    for paints in lists:
        bad = {problem.line for problem in paints.problems}
        share = paints.numbers["tint_share"]
        has_tint: list[bool] = np.isfinite(paints.tint_lab[:, 0]).tolist()
        for row, white in enumerate(paints.words["tint_white"]):
            if paints.table.lines[row] in bad or not (has_tint[row] or white or np.isfinite(share[row])):
                continue
            trouble = _tint(paints, row, white, where, whites, has_tint[row])
            if trouble:
                yield _remark(paints, row, *trouble)
            elif np.isfinite(paints.lab[row]).all() and np.isfinite(_lab(*where[white])).all():
                consistent.append((paints, row))
    for (paints, row), why in zip(consistent, _unbelieved(consistent, where), strict=True):
        if why:
            yield _remark(paints, row, why, "correct the paint, its tint or tint_share")


def _lab(paints: Columns, row: int) -> Array:
    return np.asarray(paints.lab[row])


def _unbelieved(
    tints: Sequence[tuple[Columns, int]], where: dict[str, tuple[Columns, int]]
) -> list[str | None]:
    """Why mixing does not believe each tint, in words; None where it does."""
    if not tints:
        return []
    from palette.paints.mixing.colourants import colourants

    white = {listed.words["tint_white"][row] for listed, row in tints}
    paints = [Swatch(f"white {id}", id, _lab(*where[id]), "lab") for id in sorted(white)]
    for i, (listed, row) in enumerate(tints):
        paints.append(
            Swatch(
                f"paint {i}",
                listed.ids[row],
                _lab(listed, row),
                "lab",
                tint_lab=listed.tint_lab[row],
                tint_share=float(listed.numbers["tint_share"][row]),
                tint_white=f"white {listed.words['tint_white'][row]}",
            )
        )
    notes = colourants(SwatchList(tuple(paints))).notes
    return [notes.get(f"paint {i}") for i in range(len(tints))]


def _tint(
    paints: Columns,
    row: int,
    white: str,
    where: dict[str, tuple[Columns, int]],
    whites: set[str],
    has_tint: bool,
) -> tuple[str, str] | None:
    share = float(paints.numbers["tint_share"][row])
    if paints.ids[row] == white:
        return "is named as its own white", "fill tint_white with the id of the white it was let down in"
    if paints.ids[row] in whites:
        return "has a tint, and is the white of others", "clear the tint cells of a white"
    if not has_tint:
        return (
            "has a tint's share or white without its colour",
            "fill tint_l, tint_a and tint_b, or clear them",
        )
    if np.isnan(share):
        return "has a tint without its share", "fill tint_share: 0.1 for one part in ten"
    if not 0 < share < 1:
        return f"tint_share is {share:g}, which is no mixture", "write the paint's share, between 0 and 1"
    if not white:
        return "has a tint without its white", "fill tint_white with the id of the white"
    if white not in where:
        near = nearest_word(white, where)
        remedy = f"did you mean {near!r}?" if near else "give the id of a paint of these lists"
        return f"tint_white {white!r} is no paint of these lists", remedy
    return _contradicted(paints, row, *where[white])


def _contradicted(paints: Columns, row: int, whites: Columns, white: int) -> tuple[str, str] | None:
    """A mixture lies between its two paints: at each wavelength, and so, for a white, in X, Y and Z."""
    triple = np.stack([paints.reflectance[row], paints.tint_reflectance[row], whites.reflectance[white]])
    if np.isnan(triple).any():
        triple = lab_to_xyz(np.stack([paints.lab[row], paints.tint_lab[row], whites.lab[white]]))
    masstone, tint, pure = triple
    low, high = np.minimum(masstone, pure) - _TINT_SLACK, np.maximum(masstone, pure) + _TINT_SLACK
    if ((tint < low) | (tint > high)).any():
        return "the tint does not lie between the paint and its white", "correct one of the three"
    return None


def _nearly_same(lists: Sequence[Columns]) -> Iterator[Problem]:
    """Each paint that has nearly the colour of an earlier one of its kind."""
    rows = [
        (paints, row) for paints in lists for row, id in enumerate(paints.ids) if id and paints.measured[row]
    ]
    if len(rows) < 2:
        return
    lab = np.array([paints.lab[row] for paints, row in rows])
    names = [
        (paints.words["finish"][row].casefold(), paints.yes_no["retired"][row] is True)
        for paints, row in rows
    ]
    kinds = {name: i for i, name in enumerate(dict.fromkeys(names))}
    earlier = nearly_same(lab, np.array([kinds[name] for name in names]))
    for later, (i, off) in sorted(earlier.items()):
        paints, row = rows[later]
        other, other_row = rows[i]
        place = "" if other is paints else f" of {other.table.file}"
        what = f"is nearly the colour of {other.ids[other_row]!r}{place} ({off:.2f} apart)"
        yield _remark(paints, row, what, "is it the same paint, listed twice?")


def nearly_same(lab: Array, kind: NDArray[np.int_]) -> dict[int, tuple[int, float]]:
    """For each colour (n, 3) within `NEARLY_SAME` of an earlier one of its kind: which one, and how near.

    The tree is over DIN 6176 coordinates, in which so small a CIEDE2000 is never more than 3 times
    itself (2.9 at most among 350,000 random pairs); of colours crowded closer than that, the nine
    nearest are compared.
    """
    from scipy.spatial import cKDTree

    _, first, group = np.unique(np.column_stack([lab, kind]), axis=0, return_index=True, return_inverse=True)
    copies = first[group.reshape(-1)]
    earlier = {i: (int(copy), 0.0) for i, copy in enumerate(copies) if copy != i}
    count = min(10, len(first))
    _, near = cKDTree(din99(lab[first])).query(din99(lab[first]), count, distance_upper_bound=3 * NEARLY_SAME)
    a, slot = np.nonzero(near.reshape(len(first), count) < len(first))
    a, b = first[a], first[near.reshape(len(first), count)[a, slot]]
    a, b = a[(a > b) & (kind[a] == kind[b])], b[(a > b) & (kind[a] == kind[b])]
    off = difference(lab[a], lab[b])
    for i in np.argsort(-off):  # the nearest last, to stay
        if off[i] < NEARLY_SAME:
            earlier[int(a[i])] = (int(b[i]), float(off[i]))
    return earlier
