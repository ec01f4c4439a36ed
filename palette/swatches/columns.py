"""The columns of a swatch list as arrays, every bad cell a problem with its line.

Blank cells are NaN, None or ''. What would make a paint unusable, or say something else than was
meant, is a problem here; what is merely odd is left to `checking`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from palette.colour.adaptation import adapted
from palette.colour.spaces import Array, lab_to_xyz, linear_to_lab, srgb_decode, xyz_to_lab
from palette.colour.spectra import reflectance_to_lab, tristimulus
from palette.errors import Problem
from palette.kit.tables import nearest_word
from palette.swatches.csvfile import Table
from palette.swatches.spectral import to_31, trouble

REQUIRED = ("id", "name")
WORDS = ("range", "finish", "medium", "source", "notes", "tint_white")
NUMBERS = {
    "opacity": (0.0, 1.0),
    "volume_ml": (0.0, np.inf),
    "price": (0.0, np.inf),
    "coverage_cm2_per_ml": (0.0, np.inf),
    "spread": (0.0, 100.0),
    "tint_share": (0.0, 1.0),
}
YES_NO = ("owned", "retired")
LIGHT = "illuminant"  # of the Lab columns
COLOURS = ("lab_l", "lab_a", "lab_b", "hex", "tint_l", "tint_a", "tint_b", "specular")
KNOWN = (*REQUIRED, *WORDS, *NUMBERS, *YES_NO, *COLOURS, LIGHT)

FINISHES = ("matt", "satin", "gloss", "metallic", "fluorescent", "clear")
MEDIA = ("water", "enamel", "lacquer", "oil")  # what thins a paint
_SAME_WORDS = {  # other words for the same, as people write them
    "finish": {
        **dict.fromkeys(("matte", "mat", "flat", "dead flat", "ultra matt", "ultra matte"), "matt"),
        **dict.fromkeys(("semi gloss", "semigloss", "semi matt", "semi matte", "eggshell", "silk"), "satin"),
        **dict.fromkeys(("seidenmatt", "seidenglanz", "seidengl\u00e4nzend"), "satin"),
        **dict.fromkeys(("stumpfmatt", "tuchmatt"), "matt"),
        **dict.fromkeys(("glanz", "gl\u00e4nzend", "hochgl\u00e4nzend", "hochglanz"), "gloss"),
        **dict.fromkeys(("metallisch", "m\u00e9tallique"), "metallic"),
        **dict.fromkeys(("glossy", "high gloss", "full gloss"), "gloss"),
        **dict.fromkeys(("metal", "metallics"), "metallic"),
    },
    "medium": {
        **dict.fromkeys(("water based", "waterbased", "waterborne", "water borne", "aqueous"), "water"),
        **dict.fromkeys(("enamels", "enamel paint", "enamel based"), "enamel"),
        **dict.fromkeys(("lacquers", "lacquer paint", "lacquer based", "cellulose lacquer"), "lacquer"),
        **dict.fromkeys(("oils", "oil paint", "artists' oil"), "oil"),
    },
}

# As people write them, and as a spreadsheet does in its own language.
_YES = {
    **dict.fromkeys(("yes", "y", "true", "1", "x", "\u2713", "\u2714", "\u2611"), True),
    **dict.fromkeys(("ja", "j", "wahr", "oui", "vrai", "si", "s\u00ed", "vero"), True),
    **dict.fromkeys(("no", "n", "false", "0", "\u2717", "\u2718", "\u2610", "-", "\u2013"), False),
    **dict.fromkeys(("nein", "falsch", "non", "faux", "falso"), False),
}
_SIGN = r"(?:[\u20ac$\u00a3\u00a5]|[A-Z]{3}(?![A-Za-z])|kr\.?|Fr\.)"
_CURRENCY = re.compile(rf"^{_SIGN}\s*|\s*(?:{_SIGN}|z\u0142)$|\s+(?=[\d.,])")
_EVEN = re.compile(r"(?<=\d)[.,](?:-|\u2013|\u2014)$")  # 3,- is three and no more
_GROUPED = re.compile(r"[-+]?\d{1,3}(?:([.,'\u2019])\d{3})(?:\1\d{3})*([.,])\d+")
_MANY_GROUPS = re.compile(r"[-+]?\d{1,3}(?:'\d{3}|\u2019\d{3})+|[-+]?\d{1,3}(?:([.,])\d{3})(?:\1\d{3})+")
_MILLILITRES = re.compile(r"(?<=\d)\s*ml$", re.IGNORECASE)
_THOUSANDS = ("price", "volume_ml", "coverage_cm2_per_ml")  # numbers that reach a thousand
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_DECIMAL_COMMA = re.compile(r"[-+\u2212]?(?:\d*|\d{1,3}(?:\.\d{3})+),(?:\d{1,2}|\d{4,})")
_NM = re.compile(r"(tint_)?nm_?(\d+(?:\.\d+)?)")
_HEX = re.compile(r"#?(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")
_LARGEST_REFLECTANCE = 2.0  # of the perfect diffuser; fluorescent paints stay below
_LEAST_REFLECTANCE = -0.01  # a black trap's noise
_LARGEST_AB = 200.0  # |a*|, |b*|: the purest light stays below
_PUREST_B = 130.0  # b* of a surface stays below
_L_SLACK = 0.5  # a white tile may read a little above 100


def carried(lab: Array, light: str) -> Array:
    """Lab (n, 3) relative to the white of a light, by its name, carried to D65 by the Bradford transform
    (ICC.1, annex E)."""
    white, day = tristimulus(light)[1], tristimulus("D65")[1]
    return np.asarray(xyz_to_lab(adapted(lab_to_xyz(lab, white), white, day), day))


@dataclass(frozen=True)
class Columns:
    """One list, n rows."""

    table: Table
    ids: list[str]
    names: list[str]
    words: dict[str, list[str]]
    numbers: dict[str, Array]  # (n,) each
    yes_no: dict[str, list[bool | None]]
    specular: list[str]
    given_lab: Array  # (n, 3), as the lab columns say
    hex_lab: Array  # (n, 3), as the hex column says
    reflectance: Array  # (n, 31)
    percent: bool  # the reflectances were written in percent
    lab: Array  # (n, 3), the best there is
    measured: list[str]  # 'reflectance', 'lab', 'hex' or '' where a row has no colour
    tint_lab: Array  # (n, 3)
    tint_reflectance: Array  # (n, 31)
    problems: list[Problem]


class _Reader:
    def __init__(self, table: Table) -> None:
        self.table = table
        self.problems = list(table.problems)
        self.n = len(table.rows)
        self.ids = self.words("id")
        self.lights = self._lights()

    @cached_property
    def decimal_commas(self) -> bool:
        """Whether the list writes 2,5 for two and a half somewhere: then 1,234 is no thousand."""
        return any(_DECIMAL_COMMA.fullmatch(cell) for row in self.table.rows for cell in row if "," in cell)

    def _lights(self) -> list[str]:
        """The illuminant of each row's Lab; D65 where it says none."""
        from palette.colour.spectra import light_names

        names = {name.casefold(): name for name in light_names()}
        lights = []
        for row, cell in enumerate(self.words(LIGHT)):
            name = names.get(cell.casefold() or "d65")
            if name is None:
                near = nearest_word(cell, names.values())
                remedy = f"did you mean {near!r}?" if near else "write D65, D50 or another name of CIE 15"
                self.problem(row, f"illuminant is {cell!r}", remedy)
            lights.append(name or "D65")
        return lights

    def to_d65(self, lab: Array) -> Array:
        """Lab (n, 3) relative to the white of each row's illuminant, carried to D65."""
        for light in sorted(set(self.lights) - {"D65"}):
            rows = np.array([name == light for name in self.lights], dtype=bool)
            lab[rows] = carried(lab[rows], light)
        return lab

    def problem(self, row: int, what: str, remedy: str) -> None:
        id = self.ids[row]
        who = f"paint {id!r}: " if id else ""
        self.problems.append(Problem(self.table.file, self.table.lines[row], who + what, remedy))

    def no_number(self, row: int, name: str, cell: str) -> None:
        self.problem(row, f"{name} is {cell!r}, which is no number", "correct it, or leave the cell blank")

    def numbers(self, name: str) -> Array:
        """A column as numbers, NaN where blank or bad."""
        cells = self.table.column(name)
        if cells is None:
            return np.full(self.n, np.nan)
        try:
            if name in _THOUSANDS and self.decimal_commas:
                raise ValueError("1.000 may be a thousand")
            values = np.array(list(map(float, cells)))
        except ValueError:
            values = np.array([self._number(row, name, cell) for row, cell in enumerate(cells)])
        for row in np.flatnonzero(~np.isfinite(values)).tolist():
            if np.isinf(values[row]) or re.fullmatch(r"[+-]?nan", cells[row], re.IGNORECASE):
                self.no_number(row, name, cells[row])
                values[row] = np.nan
        return values

    def blank(self, name: str) -> NDArray[np.bool_]:
        cells = self.table.column(name)
        return (
            np.ones(self.n, dtype=bool)
            if cells is None
            else np.array([not cell for cell in cells], dtype=bool)
        )

    def _number(self, row: int, name: str, cell: str) -> float:
        if not cell:
            return np.nan
        text = cell.replace("\u2212", "-").replace("\u00a0", "").replace("\u202f", "")
        if text.startswith("\u2013"):
            text = "-" + text[1:]
        if name == "price":
            text = _EVEN.sub("", _CURRENCY.sub("", text))
        elif name == "volume_ml":
            text = _MILLILITRES.sub("", text)
        elif name == "opacity" and text.endswith("%"):
            text = text[:-1].rstrip() + "e-2"
        if name in _THOUSANDS:
            # A comma makes a thousand where commas are no decimal signs, a point where they are.
            if _AMBIGUOUS.fullmatch(text) and ("," in text) != self.decimal_commas:
                digits = re.sub("[.,]", "", text)
                sign = "," if "," in text else "point"
                what = f"{name} is {cell!r}, which is {text.replace(',', '.')} or {digits}"
                self.problem(row, what, f"write it without a {sign.replace(',', 'comma')}")
                return np.nan
            if (grouped := _GROUPED.fullmatch(text)) and grouped[1] != grouped[2]:
                text = text.replace(grouped[1], "")
            elif _MANY_GROUPS.fullmatch(text):
                text = re.sub("[.,'\u2019]", "", text)
        if text.count(",") == 1 and "." not in text:
            text = text.replace(",", ".")
        try:
            return float(text)
        except ValueError:
            self.no_number(row, name, cell)
            return np.nan

    def within(self, name: str, low: float, high: float) -> Array:
        values = self.numbers(name)
        for row in np.flatnonzero((values < low) | (values > high)).tolist():
            wanted = (
                f"a number from {low:g} to {high:g}" if np.isfinite(high) else f"a number from {low:g} on"
            )
            self.problem(row, f"{name} is {values[row]:g}", f"write {wanted}")
            values[row] = np.nan
        return values

    def yes_no(self, name: str) -> list[bool | None]:
        cells = self.table.column(name)
        if cells is None:
            return [None] * self.n
        answers: list[bool | None] = []
        for row, cell in enumerate(cells):
            word = cell.casefold()
            if word and word not in _YES:
                self.problem(row, f"{name} is {cell!r}", "write yes or no, or leave the cell blank")
            answers.append(_YES.get(word))
        return answers

    def words(self, name: str) -> list[str]:
        cells = self.table.column(name) or [""] * self.n
        same = _SAME_WORDS.get(name)
        if same is None:
            return cells
        return [same.get(" ".join(cell.casefold().replace("-", " ").split()), cell) for cell in cells]

    def specular(self) -> list[str]:
        stated = []
        for row, cell in enumerate(self.words("specular")):
            word = cell.casefold() or "excluded"
            if word not in ("included", "excluded"):
                self.problem(row, f"specular is {cell!r}", "write included, excluded or nothing")
                word = "excluded"
            stated.append(word)
        return stated

    def lab(self, names: Sequence[str]) -> Array:
        """Three columns (n, 3); all three NaN where any is blank or out of range."""
        lab = np.stack([self.numbers(name) for name in names], axis=1)
        blank = np.stack([self.blank(name) for name in names], axis=1)
        for row in np.flatnonzero(blank.any(axis=1) & ~blank.all(axis=1)).tolist():
            lacking = " and ".join(name for name, b in zip(names, blank[row], strict=True) if b)
            self.problem(row, f"{lacking} is blank", f"fill all of {', '.join(names)}, or none")
        if what := _other_scale(lab[~np.isnan(lab).any(axis=1)]):
            about = f"{', '.join(names)} look like {what}"
            remedy = "give L* from 0 to 100, and a* and b* about 0"
            self.problems.append(Problem(self.table.file, self.table.header_line, about, remedy))
            return np.full_like(lab, np.nan)
        lightness, farthest = lab[:, 0], np.abs(lab[:, 1:]).max(axis=1)
        outside = (lightness < -_L_SLACK) | (lightness > 100 + _L_SLACK)
        for row in np.flatnonzero(outside).tolist():
            self.problem(row, f"{names[0]} is {lightness[row]:g}, outside 0 to 100", "correct it")
        for row in np.flatnonzero(farthest > _LARGEST_AB).tolist():
            what = f"{names[1]}, {names[2]} are {lab[row, 1]:g}, {lab[row, 2]:g}, which no colour has"
            self.problem(row, what, "correct them")
        lab[outside | (farthest > _LARGEST_AB) | np.isnan(lab).any(axis=1)] = np.nan
        return lab

    def hex(self) -> Array:
        cells = self.table.column("hex")
        levels = np.full((self.n, 3), np.nan)
        if cells is None:
            return levels
        # A spreadsheet takes the noughts off the front of what looks like a number.
        bare = any(len(cell) == 6 and not cell.startswith("#") for cell in cells)
        for row, cell in enumerate(cells):
            if not cell:
                continue
            if bare and len(cell) == 3 and cell.isdecimal():
                what = f"hex is {cell!r}, which is #{''.join(2 * c for c in cell)} or #000{cell}"
                self.problem(row, what, "write it as #rrggbb")
                continue
            if not _HEX.fullmatch(cell):
                self.problem(row, f"hex is {cell!r}, which is no hex colour", "write it as #rrggbb")
                continue
            digits = cell.removeprefix("#")
            value = int(digits if len(digits) == 6 else "".join(2 * d for d in digits), 16)
            levels[row] = value >> 16, value >> 8 & 255, value & 255
        return linear_to_lab(srgb_decode(levels / 255))

    def reflectances(self, prefix: str) -> Array:
        """Reflectances as written (n, 31), NaN where a row has none."""
        none = np.full((self.n, 31), np.nan)
        columns = sorted(
            (float(match[2]), name)
            for name in self.table.columns
            if (match := _NM.fullmatch(name)) and (match[1] or "") == prefix
        )
        if not columns:
            return none
        nm = np.array([wavelength for wavelength, _ in columns])
        wrong = trouble(nm)
        if wrong:
            remedy = "give columns from nm400 to nm700 in steps of 10, or finer"
            self.problems.append(Problem(self.table.file, self.table.header_line, wrong, remedy))
            return none
        if len(set(nm.tolist())) < nm.size:
            what = "two columns are of one wavelength"
            self.problems.append(
                Problem(self.table.file, self.table.header_line, what, "take one of them out")
            )
            return none
        table = to_31(nm)
        used = [name for (_, name), row in zip(columns, table, strict=True) if row.any()]
        values = np.stack([self.numbers(name) for name in used], axis=1)
        blank = np.stack([self.blank(name) for name in used], axis=1)
        for row in np.flatnonzero(blank.any(axis=1) & ~blank.all(axis=1)).tolist():
            lacking = [name for name, b in zip(used, blank[row], strict=True) if b]
            shown = ", ".join(lacking[:3]) + (", …" if len(lacking) > 3 else "")
            self.problem(row, f"the reflectances lack {shown}", "fill these cells, or clear all")
        return np.asarray(values @ table[table.any(axis=1)])

    def possible(self, reflectance: Array, what: str) -> Array:
        low, high = reflectance.min(axis=1), reflectance.max(axis=1)  # NaN where there is none
        for row in np.flatnonzero(low < _LEAST_REFLECTANCE).tolist():
            self.problem(row, f"a {what} is {low[row]:g}, below 0", "correct it")
            reflectance[row] = np.nan
        for row in np.flatnonzero(high > _LARGEST_REFLECTANCE).tolist():
            self.problem(row, f"a {what} is {high[row]:g}, far above 1", "correct it")
            reflectance[row] = np.nan
        return reflectance


