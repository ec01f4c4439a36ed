"""What sampling notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.evidence.pictures.notes import Mark
from palette.notes import Note, Routine

FEW_CLIPPED = 0.05  # of a sample, which its error counts in; common practice, no source


@dataclass(frozen=True)
class Clipped(Note):
    """Part of the sample lies at an end of a channel's range."""

    share: float  # 0..1
    channel: str  # red | green | blue
    bright: bool  # at the top of the range, not at its bottom

    @property
    def routine(self) -> bool:
        return self.share < FEW_CLIPPED


@dataclass(frozen=True)
class SeveralColours(Note):
    """The mark holds more than one surface."""

    share: float  # 0..1, of the smaller one


@dataclass(frozen=True)
class LightEdge(Note):
    """An edge in the light runs through the mark: a cast shadow, or a second, darker surface."""

    share: float  # 0..1, of the darker side
    factor: float  # by which it is darker


@dataclass(frozen=True)
class GlossTakenOff(Routine):
    """Gloss lay over all of the sample."""

    share: float  # 0..1, of its light


@dataclass(frozen=True)
class Shaded(Routine):
    """The surface is shaded; its lit part counts."""

    factor: float  # from end to end


@dataclass(frozen=True)
class LeftOut(Routine):
    """Pixels that are not of the surface."""

    what: str  # rim | highlight | dark | other
    share: float  # 0..1


@dataclass(frozen=True)
class ScreenAveraged(Routine):
    """A print's halftone screen was averaged out."""

    period: float  # pixels from dot to dot


@dataclass(frozen=True)
class JpegBlocks(Routine):
    """The blocks of JPEG compression show."""


@dataclass(frozen=True)
class FewPixels(Note):
    """The mark is so small that its scatter says little of its error."""

    count: int


@dataclass(frozen=True)
class Colourless(Note):
    """A picture that is said to be a colour picture holds no colour."""

    toned: bool = False  # but that of a toning: sepia, blue, or a cast


@dataclass(frozen=True)
class OfMark(Note):
    """A note about one mark of a reference."""

    mark: Mark
    note: Note


@dataclass(frozen=True)
class OverTheEdge(Note):
    """The mark runs over the edge of its picture."""

    mark: Mark
