"""What sampling loose pictures notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class CastAllOver(Note):
    """The pictures share a cast that may be the light's."""

    files: tuple[str, ...]
    tint: str  # bluish, …
