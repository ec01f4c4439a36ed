"""Notes of the rooms below as sentences for the page."""

from __future__ import annotations

from palette.notes import Note
from palette.words import say, sentence


def said(note: object) -> str:
    """A note in words; what is a text already as it is."""
    return sentence(say(note)) if isinstance(note, Note) else str(note)
