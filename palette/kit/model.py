"""The maker's record as plain data: what kit.toml says, checked, with the line each thing stands on.

Colours stated in a kit are CIELAB D65 once read, except those that name a swatch or another part:
the rooms above resolve these, since a kit does not know paints or schemes.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

from palette.errors import Problem

SCHEMA = 1
STAGES = ("draft", "trial", "settled")
FINISHES = ("matt", "satin", "gloss", "metallic", "clear", "bare", "lit")
UNPAINTED = ("clear", "bare", "lit")  # finishes of parts that get no paint
KINDS = ("photograph", "frame", "print", "artwork", "object")
TONES = ("colour", "grey")
MESH_UNITS = ("mm", "cm", "inch", "m")
SUBJECTS = ("original", "painted")
LEAST_SPREAD = 0.05  # CIEDE2000; no anchor is believed better than this, whatever its kit says


@dataclass(frozen=True)
class Rect:
    """Pixels whose centres lie in [x, x + width) × [y, y + height), counted from the top left."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Polygon:
    """Pixels whose centres lie inside, by the even-odd rule."""

    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Spot:
    """Pixels whose centres lie within `radius` of (x, y)."""

    x: float
    y: float
    radius: float


Region: TypeAlias = Rect | Polygon | Spot


@dataclass(frozen=True)
class StatedColour:
    """A colour as a kit states it; exactly one of the first four is set."""

    lab: tuple[float, float, float] | None = None  # from lab, hex or munsell
    swatch: str | None = None  # an id of the kit's lists
    part: str | None = None  # settled from another reference (anchors only)
    neutral: bool = False  # grey of unknown lightness (anchors only)
    words: str = ""  # as written, for messages: 'munsell N 9/'
    line: int | None = None


@dataclass(frozen=True)
class Hint:
    """What someone wrote or remembered of a part's colour."""

    words: str
    source: str = ""
    trust: float = 0.5
    line: int | None = None


@dataclass(frozen=True)
class Than:
    """Read off a picture: this part is lighter than that one."""

    lighter: str
    line: int | None = None


@dataclass(frozen=True)
class Part:
    id: str
    name: str
    finish: str = (
        "matt"  # of paint: matt … metallic; clear: a see-through part; bare: not painted; lit: a lamp
    )
    area_cm2: float | None = None
    mesh: Path | None = None
    mesh_unit: str = ""  # mm, cm, inch or m; '' where the kit does not say, which is millimetres
    after: tuple[str, ...] = ()
    same_as: str | None = None
    colour: StatedColour | None = None  # the maker's own decision; of a lit part, the colour of its light
    why: str = ""
    shade: float | None = None  # L* by which its shade is darker, where the kit's own rule does not hold
    highlight: float | None = None  # L* by which its highlight is lighter, likewise
    hints: tuple[Hint, ...] = ()
    thans: tuple[Than, ...] = ()
    line: int | None = None


@dataclass(frozen=True)
class Anchor:
    """A surface in a picture whose true colour is known to within `spread` (CIEDE2000, nine times in ten)."""

    region: Region
    colour: StatedColour
    spread: float = 1.0
    surface: str = ""  # anchors of one name lie on one plain surface: whatever its colour, it is the same
    line: int | None = None


@dataclass(frozen=True)
class PartSample:
    """Where a picture shows a part."""

    part: str
    region: Region
    line: int | None = None
    turned: bool = False  # otherwise than the anchors towards the light, or in half shade


@dataclass(frozen=True)
class Reference:
    id: str
    file: Path  # absolute, or relative to the working folder: ready to open
    kind: str = "photograph"
    tone: str = "colour"
    subject: str = "original"
    light: str | float | None = None
    response: str | Path = "panchromatic"  # a registered name, or the path of a CSV
    filter: Path | None = None
    uneven: float = 0.10  # standard deviation of log exposure from place to place
    year: int | None = None
    credit: str = ""
    licence: str = ""
    print: bool = True  # False: described in what is published, not reproduced
    video: str = ""  # a frame's: the film it was taken from …
    time: str = ""  # … and where in it, 'h:mm:ss.sss'
    trust: float = 1.0
    anchors: tuple[Anchor, ...] = ()
    samples: tuple[PartSample, ...] = ()
    line: int | None = None


@dataclass(frozen=True)
class KitFile:
    """A file that a bundle of the kit carries besides what palette makes."""

    file: Path  # ready to open
    name: str  # as the kit writes it, from its own folder on
    what: str = ""  # in words: 'without lamp'
    line: int | None = None


@dataclass(frozen=True)
class Kit:
    path: Path  # of kit.toml
    title: str
    maker: str = ""
    stage: str = "draft"
    version: str = ""
    date: datetime.date | None = None  # of this edition
    page: str = ""  # address of its web edition
    scale: str = ""
    licence: str = ""
    swatches: tuple[Path, ...] = ()
    light: str | float = "D65"
    tolerance: float = 3.0
    scale_effect: bool = False
    shade: float = 12.0  # L* by which a part's shade is darker; 0: no shades
    highlight: float = 12.0  # L* by which its highlight is lighter; 0: no highlights
    tone_hue: float = 6.0  # degrees of hue by which shades turn cooler and highlights warmer
    year: int | None = None  # the year whose livery the kit is after
    repainted: tuple[int, ...] = ()  # years in which the original was repainted
    cover: str = ""  # id of the reference that shows where parts are
    files: tuple[KitFile, ...] = ()  # what a bundle also carries
    parts: tuple[Part, ...] = ()
    references: tuple[Reference, ...] = ()
    lines: dict[str, int] = field(default_factory=dict, compare=False)  # of [kit]'s keys
    warnings: tuple[Problem, ...] = field(default=(), compare=False)  # keys that are kept but not read

    @classmethod
    def read(cls, path: str | Path) -> Kit:
        """Read a kit.toml, or the one in the folder given.

        Raises:
            InputError: with every problem found, each with its line.
        """
        from palette.kit.read import read

        return read(Path(path))

    def part(self, id: str) -> Part:
        """The part of that id; KeyError where there is none."""
        for part in self.parts:
            if part.id == id:
                return part
        raise KeyError(id)
