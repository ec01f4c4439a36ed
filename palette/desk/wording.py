"""Notes of the rooms below as sentences for the page."""

from __future__ import annotations

from palette.notes import Note
from palette.words import sentence


def said(note: object) -> str:
    """A note in words; what is a text already as it is."""
    if not isinstance(note, Note):
        return str(note)
    from palette.words import say  # the words of every room are a third of the time in which a desk starts

    return sentence(say(note))
