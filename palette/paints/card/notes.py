"""What reading a photographed card notices of the photograph."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class UnevenCard(Note):
    """The light falls off over the card."""

    ratio: float  # brightest to darkest


@dataclass(frozen=True)
class ByPaper(Note):
    """No grey card or chart: corrected by the paper, taken for common white paper."""


@dataclass(frozen=True)
class GreyCardUnstated(Note):
    """The grey card's lightness is not stated; the paper fixes the exposure."""
