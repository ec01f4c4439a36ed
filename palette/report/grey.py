"""The grey answer, as text for people and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from palette.evidence.grey.advice import advice
from palette.evidence.grey.answer import GreyAnswer, GreyPart
from palette.evidence.grey.inference import Working
from palette.evidence.grey.notes import NoPaintFits, OutshinesWhite
from palette.evidence.grey.remaining import words
from palette.notes import Note
from palette.words import joined, say

_SHOWN = 10
_WHITE = 85.0  # L* from which an anchor is a white
_OUTSHINES = 0.02  # level by which a part may stand above it: grain, and light that is not even
_FITS = 0.1  # times as likely as a surface at random: a paint below that is no explanation of the picture


def grey_text(answer: GreyAnswer, rest: Sequence[str] = ()) -> str:
    """What remains of each part, in words and paints, and what would help most.

    Parts of one paint are told together. `rest` are parts that grey shows too, and that are named only,
    as their colour is settled from elsewhere.
    """
    if not answer.parts and not rest:
        return "No grey reference shows a part."
    working = answer.working
    assert working is not None
    paints: dict[str, list[GreyPart]] = {}
    for part in answer.parts:
        paints.setdefault(working.paint[part.part], []).append(part)
    blocks = [_paint(parts, working) for parts in paints.values()]
    if blocks:
        blocks.append(
            "Inferred from grey, not measured: a grey level rules colours out but names none.\n"
            "A bit more halves the paints there are to choose among."
        )
    if rest:
        one = len(rest) == 1
        blocks.append(
            f"{'Not shown' if blocks else 'Every part already has colour evidence'}: {joined(rest)}, whose "
            f"{'colour comes' if one else 'colours come'} from colour pictures or a decision (see palette "
            f"scheme). --part {rest[0]} shows what grey says of {'it' if one else 'that one'}."
        )
    return "\n\n".join(blocks)


def _paint(parts: Sequence[GreyPart], working: Working) -> str:
    """One paint's block: the parts that have it share all but what each picture shows of them."""
    part = parts[0]
    lines = [_name(each, working) for each in parts]
    if len(parts) > 1:
        lines.append("  known to be of one paint, and weighed together")
    said = words(part, working)
    if said.remaining:
        lines.append(f"  may be      {_list(said.remaining, 8)}")
    if said.ruled_out:
        lines.append(f"  not         {_list(said.ruled_out, 8)}")
    low, high = part.lightness
    lines.append(f"  lightness   L* {low:.0f} to {high:.0f}, nine times in ten")
    lines += _candidates(part, working)
    for number, item in enumerate(advice(part, working)[:3]):
        label = "" if number else "would help"
        ruled_out = 100 * (1 - 2.0**-item.bits)
        lines.append(f"  {label:<10}  {item.what}: should rule out {ruled_out:.0f} % of what remains")
    notes = dict.fromkeys(say(note) for each in parts for note in (*_beyond(each, working), *each.notes))
    lines += [f"  note        {note}" for note in notes]
    for number, reading in enumerate(dict.fromkeys(r for each in parts for r in each.readings)):
        end = {1: ", clipped white", -1: ", clipped black", 0: ""}[reading.clipped]
        told = f"level {reading.level:.3f}{end} in {reading.reference!r} ({reading.response})"
        lines.append(f"  {'' if number else 'seen':<10}  {told}")
    return "\n".join(lines)


def _name(part: GreyPart, working: Working) -> str:
    name = working.kit.part(part.part).name or part.part
    return f"{part.part} — {name}" if name != part.part else part.part


def _beyond(part: GreyPart, working: Working) -> list[Note]:
    """What is said where the pictures contradict the white anchor, or every paint there is."""
    said: list[Note] = []
    key = working.paint[part.part]
    for picture in working.pictures.values():
        firm = [anchor for anchor in picture.anchors if anchor.lab is not None and anchor.part != key]
        levels = [level.value for level in picture.levels.get(key, ()) if level.end >= 0]
        if len(firm) < 2 or not levels:
            continue
        top = max(firm, key=lambda anchor: anchor.level.value)
        if top.lab is not None and top.lab[0] >= _WHITE and max(levels) > top.level.value + _OUTSHINES:
            levels_read = (max(levels), top.level.value)
            said.append(OutshinesWhite(picture.name, top.name, float(top.lab[0]), levels_read))
    split = len(working.paints.reflectance)
    rows = working.rows[key]
    if part.candidates and rows[:split].max() < _FITS * rows[split:].mean():
        said.append(NoPaintFits())
    return said


def _candidates(part: GreyPart, working: Working) -> list[str]:
    if not part.candidates:
        return []
    remain = max(1, round(len(part.candidates) / 2**part.bits))
    lines = [f"  paints      about {remain} of {len(part.candidates)} remain"]
    retired = {swatch.id for swatch in working.swatches.swatches if swatch.retired}
    shown = part.candidates[:_SHOWN]
    wide = max(len(c.swatch) for c in shown)
    for candidate in shown:
        bar = "█" * round(30 * candidate.probability / max(shown[0].probability, 1e-9))
        gone = "  (retired)" if candidate.swatch in retired else ""
        lines.append(
            f"    {candidate.swatch:<{wide}}  {100 * candidate.probability:5.1f} %  {bar:<30}  "
            f"{candidate.name}{gone}"
        )
    rest = 1 - sum(c.probability for c in shown)
    if len(part.candidates) > _SHOWN and rest >= 0.0005:
        lines.append(f"    {'':<{wide}}  {100 * rest:5.1f} %  the other {len(part.candidates) - _SHOWN}")
    return lines


def _list(items: tuple[str, ...], count: int) -> str:
    more = f" and {len(items) - count} more" if len(items) > count else ""
    return ", ".join(items[:count]) + more


def grey_json(answer: GreyAnswer) -> dict[str, Any]:
    """The document `palette grey --json` prints."""
    return {
        "schema": 1,
        "parts": [
            {
                "part": part.part,
                "readings": [
                    {"reference": r.reference, "level": r.level, "response": r.response}
                    for r in part.readings
                ],
                "lightness": list(part.lightness),
                "bits": part.bits,
                "candidates": [
                    {"swatch": c.swatch, "name": c.name, "lab": c.lab, "probability": c.probability}
                    for c in part.candidates
                ],
                "draws": part.draws,
                "lab": part.lab,
                "covariance": part.covariance,
                "notes": [say(note) for note in part.notes],
            }
            for part in answer.parts
        ],
        "warnings": [say(note) for note in answer.warnings],
    }
