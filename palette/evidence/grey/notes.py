"""What reading grey pictures notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class HoldsColour(Note):
    """A reference that is declared grey holds colour; its luma is read."""

    reference: str
    file: str


@dataclass(frozen=True)
class AnchorLeftOut(Note):
    """An anchor on a part that no colour reference settles."""

    reference: str
    anchor: str
    part: str


@dataclass(frozen=True)
class AnchorAstray(Note):
    """An anchor that fits none of what the others say of the picture's tones, and is not believed."""

    reference: str
    anchor: str
    part: bool  # it is the mark of a part whose colour is known


@dataclass(frozen=True)
class AnchorsAtOdds(Note):
    """Anchors of which one is wrong, nobody knows which: none of them is believed."""

    reference: str
    anchors: tuple[str, ...]


@dataclass(frozen=True)
class ColourAstray(Note):
    """A part whose colour, known from elsewhere, does not fit what grey pictures show of it."""

    part: str
    references: tuple[str, ...]
    colour: bool  # the colour is wrong; else that, or a mark in these pictures


@dataclass(frozen=True)
class IsCopy(Note):
    """A picture that is a copy of another, which counts for both."""

    reference: str
    other: str


@dataclass(frozen=True)
class WithHint(Note):
    """A part that was weighed with somebody's words."""

    words: str
    source: str


@dataclass(frozen=True)
class WithComparison(Note):
    """A part that was weighed as lighter or darker than another."""

    lighter: bool
    part: str


@dataclass(frozen=True)
class PartClipped(Note):
    """The part is clipped, so that its level is only a bound."""

    reference: str
    white: bool


@dataclass(frozen=True)
class BeyondAnchors(Note):
    """The part is lighter, or darker, than every anchor."""

    reference: str
    lighter: bool


@dataclass(frozen=True)
class NoExposure(Note):
    """No anchor fixes the exposure."""

    reference: str


@dataclass(frozen=True)
class NoContrast(Note):
    """One anchor fixes the exposure, and nothing the contrast."""

    reference: str


@dataclass(frozen=True)
class OutshinesWhite(Note):
    """The part is brighter than the white anchor."""

    reference: str
    anchor: str
    lightness: float  # L* of the anchor
    levels: tuple[float, float]  # of the part, of the anchor


@dataclass(frozen=True)
class NoPaintFits(Note):
    """No paint of the list explains what the pictures show."""
