"""Notes of the rooms below as sentences for the page."""

from __future__ import annotations


def said(note: object) -> str:
    """A note in words."""
    return str(note)
