"""What sampling loose pictures notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class CastAllOver(Note):
    """The pictures share a cast that may be the light's."""

    files: tuple[str, ...]
    tint: str  # bluish, …


# Why a picture has as many colours as it has


@dataclass(frozen=True)
class NoMoreColours(Note):
    """The picture has fewer colours than were asked for."""

    count: int


@dataclass(frozen=True)
class AsManyAsAsked(Note):
    """There are as many colours as were asked for."""

    count: int
    auto: int  # how many there would have been without asking


@dataclass(frozen=True)
class MostColours(Note):
    """There are as many colours as auto gives at most: the nearest were taken together."""

    count: int


@dataclass(frozen=True)
class ShadesTogether(Note):
    """Shades of one paint were taken together, which left these colours."""

    count: int
