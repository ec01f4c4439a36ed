"""What choosing a paint notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note


@dataclass(frozen=True)
class LooksOtherwise(Note):
    """A paint that looks otherwise than the part is to look: metallic | fluorescent | plain."""

    look: str
