"""What kit.toml says, as the page needs it: plain data, without computing anything from pictures."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from palette import cache
from palette.desk import edits, plain
from palette.desk.typed import typed
from palette.errors import InputError, Problem
from palette.kit.model import FINISHES, KINDS, STAGES, SUBJECTS, TONES, Kit
from palette.memory import remembered
from palette.swatches.model import SwatchList

REGIONS = ("rect", "polygon", "spot")


@dataclass(frozen=True)
class FileFacts:
    """What is known of a reference's file without correcting it."""

    width: int | None
    height: int | None
    v: str | None  # changes when the file does; None where it cannot be read
    missing: tuple[str, ...] = ()
    same_as: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    facts: tuple[str, ...] = ()  # what the file says of itself, and what to know of that


def parts(data: Mapping[str, Any], kit: Kit | None, swatches: SwatchList) -> list[dict[str, Any]]:
    """Every part of a kit."""
    return [part(table, i, swatches) for i, table in enumerate(data.get("part", []), 1)]


def part(table: Mapping[str, Any], number: int, swatches: SwatchList) -> dict[str, Any]:
    """One part: what is read of it, and its own table as written."""
    id = str(table.get("id", ""))
    stated = table.get("colour")
    return {
        "id": id,
        "number": number,
        "name": str(table.get("name") or id),
        "finish": table.get("finish", "matt"),
        **{key: table.get(key) for key in ("area_cm2", "mesh", "same_as", "why")},
        "after": list(table.get("after", [])),
        "colour": stated_colour(stated, swatches),
        "hints": [
            {"words": h.get("words", ""), "source": h.get("source", ""), "trust": h.get("trust", 0.5)}
            for h in table.get("hint", [])
        ],
        "thans": [{"lighter": t.get("lighter", "")} for t in table.get("than", [])],
        "values": plain_values(
            {k: v for k, v in table.items() if k not in ("id", "hint", "than", "colour", "why")}
        ),
    }


def reference(table: Mapping[str, Any], facts: FileFacts, swatches: SwatchList) -> dict[str, Any]:
    """One reference with its marks."""
    defaults = {"kind": "photograph", "tone": "colour", "subject": "original", "trust": 1.0}
    keys = [
        "light",
        "response",
        "filter",
        "uneven",
        "year",
        "credit",
        "licence",
        "video",
        "time",
        "print",
    ]  # fmt: skip
    file = str(table.get("file", ""))
    return {
        "id": table.get("id", ""),
        "file": file,
        "name": Path(file).name,
        **{key: table.get(key, default) for key, default in defaults.items()},
        **{key: plain_values(table.get(key)) for key in keys},
        "width": facts.width,
        "height": facts.height,
        "missing": list(facts.missing),
        "same_as": list(facts.same_as),
        "problems": plain.problems(facts.problems),
        "v": facts.v,
        "anchors": [
            {
                "region": region(a),
                **(stated_colour(a.get("colour"), swatches) or {"table": {}, "text": "", "colour": None}),
                "spread": a.get("spread", 1.0),
                "surface": a.get("surface", ""),
                "part": (a.get("colour") or {}).get("part"),
            }
            for a in table.get("anchor", [])
        ],
        "samples": [{"region": region(s), "part": s.get("part", "")} for s in table.get("sample", [])],
        "values": plain_values(
            {k: v for k, v in table.items() if k not in ("id", "file", "anchor", "sample")}
        ),
    }


def region(table: Mapping[str, Any]) -> dict[str, Any]:
    """Where a mark is, as kit.toml says it."""
    return {key: table[key] for key in REGIONS if key in table}


def stated_colour(table: Any, swatches: SwatchList) -> dict[str, Any] | None:
    """A colour as kit.toml states it, and as it looks where that is known."""
    if not isinstance(table, Mapping) or not table:
        return None
    key, value = next(iter(table.items()))
    text = " ".join(map(str, value)) if isinstance(value, list) else str(value)
    lab = None
    if key == "neutral":
        text = "neutral"
    elif key == "part":
        text = f"as {value}"
    else:
        try:
            lab = typed(f"{key} {text}", swatches).lab
        except InputError:
            lab = None
    said = text if key in ("neutral", "part", "swatch") else f"{key} {text}"
    return {"table": plain_values(table), "text": said, "colour": plain.colour(lab)}


def plain_values(value: Any) -> Any:
    """Values of a TOML file as JSON has them: dates as text."""
    if isinstance(value, Mapping):
        return {str(k): plain_values(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain_values(v) for v in value]
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    if isinstance(value, Path):
        return str(value)
    return value


def kit_values(data: Mapping[str, Any]) -> dict[str, Any]:
    """The keys of [kit], with what holds where one is missing."""
    defaults = {"stage": STAGES[0], "light": "D65", "tolerance": 3.0, "swatches": []}
    values: dict[str, Any] = plain_values(defaults | dict(data.get("kit", {})))
    return values


def options() -> dict[str, Any]:
    """What may be chosen where something is chosen."""
    from palette.colour.responses import names
    from palette.colour.spectra import light_names

    return {
        "kinds": list(KINDS),
        "tones": list(TONES),
        "subjects": list(SUBJECTS),
        "finishes": list(FINISHES),
        "stages": list(STAGES),
        "responses": [[id, title] for id, title in _titled(tuple(names()))],
        "lights": list(light_names()),
        "lights_said": dict(_lights_said(tuple(light_names()), cache.code("words"))),
        "ops": [*edits.NAMES, "swatch.add", "swatch.set", "swatch.mark", "swatch.remove"],
    }


@remembered(kept=True)  # their curves are drawn to know their titles, which takes a while
def _titled(names: tuple[str, ...]) -> list[tuple[str, str]]:
    from palette.evidence.grey.curves import response_of

    return [(id, response_of(id).title) for id in names]


@remembered(kept=True)  # the catalogue of words takes longer to read than the rest of the state
def _lights_said(names: tuple[str, ...], _catalogue: str) -> list[tuple[str, str]]:
    from palette.words.catalogue import Words
    from palette.words.lights import under

    words = Words("en")
    return [(name, under(name, words)) for name in names]


def changed(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """What is another in `after`: whether the kit's own keys are, and which parts and references."""

    def tables(kind: str) -> list[str]:
        old = {t.get("id"): (i, t) for i, t in enumerate(before.get(kind, []))}
        new = [(t.get("id"), (i, t)) for i, t in enumerate(after.get(kind, []))]
        return [str(id) for id, table in new if old.get(id) != table]

    def gone(kind: str) -> list[str]:
        new = {t.get("id") for t in after.get(kind, [])}
        return [str(t.get("id")) for t in before.get(kind, []) if t.get("id") not in new]

    return {
        "kit": before.get("kit") != after.get("kit"),
        "parts": tables("part") + gone("part"),
        "references": tables("reference"),
        "removed": gone("reference"),
    }


def marks_changed(
    before: Mapping[str, Any], after: Mapping[str, Any], references: Sequence[str]
) -> list[tuple[str, str, int]]:
    """Marks that stand in `after` and not in `before`: reference, array, number."""
    old = {t.get("id"): t for t in before.get("reference", [])}
    marks = []
    for table in after.get("reference", []):
        id = table.get("id")
        if id not in references:
            continue
        for array in ("sample", "anchor"):
            known = [region(m) for m in old.get(id, {}).get(array, [])]
            marks += [
                (str(id), array, i) for i, m in enumerate(table.get(array, [])) if region(m) not in known
            ]
    return marks
