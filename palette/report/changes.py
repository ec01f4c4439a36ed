"""What `palette changes` answers, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

import numpy as np

from palette.colour.names import name
from palette.colour.spaces import lab_to_hex
from palette.words import BASIS, shows

Lab = tuple[float, float, float]


class Changed(Protocol):
    """A part that is another colour than it was."""

    @property
    def part(self) -> str: ...
    @property
    def old(self) -> Lab | None: ...
    @property
    def new(self) -> Lab | None: ...
    @property
    def difference(self) -> float | None: ...
    @property
    def why(self) -> str: ...


class Comparison(Protocol):
    """One edition of a kit beside another."""

    @property
    def title(self) -> str: ...
    @property
    def old(self) -> str: ...
    @property
    def new(self) -> str: ...
    @property
    def parts(self) -> Sequence[Changed]: ...


def changes_json(comparison: Comparison) -> dict[str, Any]:
    """What `palette changes --json` prints."""
    return {
        "schema": 1,
        "from": comparison.old,
        "to": comparison.new,
        "parts": [
            {
                "part": one.part,
                "old": None if one.old is None else list(one.old),
                "new": None if one.new is None else list(one.new),
                "difference": one.difference,
                "why": BASIS.get(one.why, one.why),
            }
            for one in comparison.parts
        ],
    }


def changes_text(comparison: Comparison) -> str:
    """What `palette changes` prints for people."""
    heading = f"{comparison.title}, from {comparison.old} to {comparison.new}"
    if not comparison.parts:
        return f"{heading}: no colour changed."
    lines = [heading, ""]
    wide = max(len(one.part) for one in comparison.parts)
    for one in comparison.parts:
        off = "" if one.difference is None else f", {one.difference:.1f} apart ({shows(one.difference)})"
        why = f"; now {BASIS.get(one.why, one.why)}" if one.why else ""
        lines.append(f"  {one.part:<{wide}}  {_called(one.old)} → {_called(one.new)}{off}{why}")
    return "\n".join(lines)


def _called(lab: Lab | None) -> str:
    if lab is None:
        return "undecided"
    colour = np.array(lab)
    return f"{name(colour)} {lab_to_hex(colour)}"
