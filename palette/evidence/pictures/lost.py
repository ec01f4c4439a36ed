"""What is missing of a picture: which pixels, how much, and whether the rest is enough to go by.

A part whose data are gone is a hole in the picture, like one that is transparent: no colour is read there.
Where most of the picture is gone, or nobody can tell which part is, it is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem
from palette.evidence.pictures.notes import LevelsLeftOut, PartMissing
from palette.evidence.pictures.regions import Mask
from palette.evidence.pictures.stored import turn

MOST = 0.5  # share of a picture that may be missing while the rest is used
REMEDY = "copy it again from where it came, or open it in an editor and save what there is"


WHY = {
    "cut off": "the file is cut off",
    "data cut off": "its data are cut off",
    "never written": "the end of the file was never written",
    "blank": "a piece of the file is blank",
    "damaged": "a piece of the file is damaged",
    "no more rows": "the file has no more rows",
}
_SIDES = {
    "": "",
    "top": ", at the top",
    "bottom": ", at the bottom",
    "left": ", on the left",
    "right": ", on the right",
}


@dataclass(frozen=True)
class Lost:
    """Pixels that a file lacks, as stored (h, w), and what there is to say of them."""

    missing: Mask
    note: PartMissing | LevelsLeftOut

    def hole(self, kind: np.dtype[Any], alpha: NDArray[Any] | None = None) -> NDArray[Any]:
        """An alpha channel (h, w) of a kind of number, nought where the picture is missing."""
        top = kind.type(1) if kind.kind == "f" else np.iinfo(kind).max
        whole = np.full(self.missing.shape, top, dtype=kind) if alpha is None else alpha.copy()
        whole[self.missing] = 0
        return whole


def lost(path: Path, missing: Mask, orientation: int, why: str) -> Lost | None:
    """The pixels that a file lacks; None where it lacks none. `why` is one of `WHY`.

    Raises:
        InputError: more than `MOST` of them are missing.
    """
    share = float(missing.mean())
    if not share:
        return None
    note = PartMissing(share, _side(turn(missing, orientation)), why)
    if share > MOST:
        raise unknown(path, described(note))
    return Lost(missing, note)


def described(note: PartMissing) -> str:
    """How much of a picture is missing, where and why, as a problem says it."""
    share = "less than 1" if note.share < 0.01 else f"{100 * note.share:.0f}"
    return f"{share} % of the picture is missing{_SIDES[note.side]}: {WHY[note.why]}"


def unknown(path: Path, what: str) -> InputError:
    """The problem of a picture that is damaged where nobody can tell."""
    return InputError(Problem(str(path), None, what, REMEDY))


def _side(missing: Mask) -> str:
    """At which side of the upright picture they are; '' where they are at none."""
    rows, columns = np.all(missing, axis=1), np.all(missing, axis=0)
    total = missing.sum()
    for lines, across, names in (
        (rows, missing.shape[1], ("top", "bottom")),
        (columns, missing.shape[0], ("left", "right")),
    ):
        lines = np.atleast_1d(lines)
        if lines.sum() * across >= 0.9 * total and not lines.all():
            if lines[-1] and not lines[0]:
                return names[1]
            if lines[0] and not lines[-1]:
                return names[0]
    return ""
