"""What the guide says, as plain data: no layout, no file formats, nothing looked up or opened.

Numbers come formatted (with a true minus sign), colours as `#rrggbb` beside the words for them, so that the
printed page, the web page and a reader without colours all get the same.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from palette.guide.places import Place


@dataclass(frozen=True)
class Chip:
    """A colour to show. `strip` runs through what the evidence leaves open; empty where that is nothing."""

    hex: str  # '' where no colour is known
    words: str
    outside: bool = False  # of sRGB: the nearest is shown
    strip: tuple[str, ...] = ()
    lab: tuple[str, ...] = ()  # L*, a*, b* with one decimal


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
class Tone:
    """One neighbour of a base colour: its colour and what makes it."""

    role: str  # shade | highlight
    chip: Chip
    choice: Choice
    swatches: tuple[str, ...] = ()  # the paints it takes


@dataclass(frozen=True)
class Cover:
    """What it takes to cover; `why` says what was assumed, or why there is no number of coats."""

    coats: int | None = None
    undercoat: str = ""
    millilitres: str = ""
    why: str = ""


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
    base: Chip  # what stands on the model before shading: the colour, or the paint's that the odds favour
    tones: tuple[Tone, ...] = ()
    cover: Cover | None = None


@dataclass(frozen=True)
class PaintEntry:
    paint: Paint
    parts: tuple[int, ...]
    mixtures: tuple[str, ...]
    amount: str = ""


@dataclass(frozen=True)
class TonePaint:
    """A paint that only shades and highlights take; `uses` in words: 'shade of 1 and 4'."""

    paint: Paint
    uses: str


@dataclass(frozen=True)
class Alternative:
    """A range’s paint for a part: the nearest; or where odds choose the likeliest, `off` its odds."""

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
class Drops:
    count: int
    paint: Paint


@dataclass(frozen=True)
class MixtureEntry:
    letter: str
    parts: tuple[tuple[int, str], ...]
    target: Chip
    chip: Chip
    drops: tuple[Drops, ...]
    off: Off
    expected_error: str
    one_drop_off: str


@dataclass(frozen=True)
class Step:
    """A line to tick: a text, or the parts it paints, each a number and a name."""

    text: str
    detail: str = ""
    chip: Chip | None = None
    parts: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True)
class Stage:
    title: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Witness:
    """What one source says of one part, alone."""

    source: str
    number: int
    part: str
    chip: Chip
    radius: str
    weight: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Verdict:
    """A part whose colour needs explaining: decided, or in conflict."""

    number: int
    name: str
    chip: Chip
    decided: bool
    conflict: bool
    text: str
    witnesses: tuple[Witness, ...]


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
    picture: int | None  # index into Guide.pictures
    missing: str  # why there is no picture
    alt: str
    size: tuple[float, float]  # mm
    places: tuple[Place, ...]
    sampled: tuple[tuple[int, str], ...]  # the parts that the labels' numbers stand for
    anchors: tuple[tuple[str, str], ...]  # letter, what is known of it
    witnesses: tuple[Witness, ...]


@dataclass(frozen=True)
class Note:
    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Guide:
    title: str
    maker: str
    footer: str  # stage, version, maker: what tells one printing from another
    facts: tuple[tuple[str, str], ...]
    stage_words: str
    how_to_read: tuple[str, ...]
    parts: tuple[PartEntry, ...]
    any_outside: bool  # whether a part's swatch lies outside sRGB
    scale_rule: str  # how colours were changed for the scale; '' where they were not
    choice_words: str  # how the paints were chosen; '' where there are none
    tone_words: str
    cover_words: str  # what coats and quantities rest on; '' where there are none
    paints: tuple[PaintEntry, ...]
    no_paints: str  # what to print where there are none
    tone_paints: tuple[TonePaint, ...]
    ranges: tuple[RangeTable, ...]
    mixtures: tuple[MixtureEntry, ...]
    cautions: tuple[tuple[str, str], ...]
    order: tuple[Stage, ...]
    judging: tuple[str, ...]
    shows: tuple[tuple[str, str, str], ...]
    sure: tuple[tuple[int, str, str], ...]
    inferred: tuple[Inferred, ...]
    verdicts: tuple[Verdict, ...]
    references: tuple[ReferenceEntry, ...]
    notes: tuple[Note, ...]
    licence: str
    credits: tuple[str, ...]
    version: str
    pictures: tuple[bytes, ...] = field(default=(), repr=False)  # JPEG
