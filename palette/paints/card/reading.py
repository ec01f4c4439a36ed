"""Photographs of cards to paints, and to a swatch list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from palette.colour.spaces import Array, lab_to_hex
from palette.colour.uncertain import radius90
from palette.errors import InputError, Problem
from palette.evidence.correction import fit
from palette.notes import Note
from palette.paints.card import layout
from palette.paints.card.anchors import known
from palette.paints.card.box import BoxReading, read_box
from palette.paints.card.light import light_on
from palette.paints.card.names import Named
from palette.paints.card.notes import UnevenCard
from palette.paints.card.sheet import find
from palette.swatches.writing import csv_text

STRAIGHT, TINT = "straight", "in white"
# A chart's patches do not stand for all paints. Readings by it are off by a little less than the correction
# says where they are light, farther towards L* 40, where reflectances have more room to differ, and in a*b*
# even where they are near grey, as mixed greys are not flat. Figures from photographs made with the tuning
# half of tests/benchmarks/photo, so that nine readings in ten lie within their spread at every lightness.
_LIGHT, _DARKER, _NEAR_GREY = 0.95, 0.3, 0.5
# By the paper alone they are farther off in strongly coloured light, of which white paper shows the colour
# but not what it does to others: by so much a unit of the log ratio of its strongest channel to its weakest.
_COLOURED_LIGHT = 0.1


@dataclass(frozen=True)
class Photo:
    """What was made of one photograph."""

    file: Path
    sheet: int  # from 1
    scale: float  # pixels a millimetre
    light_range: float  # the most light on the sheet over the least
    method: Note
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class Colour:
    """One measured colour: CIELAB (3,), covariance (3, 3), and from how many photographs."""

    lab: Array
    covariance: Array
    photos: int
    notes: tuple[str, ...] = ()

    @property
    def spread(self) -> float:
        """The CIEDE2000 radius that holds the true colour nine times in ten."""
        return radius90(self.lab, self.covariance)

    @property
    def hex(self) -> str:
        return lab_to_hex(self.lab)


@dataclass(frozen=True)
class Paint:
    """A paint of the card; `tint` where its let-down could be read."""

    named: Named
    straight: Colour
    tint: Colour | None


@dataclass(frozen=True)
class LeftOut:
    """A box that was not read in a photograph, and why."""

    file: Path
    box: int
    which: str  # 'straight' | 'in white'
    reason: str


@dataclass(frozen=True)
class CardReading:
    """All that the photographs say."""

    photos: tuple[Photo, ...]
    paints: tuple[Paint, ...]
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]
    white: str | None
    share: float
    columns: tuple[str, ...] = field(default=())  # further columns of the list of names


def read_cards(
    photos: Sequence[Path],
    names: Sequence[Named] | None = None,
    *,
    white: str | None = None,
    share: float = 0.1,
    grey: float | None = None,
    chart: str | None = None,
) -> CardReading:
    """Read photographs of one or more sheets, several of one sheet being put together.

    `names` says which paint is in which box (boxes not named are then left alone); `white` is the id of the
    white the paints were let down in, `share` the volume of the paint in it; `grey` the L* of the grey card
    in the frame; `chart` the name of the chart in it.

    Raises:
        InputError: with the problems of every photograph, or where no box could be read at all.
    """
    wanted = None if names is None else {named.box: named for named in names}
    told: list[Photo] = []
    problems: list[Problem] = []
    seen: dict[tuple[int, str], list[Colour]] = {}
    left_out: list[LeftOut] = []
    for path in photos:
        try:
            photo, colours, gone = _read_one(path, wanted, grey, chart)
        except InputError as error:
            problems.extend(error.problems)
            continue
        told.append(photo)
        left_out.extend(gone)
        for key, colour in colours.items():
            seen.setdefault(key, []).append(colour)
    if problems:
        raise InputError.of(dict.fromkeys(problems))
    together = {key: combined(colours) for key, colours in seen.items()}
    paints, notes = [], []
    for box in sorted({number for number, which in together if which == STRAIGHT}):
        named = wanted[box] if wanted else Named(box, f"box-{box}", f"Box {box}", {})
        tint = together.get((box, TINT)) if named.id != white else None
        paints.append(Paint(named, together[box, STRAIGHT], tint))
    if not paints:
        reasons = "; ".join(f"box {gone.box}: {gone.reason}" for gone in left_out[:3])
        raise InputError(
            Problem(str(photos[0]), None, f"shows no box that can be read ({reasons or 'none is painted'})",
                    "brush paint into the boxes, and photograph them without glare")
        )  # fmt: skip
    notes += _missing(told, wanted, together)
    if white is None and any(paint.tint for paint in paints):
        notes.append("let-downs were read, but not which white they are in (--white): the list has no tints")
    elif white is not None and white not in {paint.named.id for paint in paints}:
        notes.append(f"the white {white!r} is not on the card: the tints count beside a list that has it")
    columns = tuple(dict.fromkeys(column for named in names or () for column in named.cells))
    return CardReading(tuple(told), tuple(paints), tuple(left_out), tuple(notes), white, share, columns)


def _read_one(
    path: Path, wanted: dict[int, Named] | None, grey: float | None, chart: str | None
) -> tuple[Photo, dict[tuple[int, str], Colour], list[LeftOut]]:
    sheet = find(path)
    light = light_on(sheet)
    anchors = known(sheet, light, grey, chart)
    # A picture of a thing at hand: nothing of it has faded.
    correction = fit(anchors.anchors, kind="object")
    readings: dict[tuple[int, str], BoxReading] = {}
    left_out = []
    for pair in layout.pairs(sheet.number):
        if wanted is not None and pair.number not in wanted:
            continue
        for which, rect in ((STRAIGHT, pair.straight), (TINT, pair.tint)):
            reading = read_box(sheet, light, rect)
            if not reading.reason:
                readings[pair.number, which] = reading
            elif reading.painted or (wanted is not None and which == STRAIGHT):
                left_out.append(LeftOut(path, pair.number, which, reading.reason))
    colours = {}
    if readings:
        linear = np.array([reading.linear for reading in readings.values()])
        spreads = np.array([reading.covariance for reading in readings.values()])
        labs, covariances = correction.apply(linear, spreads)
        if chart is not None:
            wider = _LIGHT * (1 + _DARKER * np.clip((75 - labs[:, 0]) / 35, 0, 1))
            near_grey = np.diag([0, _NEAR_GREY**2, _NEAR_GREY**2])
            covariances = covariances * wider[:, None, None] ** 2 + near_grey
        elif len(anchors.anchors) == 1:  # the paper
            cast = float(np.log(light.paper.max() / light.paper.min()))
            covariances = covariances * (1 + _COLOURED_LIGHT * min(cast, 1.5)) ** 2
        for (key, reading), lab, covariance in zip(readings.items(), labs, covariances, strict=True):
            colours[key] = Colour(lab, covariance, 1, reading.notes)
    notes: list[Note] = [*anchors.notes, *correction.notes]
    if light.range > 2:
        notes.append(UnevenCard(light.range))
    photo = Photo(
        path, sheet.number + 1, sheet.scale, light.range, correction.method, tuple(dict.fromkeys(notes))
    )
    return photo, colours, left_out


def combined(colours: Sequence[Colour]) -> Colour:
    """One colour from several photographs.

    The photographs share a camera and its anchors, so their errors are taken to be the same, not
    independent: the mean is no surer than they are, and where they differ by more than they say, less sure.
    """
    if len(colours) == 1:
        return colours[0]
    weights = np.array([1 / np.trace(colour.covariance) for colour in colours])
    weights /= weights.sum()
    labs = np.array([colour.lab for colour in colours])
    mean = weights @ labs
    off = labs - mean
    scatter = np.einsum("n,ni,nj->ij", weights, off, off) / (1 - (weights**2).sum())
    within = np.einsum("n,nij->ij", weights, np.array([colour.covariance for colour in colours]))
    notes = tuple(dict.fromkeys(note for colour in colours for note in colour.notes))
    return Colour(mean, within + scatter * (weights**2).sum(), len(colours), notes)


def _missing(
    photos: Sequence[Photo], wanted: dict[int, Named] | None, together: dict[tuple[int, str], Colour]
) -> list[str]:
    """What to say of sheets named but not photographed."""
    if wanted is None:
        return []
    shown = {photo.sheet for photo in photos}
    lacking = sorted({layout.sheets(box) for box in wanted} - shown)
    return [
        f"sheet {sheet} (boxes {(sheet - 1) * layout.PER_SHEET + 1} to {sheet * layout.PER_SHEET}) "
        "is in no photograph"
        for sheet in lacking
    ]


def list_text(reading: CardReading) -> str:
    """The swatch list as CSV; colours with three decimals."""
    columns = ["id", "name", "lab_l", "lab_a", "lab_b", "spread"]
    tints = reading.white is not None and any(paint.tint for paint in reading.paints)
    if tints:
        columns += ["tint_l", "tint_a", "tint_b", "tint_share", "tint_white"]
    further = [column for column in reading.columns if column not in columns]
    if "source" not in further:
        further.append("source")
    rows = []
    source = "card, photographed: " + ", ".join(dict.fromkeys(photo.file.name for photo in reading.photos))
    for paint in reading.paints:
        row = {"id": paint.named.id, "name": paint.named.name, "spread": f"{paint.straight.spread:.2f}"}
        row |= dict(zip(("lab_l", "lab_a", "lab_b"), _cells(paint.straight.lab), strict=True))
        if tints and paint.tint is not None:
            row |= dict(zip(("tint_l", "tint_a", "tint_b"), _cells(paint.tint.lab), strict=True))
            row |= {"tint_share": f"{reading.share:g}", "tint_white": reading.white or ""}
        row |= {column: paint.named.cells.get(column, "") for column in further}
        row["source"] = source
        rows.append(row)
    return csv_text([*columns, *further], rows)


def _cells(lab: Array) -> list[str]:
    return [f"{value:.3f}" for value in (float(np.clip(lab[0], 0.0, 100.0)), *lab[1:])]
