"""What the painter's guide says, as plain data: no layout, no file formats, nothing looked up or opened.

Every text is a finished sentence or label in the language of the guide; colours are `#rrggbb` beside the
words for them, so that the printed page, the web page and a reader without colours all get the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from palette.guide.chips import Chip


@dataclass(frozen=True)
class Paint:
    code: str
    name: str
    range: str
    chip: Chip
    medium: str = ""  # what thins it, in words; '' where the list does not say
    finish: str = ""
    owned: str = ""  # only in the maker's own copy: 'to hand', 'to buy'


@dataclass(frozen=True)
class Pot:
    """One paint of what goes on the brush; `drops` is 0 where it is used straight."""

    paint: Paint
    drops: int = 0
    words: str = ""  # '7 drops'


@dataclass(frozen=True)
class ChosenPaint:
    """What goes on the brush: one paint, or a mixture that has a letter."""

    pots: tuple[Pot, ...]
    chip: Chip  # what comes of it
    letter: str = ""
    off: str = ""  # how far it is from the colour wanted, in words
    note: str = ""
    enough: str = ""  # how many times the drops make what a step takes

    @property
    def codes(self) -> str:
        """'B-02', '7 B-01 + 2 B-17'"""
        return " + ".join(
            f"{pot.drops} {pot.paint.code}" if pot.drops else pot.paint.code for pot in self.pots
        )


@dataclass(frozen=True)
class Tone:
    """A shade or highlight of a step: its colour, its paint and how to put it on."""

    role: str  # shade | highlight
    label: str
    chip: Chip
    chosen: ChosenPaint | None
    how: str  # why there is none, where nothing is chosen
    amount: str = ""  # in drops; '' where unknown
    parts: tuple[int, ...] = ()  # the numbers it is for; () for all of the step


@dataclass(frozen=True)
class Step:
    """One card: a box to tick and all that is needed to do it."""

    number: int
    id: str  # 'step-3'
    kind: str  # prepare | paint | finish
    title: str
    parts: tuple[tuple[int, str], ...] = ()
    chip: Chip | None = None
    chosen: ChosenPaint | None = None
    facts: tuple[tuple[str, str], ...] = ()  # (label, what to do)
    tones: tuple[Tone, ...] = ()
    guess: str = ""  # what else it may be
    warning: str = ""
    picture: int | None = None  # index into Guide.pictures
    alt: str = ""


@dataclass(frozen=True)
class Elsewhere:
    """The nearest paint of another range."""

    paint: Paint | None
    off: str = ""


@dataclass(frozen=True)
class TrayRow:
    paint: Paint
    amount: str
    uses: str
    elsewhere: tuple[Elsewhere, ...] = ()  # one a column


@dataclass(frozen=True)
class Sundry:
    """Something else to have ready: 'Primer', 'mid grey, 14 ml'."""

    label: str
    text: str


@dataclass(frozen=True)
class Mixture:
    letter: str
    uses: str
    wanted: Chip
    made: Chip
    pots: tuple[Pot, ...]  # of one cup
    cup: tuple[str, ...]  # drops of each for the whole job, in words
    amount: str
    accuracy: str
    warning: str = ""


@dataclass(frozen=True)
class Callout:
    """A number beside a view, with a line to its part; in millimetres from the view's top left."""

    number: int
    step: str  # id of the card
    x: float
    y: float
    to: tuple[float, float]


@dataclass(frozen=True)
class View:
    """A picture of the model; the frame holds the picture and the numbers around it, in millimetres."""

    picture: int
    alt: str
    width: float
    height: float
    at: tuple[float, float, float, float]  # x, y, width, height of the picture in the frame
    callouts: tuple[Callout, ...]
    caption: str = ""


@dataclass(frozen=True)
class Legend:
    number: int
    name: str
    chip: Chip
    words: str
    code: str
    guess: bool
    step: str


@dataclass(frozen=True)
class Change:
    """What changed of one part since the last edition."""

    number: int
    name: str
    old: Chip
    new: Chip
    words: str


@dataclass(frozen=True)
class BenchRow:
    number: int
    name: str
    chip: Chip
    words: str
    codes: str
    letter: str
    seal: str
    guess: bool
    step: str


@dataclass(frozen=True)
class Target:
    """A colour to match again: a part's own (role 'base') or its shade or highlight, CIELAB D65 in full."""

    number: int
    role: str
    lab: tuple[float, float, float]
    metallic: bool


@dataclass(frozen=True)
class Guide:
    title: str
    maker: str
    edition: str  # what tells one edition from another, for ticks that a browser keeps
    language: str
    right_to_left: bool
    labels: Mapping[str, str]  # fixed words by key
    facts: tuple[tuple[str, str], ...]
    footer: str
    stage: str
    views: tuple[View, ...]
    unseen: str  # which parts no picture shows; '' where all are shown
    legend: tuple[Legend, ...]
    guesses: str
    changes: tuple[Change, ...]
    changes_words: str
    cautions: tuple[tuple[str, str], ...]
    page: str
    tray: tuple[TrayRow, ...]
    columns: tuple[str, ...]  # the other ranges
    no_paints: str
    sundries: tuple[Sundry, ...]
    mixing: tuple[str, ...]
    mixtures: tuple[Mixture, ...]
    steps: tuple[Step, ...]
    bench: tuple[BenchRow, ...]
    glossary: tuple[tuple[str, str], ...]
    credits: tuple[str, ...]
    targets: tuple[Target, ...] = ()
    pictures: tuple[bytes, ...] = field(default=(), repr=False)  # PNG or JPEG
