"""A range of paints changes: which kits and parts that touches, and what to use now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from palette.swatches.lists import changes
from palette.swatches.model import SwatchList

_SEEN = 1.0  # CIEDE2000: a paint that was reformulated by less is the same to a painter; common practice


@dataclass(frozen=True)
class Affected:
    """A part whose paint is no longer what it was."""

    folder: str
    kit: str
    part: str
    paint: str  # its code
    what: str  # gone | renamed | reformulated
    now: str  # the paint to use, 'code name'; '' where there is none
    difference: float | None  # CIEDE2000 between the part's colour and that


def affected(records: Mapping[str, dict[str, Any]], old: Path, new: Path) -> list[Affected]:
    """The parts of kits, by folder, whose paints are gone, renamed or reformulated from one list to another.

    Raises:
        InputError: one of the lists cannot be read.
    """
    touched = _touched(old, new)
    living = SwatchList.read(new)
    living = living.where([not swatch.retired for swatch in living.swatches])
    hit = []
    for folder, record in records.items():
        for part in record["parts"]:
            for code in _codes(part["codes"], touched):
                now, off = _instead(part["lab"], living)
                hit.append(Affected(folder, record["title"], part["name"], code, touched[code], now, off))
    return hit


def _touched(old: Path, new: Path) -> dict[str, str]:
    became = changes(old, new)
    before = {swatch.id: swatch for swatch in SwatchList.read(old).swatches}
    after = {swatch.id: swatch for swatch in SwatchList.read(new).swatches}
    touched = {id: "gone" for id, _ in became.removed}
    for one in became.changed:
        if one.difference is not None and one.difference >= _SEEN:
            touched[one.id] = "reformulated"
        elif one.id in before and one.id in after and before[one.id].name != after[one.id].name:
            touched[one.id] = "renamed"
    touched |= {id: "gone" for id, s in after.items() if s.retired and not before.get(id, s).retired}
    return touched


def _codes(codes: str, touched: Mapping[str, str]) -> list[str]:
    """The touched paints among '7 B-01 + 2 B-17'."""
    words = codes.replace("+", " ").split()
    return [code for code in touched if code in words or code == codes]


def _instead(lab: list[float] | None, living: SwatchList) -> tuple[str, float | None]:
    if lab is None or not len(living):
        return "", None
    (index,), (off,) = living.nearest(np.array(lab), 1)
    swatch = living.swatches[int(index)]
    return f"{swatch.id} {swatch.name}", round(float(off), 4)
