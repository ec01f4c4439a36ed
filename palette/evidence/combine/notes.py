"""What weighing the evidence notices: of a source, of a part, and of the kit as a whole."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note

# Of a source: why it is set aside, or nearly …


@dataclass(frozen=True)
class SetAside(Note):
    """A source that does not count, or hardly."""


@dataclass(frozen=True)
class NoTrust(SetAside):
    """The maker gives it no trust."""


@dataclass(frozen=True)
class CopyOf(SetAside):
    """It is a copy of another picture, which counts for both."""

    reference: str
    apart: float | None = None  # CIEDE2000 between what the two say, where that is odd


@dataclass(frozen=True)
class OtherLivery(SetAside):
    """It shows the livery before, or after, a repaint."""

    year: int
    before: bool


@dataclass(frozen=True)
class NotBelieved(SetAside):
    """It lies far from what the rest supports."""

    off: float  # CIEDE2000


@dataclass(frozen=True)
class InDoubt(SetAside):
    """It may be wrong."""

    off: float  # CIEDE2000 from the colour given
    right: float  # 0..1, the probability that it is right


@dataclass(frozen=True)
class GreyNotBelieved(SetAside):
    """Grey pictures that the rest contradicts."""

    right: float  # 0..1


@dataclass(frozen=True)
class PictureInDoubt(Note):
    """The picture contradicts others elsewhere, so that what hangs on it alone is in doubt, too."""

    parts: tuple[str, ...]  # ids of the parts where it does
    right: float  # 0..1, the probability that it is right there


# … or how it counts


@dataclass(frozen=True)
class SampleApart(Note):
    """A sample that cannot be the same paint as the part's others in one picture."""

    number: int  # among the picture's samples of the part, from 1
    off: float  # CIEDE2000 from the nearest of the others


@dataclass(frozen=True)
class Vague(Note):
    """It counts little, being vaguer than the rest."""


@dataclass(frozen=True)
class CountedWithGrey(Note):
    """Words that the grey pictures were read with, and that count there."""


@dataclass(frozen=True)
class WithWords(Note):
    """Grey pictures with which the words are counted."""


@dataclass(frozen=True)
class OneAnswer(Note):
    """Grey pictures that were read together."""

    references: tuple[str, ...]


@dataclass(frozen=True)
class WordsTaken(Note):
    """What words of a hint were taken to mean."""

    words: str
    meaning: str

    @property
    def routine(self) -> bool:
        return self.words.casefold() == self.meaning.casefold()


# Of a part


@dataclass(frozen=True)
class SamePaintAs(Note):
    """It is the same paint as other parts, and shares their evidence."""

    parts: tuple[str, ...]  # ids


@dataclass(frozen=True)
class OfSample(Note):
    """A note on a source's sample of the part."""

    source: str
    note: Note


@dataclass(frozen=True)
class Disagrees(Note):
    """The evidence disagrees."""

    odds: float  # the probability of so much scatter, were all of it right


@dataclass(frozen=True)
class WordsContradicted(Note):
    """Words believed by the maker that every picture contradicts."""

    source: str
    off: float  # CIEDE2000


@dataclass(frozen=True)
class NotLighter(Note):
    """A part that is said to be lighter than another, and that pictures show darker."""

    part: str
    lighter: str
    darker: float  # L*


@dataclass(frozen=True)
class DecidedForSamePaint(Note):
    """Its colour was decided for a part of the same paint."""


@dataclass(frozen=True)
class Decided(Note):
    """The maker decided on its colour."""

    why: str


@dataclass(frozen=True)
class DecisionOff(Note):
    """The maker's decision lies outside what the evidence supports."""

    off: float  # CIEDE2000
    radius90: float


# Of the kit


@dataclass(frozen=True)
class NotCompared(Note):
    """A comparison of two parts that counts nowhere, for want of grey pictures."""

    part: str
    lighter: str


@dataclass(frozen=True)
class DecidedApart(Note):
    """Two parts of one paint whose colours are decided differently."""

    first: str
    part: str
    off: float  # CIEDE2000


@dataclass(frozen=True)
class LiveryGuessed(Note):
    """The kit was repainted and has no year: the livery of most of its pictures is taken."""

    left_out: tuple[tuple[str, OtherLivery], ...]  # (reference, why)


@dataclass(frozen=True)
class AnchorUnsettled(Note):
    """An anchor on a part that nothing else settles is left out."""

    reference: str
    part: str


@dataclass(frozen=True)
class SettledFails(Note):
    """The kit is settled, and its painted print is not as the guide says."""

    parts: tuple[str, ...]  # their names


@dataclass(frozen=True)
class SettledChanged(Note):
    """The kit is settled, and its scheme is another than the settled edition's."""

    version: str  # of the settled edition; '' where it has none
    parts: tuple[str, ...]  # their names


@dataclass(frozen=True)
class AnchorOnPrint(Note):
    """The painted print's anchors on parts are left out: it cannot vouch for its own paint."""

    reference: str
