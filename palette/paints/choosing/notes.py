"""What choosing a paint notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class LooksOtherwise(Note):
    """A paint that looks otherwise than the part is to look: metallic | fluorescent | plain."""

    look: str


@dataclass(frozen=True)
class PartsUnder(Note):
    """A paint or mixture matches under one light and not under another."""

    light: str | float  # that the kit is looked at in
    lamp: str | float
    difference: float  # CIEDE2000 under the lamp