def _other_scale(lab: Array) -> str | None:
    """What the numbers (n, 3) of a list's Lab are where they are no Lab; None where they may be."""
    if len(lab) < 2:
        return None
    (lightest, a, b), low = lab.max(axis=0), lab[:, 1:].min()
    if lightest <= 1 and np.abs(lab[:, 1:]).max() <= 1.3:
        return "fractions of 1"
    if lightest > 1000 or max(a, b) > 1000:
        return "levels of 16 bits"
    if len(lab) < 4 or low < 0:
        return None
    if low > 40 and np.abs(np.median(lab[:, 1:], axis=0) - 128).max() < 40:
        return "levels of 8 bits"
    if lightest <= 100 and a <= _LARGEST_AB and b <= 360 and (lab[:, 2] > _PUREST_B).mean() > 1 / 3:
        return "L*, C* and a hue angle"
    return None


def columns(table: Table) -> Columns:
    """Read the cells of a table; bad ones become problems and count as blank."""
    reader = _Reader(table)
    names = reader.words("name")
    for row, (id, name) in enumerate(zip(reader.ids, names, strict=True)):
        if not id and "id" in table.columns:
            reader.problem(row, "the row has no id", "give every paint an id of its own")
        if not name and "name" in table.columns:
            reader.problem(row, "the row has no name", "give every paint a name")
    given_lab = reader.to_d65(reader.lab(("lab_l", "lab_a", "lab_b")))
    hex_lab = reader.hex()
    reflectance, tint_reflectance = reader.reflectances(""), reader.reflectances("tint_")
    percent = in_percent(reflectance, tint_reflectance)
    if percent:
        reflectance, tint_reflectance = reflectance / 100, tint_reflectance / 100
    reflectance = reader.possible(reflectance, "reflectance")
    tint_reflectance = reader.possible(tint_reflectance, "reflectance of the tint")
    lab, measured = _best(reflectance, given_lab, hex_lab)
    tint_lab, _ = _best(
        tint_reflectance, reader.to_d65(reader.lab(("tint_l", "tint_a", "tint_b"))), np.full_like(lab, np.nan)
    )
    return Columns(
        table=table,
        ids=reader.ids,
        names=names,
        words={name: reader.words(name) for name in WORDS},
        numbers={name: reader.within(name, *limits) for name, limits in NUMBERS.items()},
        yes_no={name: reader.yes_no(name) for name in YES_NO},
        specular=reader.specular(),
        given_lab=given_lab,
        hex_lab=hex_lab,
        reflectance=reflectance,
        percent=percent,
        lab=lab,
        measured=measured,
        tint_lab=tint_lab,
        tint_reflectance=tint_reflectance,
        problems=reader.problems,
    )


def in_percent(*reflectances: Array) -> bool:
    """Whether reflectances are in percent: the median of the rows' largest values is above 1.5."""
    rows = np.concatenate(reflectances)
    largest = rows[~np.isnan(rows).any(axis=1)].max(axis=1, initial=-np.inf)
    return bool(largest.size and np.median(largest) > 1.5)


def _best(reflectance: Array, lab: Array, hex_lab: Array) -> tuple[Array, list[str]]:
    from_reflectance = reflectance_to_lab(reflectance)
    best, which = np.full_like(lab, np.nan), np.full(len(lab), 3)
    for i, given in reversed(list(enumerate((from_reflectance, lab, hex_lab)))):
        has = ~np.isnan(given).any(axis=1)
        best[has], which[has] = given[has], i
    return best, [("reflectance", "lab", "hex", "")[i] for i in which]
