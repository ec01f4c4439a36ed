"""Every sentence for people, made from typed notes: one module a language.

`say` makes a sentence of a note, the rest puts numbers of a scale, lists and counts in words. A part or a
reference is called by what `Naming` makes of its id: its id in quotation marks, unless the page has names.
"""

from __future__ import annotations

from palette.words.english import (
    BASIS,
    Naming,
    by_id,
    change,
    count,
    joined,
    once_in,
    say,
    sentence,
    shows,
    sure,
)

__all__ = [
    "BASIS", "Naming", "by_id", "change", "count", "joined", "once_in", "say", "sentence", "shows", "sure",
]  # fmt: skip
