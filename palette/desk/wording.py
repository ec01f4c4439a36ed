"""Notes of the rooms below as sentences for the page."""

from __future__ import annotations

from palette.notes import Note
from palette.words import sentence


def said(note: object) -> str:
    """A note in words; what is a text already as it is."""
    if not isinstance(note, Note):
        return str(note)
    from palette.words import say  # only now: a desk that has nothing to say yet starts sooner

    return sentence(say(note))
