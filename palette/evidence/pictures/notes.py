"""What reading pictures and videos notices, and what a reference lacks to be good evidence."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class Mark:
    """A region marked in a picture: an anchor by its number, from 1, or the sample of a part."""

    anchor: int = 0
    part: str = ""


# Files


@dataclass(frozen=True)
class ProfileUnused(Note):
    """The embedded profile cannot be used."""

    fault: str  # damaged | cut off | curve damaged | curve cut off | tables damaged | flat | bare | channels
    inks: bool  # ideal inks are assumed, not sRGB
    channels: str = ""  # that it is made for, where it is for others than the file's


@dataclass(frozen=True)
class InksUnprofiled(Note):
    """Inks without a profile."""


@dataclass(frozen=True)
class FloatsUnprofiled(Note):
    """Floating point levels without a profile."""


@dataclass(frozen=True)
class AdobeUnprofiled(Note):
    """The camera said Adobe RGB (1998) in its Exif data and embedded no profile."""


@dataclass(frozen=True)
class GammaUnprofiled(Note):
    """A PNG with a file gamma that is not sRGB's, and no profile."""

    gamma: float


@dataclass(frozen=True)
class RangeUnread(Note):
    """The file states a high dynamic range that is not read."""


@dataclass(frozen=True)
class PartMissing(Note):
    """Pixels that the file lacks."""

    share: float  # 0..1
    side: str  # top | bottom | left | right, of the upright picture; '' where they are at none
    why: str  # cut off | data cut off | never written | blank | damaged | no more rows


@dataclass(frozen=True)
class LevelsLeftOut(Note):
    """Pixels whose levels are no numbers, or such as no picture has."""

    count: int
    share: float  # 0..1


# Videos


@dataclass(frozen=True)
class FramesWeave(Note):
    """Averaged frames were laid on one another."""

    most: float  # pixels


@dataclass(frozen=True)
class NotStill(Note):
    """The shot changes within the time to average over."""

    around: float  # seconds either way
    used: int  # frames
    frames: int


@dataclass(frozen=True)
class PixelsNotSquare(Note):
    width: int
    height: int  # their ratio


@dataclass(frozen=True)
class FrameStartsAt(Note):
    """The frame shown at the time asked for has begun long before."""

    time: str


@dataclass(frozen=True)
class FrameDamaged(Note):
    """The decoder calls the frame corrupt."""


@dataclass(frozen=True)
class MatrixUnread(Note):
    """The stream's matrix is of a rare kind."""


@dataclass(frozen=True)
class MatrixAssumed(Note):
    name: str


@dataclass(frozen=True)
class RangeAssumed(Note):
    full: bool


@dataclass(frozen=True)
class TransferAssumed(Note):
    """The stream states no transfer; sRGB's is assumed."""


# References


@dataclass(frozen=True)
class Unreadable(Note):
    what: str  # of its problem


@dataclass(frozen=True)
class ShowsTheSame(Note):
    """An earlier reference shows the same; whether they count once is known when both are measured."""

    other: str  # its id
    how: str  # alike | mirrored | same file
    once: bool | None = None


@dataclass(frozen=True)
class IsCopy(Note):
    """A copy of an earlier reference's picture, by its grain."""

    other: str  # its id
    turn: int  # see `copies.TURNS`
    change: str  # '' | edited | cropped


@dataclass(frozen=True)
class ToneContradicted(Note):
    """The picture has colour and is declared grey, or has none and is declared colour."""

    coloured: bool


@dataclass(frozen=True)
class NoSample(Note):
    """No part is marked."""


@dataclass(frozen=True)
class MarkOutside(Note):
    mark: Mark
    partly: bool


@dataclass(frozen=True)
class MarkSmall(Note):
    mark: Mark
    pixels: int


@dataclass(frozen=True)
class NoAnchor(Note):
    grey: bool
    light: bool  # a light is stated


@dataclass(frozen=True)
class NoPlaceInFilm(Note):
    """A frame without its video, or its time in it."""

    video: bool  # it is named


@dataclass(frozen=True)
class SmallPicture(Note):
    width: int
    height: int


@dataclass(frozen=True)
class NoCredit(Note):
    """Nobody is credited."""


@dataclass(frozen=True)
class OfPicture(Note):
    """A note about one of several files."""

    file: str
    note: Note
