"""One edition after another: what changed since the last, and none that was settled is overwritten.

A scheme.json remembers which edition it is, and the colours of the one before, so that building an edition
again says the same again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from palette.colour.difference import difference
from palette.errors import InputError, Problem
from palette.evidence.combine.model import Scheme
from palette.evidence.combine.notes import SettledChanged
from palette.kit.model import Kit
from palette.notes import Note

SAME = 0.05  # CIEDE2000: below it a colour has not changed


@dataclass(frozen=True)
class Colour:
    """One part of an edition: its CIELAB colour and what that rests on."""

    lab: tuple[float, float, float] | None
    basis: str


@dataclass(frozen=True)
class Edition:
    version: str
    stage: str
    parts: Mapping[str, Colour]


@dataclass(frozen=True)
class Changed:
    """A part that is another colour than it was; `old` is None where it is new, `new` where it is gone or
    undecided. `why`: the basis that is another now ('colour', 'grey', 'hint', 'decision'), '' for the
    same."""

    part: str
    old: tuple[float, float, float] | None
    new: tuple[float, float, float] | None
    difference: float | None  # CIEDE2000
    why: str


def edition(scheme: Scheme) -> Edition:
    """What an edition is remembered by."""
    parts = {}
    for colour in scheme.parts:
        lab = None if colour.lab is None else tuple(round(float(v), 4) for v in colour.lab)
        parts[colour.part.id] = Colour(lab, colour.basis)  # type: ignore[arg-type]
    return Edition(scheme.kit.version, scheme.kit.stage, parts)


def as_json(it: Edition) -> dict[str, Any]:
    return {
        "version": it.version,
        "stage": it.stage,
        "parts": [
            {"part": id, "lab": None if c.lab is None else list(c.lab), "basis": c.basis}
            for id, c in it.parts.items()
        ],
    }


def last_edition(path: Path, version: str) -> Edition | None:
    """The edition before the one of that version, from the scheme.json of an earlier run; None where there
    is none, or where the file is no scheme.json."""
    document = _document(path)
    if document is None:
        return None
    there = _read(document.get("edition"), document.get("parts"))
    if there is None:
        return None
    if there.version != version:
        return there
    before = document.get("last_edition")
    return _read(before, before.get("parts")) if isinstance(before, dict) else None


def read_edition(path: Path) -> Edition | None:
    """The edition that a scheme.json holds; None where it is none."""
    document = _document(path)
    return None if document is None else _read(document.get("edition"), document.get("parts"))


def keep_settled(path: Path, now: Edition, kit: Kit) -> None:
    """Refuse to overwrite the guide of a settled edition with another scheme under the same version.

    Raises:
        InputError: that is what would happen.
    """
    there = read_edition(path)
    if there is None or there.stage != "settled" or there.version != now.version:
        return
    changed = changes(there, now)
    if not changed:
        return
    count = "1 part" if len(changed) == 1 else f"{len(changed)} parts"
    version = f"version {there.version}" if there.version else "this edition"
    raise InputError(
        Problem(
            str(kit.path),
            kit.lines.get("version"),
            f"{version} is settled, and {count} would be another colour than in {path}",
            "give [kit] a new version, or write elsewhere with --out",
        )
    )


def since_settled(scheme: Scheme) -> tuple[Note, ...]:
    """What to say where a settled kit's scheme is another than that of its settled guide."""
    kit = scheme.kit
    there = read_edition(kit.path.parent / "out" / "scheme.json")
    if kit.stage != "settled" or there is None or there.stage != "settled":
        return ()
    called = {part.id: part.name for part in kit.parts}
    parts = tuple(called.get(one.part, one.part) for one in changes(there, edition(scheme)))
    return (SettledChanged(there.version, parts),) if parts else ()


def changes(old: Edition, new: Edition) -> tuple[Changed, ...]:
    """What changed from one edition to another, in the order of the new, then what is gone."""
    changed = []
    for id, colour in new.parts.items():
        before = old.parts.get(id)
        if before is None:
            changed.append(Changed(id, None, colour.lab, None, ""))
            continue
        why = "" if before.basis == colour.basis or colour.basis == "none" else colour.basis
        if before.lab is None or colour.lab is None:
            if before.lab is not colour.lab:
                changed.append(Changed(id, before.lab, colour.lab, None, why))
            continue
        off = float(difference(np.array(before.lab), np.array(colour.lab)))
        if off >= SAME:
            changed.append(Changed(id, before.lab, colour.lab, off, why))
    gone = (Changed(id, c.lab, None, None, "") for id, c in old.parts.items() if id not in new.parts)
    return (*changed, *gone)


def written(text: str) -> Edition | None:
    """The edition that the text of a scheme.json is of."""
    document = json.loads(text)
    return _read(document.get("edition"), document.get("parts"))


def _document(path: Path) -> dict[str, Any] | None:
    try:
        document = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError):
        return None
    return document if isinstance(document, dict) else None


def _read(head: object, parts: object) -> Edition | None:
    """An edition from the head that names it and its list of parts, or None where that is none."""
    if not isinstance(head, dict) or not isinstance(parts, list):
        return None
    colours = {}
    for entry in parts:
        if not isinstance(entry, dict) or not isinstance(entry.get("part"), str):
            return None
        lab = entry.get("lab")
        if lab is not None:
            if not isinstance(lab, list) or len(lab) != 3 or not all(isinstance(v, int | float) for v in lab):
                return None
            lab = tuple(round(float(v), 4) for v in lab)
        colours[entry["part"]] = Colour(lab, str(entry.get("basis", "none")))
    return Edition(str(head.get("version", "")), str(head.get("stage", "")), colours)
