"""What changed from one edition of a kit to another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from palette.errors import InputError, Problem
from palette.guide.editions import Changed, Edition, changes, edition
from palette.kit.model import Kit
from palette.shelf.filed import edition_of, filed, find

NOW = "now"


@dataclass(frozen=True)
class Comparison:
    title: str  # of the kit
    old: str  # its version
    new: str  # its version, or 'now'
    parts: tuple[Changed, ...]


def compare(
    kit: Kit, old: str | None, new: str | None, progress: Callable[[int, int], None] | None = None
) -> Comparison:
    """Edition `old` (default: the last that was let out) beside edition `new` (default: the kit as it is).

    Raises:
        InputError: no such edition, none at all, or what is wrong with the kit.
    """
    if old is None:
        last = filed(kit)[-1:]
        if not last:
            what = "no edition was let out yet, so there is nothing to compare with"
            raise InputError(Problem(str(kit.path), None, what, "let one out with palette release"))
        first = last[0]
    else:
        first = find(kit, old)
    after = _now(kit, progress) if new is None or new == NOW else edition_of(find(kit, new))
    changed = changes(edition_of(first), after)
    return Comparison(kit.title, first.version, NOW if new is None else new, changed)


def _now(kit: Kit, progress: Callable[[int, int], None] | None) -> Edition:
    from palette.evidence.combine.build import colours

    return edition(colours(kit, progress)[0])
