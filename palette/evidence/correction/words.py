"""Small numbers and lists in words."""

from __future__ import annotations

from collections.abc import Sequence

_WORDS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def in_words(what: int | Sequence[str]) -> str:
    """`6` -> 'six' (figures above twelve); `("a", "b", "c")` -> 'a, b and c'."""
    if isinstance(what, int):
        return _WORDS[what] if what < len(_WORDS) else str(what)
    return what[0] if len(what) == 1 else f"{', '.join(what[:-1])} and {what[-1]}"
