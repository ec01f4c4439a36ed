"""What a step noticed, as data: a small record a kind, with the values it is about.

Nobody compares sentences: code asks a note what kind it is, and only `palette.words` makes a sentence of it.
Each room's own kinds stand in its `notes.py`.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Note:
    """Something worth knowing. Kinds of note are frozen dataclasses that extend this."""

    @property
    def routine(self) -> bool:
        """Whether it is dealt with already (left out, taken off, counted in) and asks for nothing."""
        return False


@dataclass(frozen=True)
class Routine(Note):
    """A note of what palette has dealt with by itself."""

    @property
    def routine(self) -> bool:
        return True


@dataclass(frozen=True)
class OfReference(Note):
    """A note about one reference of the kit."""

    reference: str  # its id
    note: Note
