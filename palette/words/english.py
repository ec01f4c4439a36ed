"""The words of scales, and lists, in English: what the command line and the desk need before any note is said.

`SURE`, `SHOWS` and `BASIS` are the catalogue's own English words, without its reader; a test holds them equal.
"""

from __future__ import annotations

from collections.abc import Sequence

from palette.colour.scales import Step, Sureness, Visibility, sureness, visibility

SURE = {
    Sureness.FIRM: "firm",
    Sureness.GOOD: "good",
    Sureness.FAIR: "fair",
    Sureness.LOOSE: "loose",
    Sureness.OPEN: "open",
}
SHOWS = {
    Visibility.UNSEEN: "not seen",
    Visibility.HARDLY: "hardly seen",
    Visibility.SIDE_BY_SIDE: "seen side by side",
    Visibility.PLAIN: "plainly seen",
    Visibility.ANOTHER_COLOUR: "another colour",
}
BASIS = {
    "colour": "colour pictures",
    "grey": "inferred from grey",
    "hint": "words only",
    "decision": "the maker's decision",
    "none": "no evidence yet",
}
_TOWARDS = {
    "lighter": "lighter", "darker": "darker", "vivid": "more vivid", "grey": "greyer", "red": "redder",
    "orange": "more orange", "yellow": "yellower", "green": "greener", "blue": "bluer", "purple": "more purple",
}  # fmt: skip


def sure(radius90: float) -> str:
    """How sure a colour is, in one word."""
    return SURE[sureness(radius90)]


def shows(difference: float) -> str:
    """Whether a difference would show."""
    return SHOWS[visibility(difference)]


def joined(words: Sequence[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def change(steps: Sequence[Step]) -> str:
    """'redder and a little darker'; empty where nothing need change."""
    return " and ".join(f"{_much(step.size)}{_TOWARDS[step.towards]}" for step in steps)


def _much(size: float) -> str:
    return "a little " if size < 2.5 else "much " if size > 8 else ""


def sentence(text: str) -> str:
    """With a capital first and a stop last."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
