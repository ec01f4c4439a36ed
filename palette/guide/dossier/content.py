"""What the dossier says, as plain data: no layout, no file formats, nothing looked up or opened.

Numbers come formatted (with a true minus sign), colours as `#rrggbb` beside the words for them, so that the
printed page, the web page and a reader without colours all get the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from palette.guide.chips import Chip
from palette.guide.places import Place


@dataclass(frozen=True)
class Off:
    """How far one colour is from another, and whether that would show."""

    difference: str
    shows: str  # '' where the colour is too open to tell
    within: bool  # the kit's tolerance


@dataclass(frozen=True)
class Sure:
    """How sure a colour is: `squares` of five (0: no such mark), a word, and the radius in words."""

    squares: int
    word: str
    detail: str
    basis: str  # colour | grey | hint | decision | none
    basis_words: str
    conflict: bool


@dataclass(frozen=True)
class Paint:
    swatch: str
    name: str
    range: str
    chip: Chip
    owned: bool | None = None
    finish: str = ""


@dataclass(frozen=True)
class Choice:
    """What to put on the brush: a paint, or a mixture by its letter, or nothing yet (`title` says why)."""

    kind: str  # paint | mixture | nothing
    title: str
    detail: str
    off: Off | None = None  # None too where a paint was chosen by the odds
    note: str = ""
    chip: Chip | None = None  # what comes of it, to be seen beside the colour wanted


@dataclass(frozen=True)
class PartEntry:
    number: int
    id: str
    name: str
    finish: str
    chip: Chip
    inferred: bool  # nobody measured its hue
    sure: Sure
    choice: Choice


@dataclass(frozen=True)
class Alternative:
    """A range’s paint for a part: the nearest; of an inferred part the one
    that should be least off, `off` what to expect on average."""

    paint: Paint
    off: Off
    best: bool


@dataclass(frozen=True)
class RangeTable:
    """Parts down, up to three ranges across."""

    ranges: tuple[str, ...]
    within: tuple[str, ...]  # '9 of 12 parts within 3.0', one a range
    rows: tuple[tuple[int, str, tuple[Alternative, ...]], ...]
    note: str = ""


@dataclass(frozen=True)
class EvidenceRow:
    """What one source says of one part, alone."""

    source: str
    number: int
    part: str
    chip: Chip
    radius: str
    weight: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Explained:
    """A part whose colour needs explaining: decided, or in conflict."""

    number: int
    name: str
    chip: Chip
    decided: bool
    conflict: bool
    text: str
    rows: tuple[EvidenceRow, ...]


@dataclass(frozen=True)
class Likely:
    paint: Paint
    percent: str
    share: float  # 0..1


@dataclass(frozen=True)
class Cell:
    """One square of a slice: column and row from the left and the bottom, `share` of the likeliest, 0..1."""

    column: int
    row: int
    hex: str
    share: float


@dataclass(frozen=True)
class Slice:
    """The colours that remain, over a* (across) and b* (up): `size` squares each way."""

    size: int
    a: tuple[str, str]
    b: tuple[str, str]
    zero: tuple[float | None, float | None]  # where a* and b* are 0, as a share of the plot; None: outside
    cells: tuple[Cell, ...]
    words: str


@dataclass(frozen=True)
class Inferred:
    """A part whose hue nobody has measured."""

    number: int
    name: str
    chip: Chip
    text: str
    lightness: str
    likely: tuple[Likely, ...]
    rest: str  # percentage of all other paints
    remaining: Slice


@dataclass(frozen=True)
class ReferenceEntry:
    id: str
    description: str
    credit: str
    picture: int | None  # index into Dossier.pictures
    missing: str  # why there is no picture
    alt: str
    size: tuple[float, float]  # mm
    places: tuple[Place, ...]
    sampled: tuple[tuple[int, str], ...]  # the parts that the labels' numbers stand for
    anchors: tuple[tuple[str, str], ...]  # letter, what is known of it
    rows: tuple[EvidenceRow, ...]


@dataclass(frozen=True)
class Crop:
    """A part's place in one picture, corrected."""

    picture: int  # index into Dossier.pictures
    source: str
    alt: str


@dataclass(frozen=True)
class PartShown:
    """What the pictures show of a part, beside the colour of the scheme."""

    number: int
    name: str
    chip: Chip
    crops: tuple[Crop, ...]


@dataclass(frozen=True)
class Note:
    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Dossier:
    title: str
    maker: str
    language: str
    right_to_left: bool
    labels: Mapping[str, str]  # fixed words by key
    footer: str  # stage, version, maker: what tells one printing from another
    facts: tuple[tuple[str, str], ...]
    stage_words: str
    how_to_read: tuple[str, ...]
    parts: tuple[PartEntry, ...]
    any_outside: bool  # whether a part's swatch lies outside sRGB
    scale_rule: str  # how colours were changed for the scale; '' where they were not
    choice_words: str  # how the paints were chosen; '' where there are none
    cover_words: str  # what the coats and amounts of the guide rest on; '' where there are none
    tone_words: str  # by what rule its shades and highlights were made; '' where there are none
    ranges: tuple[RangeTable, ...]
    judging: tuple[str, ...]
    shows: tuple[tuple[str, str, str], ...]
    sure: tuple[tuple[int, str, str], ...]
    pictured: tuple[PartShown, ...]
    inferred: tuple[Inferred, ...]
    explained: tuple[Explained, ...]
    references: tuple[ReferenceEntry, ...]
    notes: tuple[Note, ...]
    licence: str
    credits: tuple[str, ...]
    made_with: str
    pictures: tuple[bytes, ...] = field(default=(), repr=False)  # JPEG
