"""Every sentence for people, made from typed notes, and the fixed words of pages: one catalogue file a language.

`say` makes a sentence of a note, the rest puts numbers of a scale and lists in words. A part or a reference is
called by what `Naming` makes of its id: its id in quotation marks, unless the page has names.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from palette.words.english import BASIS, change, joined, sentence, shows, sure

if TYPE_CHECKING:
    from palette.words.notes import Naming, by_id, say

__all__ = ["BASIS", "Naming", "by_id", "change", "joined", "say", "sentence", "shows", "sure"]


def __getattr__(name: str) -> Any:
    # the notes' kinds stand in rooms that read pictures: what says no note does not pay for them
    if name in ("Naming", "by_id", "say"):
        from palette.words import notes

        return getattr(notes, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
