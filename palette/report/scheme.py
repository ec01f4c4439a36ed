"""A scheme, or a check of the painted print, as an answer: one JSON document, or a table to read."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

from palette.colour.names import name
from palette.colour.spaces import DAYLIGHT, Array, lab_to_hex
from palette.evidence.combine.model import Evidence, PaintChoice, PartColour, Scheme
from palette.evidence.combine.notes import (
    CountedWithGrey,
    DecisionOff,
    OneAnswer,
    SamePaintAs,
    SetAside,
    Vague,
)
from palette.evidence.measure.notes import LightEdge, SeveralColours
from palette.kit.paints import same_paint
from palette.notes import Note
from palette.paints.check import ENOUGH, Check, Checked
from palette.paints.choosing.proposals import INFERRED
from palette.paints.scaled import scale_rule
from palette.swatches.mix import Mix
from palette.words import BASIS, change, joined, say, shows, sure
from palette.words.catalogue import Words
from palette.words.lights import under

_HEADINGS = ("part", "colour", "", "how sure", "mind", "from", "nearest paint", "off", "would it show?")
_FEW = 6  # sources or pictures named in one line
_WIDEST = 30  # characters of a name in a table


def scheme_json(scheme: Scheme) -> dict[str, Any]:
    """What `palette scheme --json` prints."""
    return {
        "schema": 1,
        "kit": scheme.kit.title,
        "parts": [
            {
                "part": colour.part.id,
                "lab": _lab(colour.lab),
                "hex": None if colour.lab is None else lab_to_hex(colour.lab),
                "name": None if colour.lab is None else name(colour.lab),
                "radius90": _number(colour.radius90),
                "basis": colour.basis,
                "conflict": colour.conflict,
                "evidence": [_evidence_json(evidence) for evidence in colour.evidence],
                "notes": [say(note) for note in colour.notes],
                "covariance": None if colour.covariance is None else colour.covariance.round(4).tolist(),
                "paints": [paint_json(paint) for paint in colour.paints],
                "mixes": [_mix_json(mix) for mix in colour.mixes],
                "under_light": _under_json(scheme, colour),
            }
            for colour in scheme.parts
        ],
        "edition": {
            "version": scheme.kit.version,
            "stage": scheme.kit.stage,
            "date": None if scheme.kit.date is None else scheme.kit.date.isoformat(),
        },
    }


def _mix_json(mix: Mix) -> dict[str, Any]:
    return {
        "drops": [{"swatch": id, "count": count} for id, count in mix.drops],
        "lab": _lab(mix.lab),
        "hex": lab_to_hex(mix.lab),
        "difference": _number(mix.difference),
    }


def _under_json(scheme: Scheme, colour: PartColour) -> dict[str, Any] | None:
    """The paints and recipes by how they look under the kit's light; None in daylight."""
    if scheme.kit.light == DAYLIGHT:
        return None
    return {
        "light": scheme.kit.light,
        "paints": [paint_json(paint) for paint in colour.paints_under],
        "mixes": [_mix_json(mix) for mix in colour.mixes_under],
    }


def _evidence_json(evidence: Evidence) -> dict[str, Any]:
    return {
        "reference": evidence.reference,
        "lab": _lab(evidence.lab),
        "radius90": _number(evidence.radius90),
        "weight": _number(evidence.weight),
        "kind": evidence.kind,
        "notes": [say(note) for note in evidence.notes],
    }


def scheme_document(scheme: Scheme) -> str:
    """What `palette scheme --json` prints and scheme.json holds, to the byte."""
    return json.dumps(scheme_json(scheme), ensure_ascii=False, allow_nan=False) + "\n"


def paint_json(paint: PaintChoice) -> dict[str, Any]:
    """A paint as every answer gives it."""
    return {
        "swatch": paint.swatch,
        "name": paint.name,
        "range": paint.range,
        "lab": _lab(paint.lab),
        "hex": lab_to_hex(paint.lab),
        "difference": _number(paint.difference),
    }


def scheme_text(scheme: Scheme, chip: Callable[[str], str] = lambda hex_colour: "") -> str:
    """What `palette scheme` prints for people: a table, then what needs explaining.

    `chip` makes of '#rrggbb' what a terminal shows as that colour, or nothing.
    """
    if not scheme.parts:
        return f"{scheme.kit.title}\n\nNo parts yet: add a [[part]] with an id for each colour of the kit."
    rows: list[tuple[str, ...]] = [_HEADINGS, *(_row(colour) for colour in scheme.parts)]
    heading, *table = _table(rows)
    chips = [chip("#000000" if c.lab is None else lab_to_hex(c.lab)) for c in scheme.parts]
    chips = [" " * 5 if made and c.lab is None else made for made, c in zip(chips, scheme.parts, strict=True)]
    lines = [scheme.kit.title, "", (" " * 5 if any(chips) else "") + heading]
    lines += [made + line for made, line in zip(chips, table, strict=True)]
    counted = _counted(scheme)
    if counted:
        lines += ["", "What counted", *(f"  {line}" for line in counted)]
    of_pictures = _of_pictures(scheme)
    if of_pictures:
        lines += ["", "About the pictures", *(f"  {line}" for line in of_pictures)]
    rule = scale_rule(scheme)
    if rule:
        lines += ["", f"{rule} The colours here are the original’s; the guide gives those to paint."]
    lines += ["", "How sure: nine times in ten the true colour lies within that CIEDE2000 radius."]
    if any(colour.paints for colour in scheme.parts):
        lines.append(
            "Would it show: how plainly one sees the nearest paint beside that colour. "
            "Retired paints come last."
        )
        if any(colour.basis in INFERRED for colour in scheme.parts):
            lines.append(
                "A guess gets the paint that is least wrong on average: the guide and palette basket name it."
            )
        if scheme.kit.light != DAYLIGHT:
            seen = under(scheme.kit.light, Words("en"), exactly=True)
            lines.append(f"Nearest: {seen}, the kit's light.")
    if scheme.pictures:
        lines.append("More on each picture and sample: --json.")
    return "\n".join(lines)


def _row(colour: PartColour) -> tuple[str, ...]:
    if colour.lab is None or colour.radius90 is None:
        return (colour.part.name, "unknown", "", "", "", BASIS[colour.basis], "", "", "")
    paints = colour.paints_under or colour.paints
    paint = next((p for p in paints if not p.retired), paints[0] if paints else None)
    shown = "" if paint is None else shows(paint.difference)
    if colour.basis in INFERRED and paint is not None:
        paint, shown = None, "a guess"  # what is nearest to the middle of all it may be is no paint for it
    return (
        colour.part.name,
        name(colour.lab),
        lab_to_hex(colour.lab),
        "as decided" if colour.basis == "decision" else f"{sure(colour.radius90)}, ±{colour.radius90:.1f}",
        "evidence disagrees" if colour.conflict else "",
        BASIS[colour.basis],
        f"{paint.swatch} {paint.name}{' (retired)' if paint.retired else ''}" if paint else "",
        f"{paint.difference:.1f}" if paint else "",
        shown,
    )


def _counted(scheme: Scheme) -> list[str]:
    """A line a part of what it rests on, and below it what needs explaining; nothing where each part rests on
    the one picture there is."""
    paint = same_paint(scheme.kit)
    rows: list[tuple[str, str]] = []
    below: list[list[str]] = []
    for colour in scheme.parts:
        first = paint[colour.part.id]
        same = first != colour.part.id
        notes = [say(note) for note in colour.notes if not isinstance(note, SamePaintAs)]
        rests = f"the same paint as {first}" if same else _rests_on(colour)
        if colour.basis == "decision" and notes:
            rests = notes.pop(0)
        rows.append((colour.part.name, rests))
        below.append([*notes, *([] if same or not _asks(colour) else _alone(colour))])
    sources = {e.reference for colour in scheme.parts for e in colour.evidence}
    if len(sources) < 2 and not any(below) and all(colour.basis != "decision" for colour in scheme.parts):
        return []
    lines: list[str] = []
    for row, more in zip(_table([("", ""), *rows])[1:], below, strict=True):
        lines += [row, *(f"  {line}" for line in more)]
    return lines


def _rests_on(colour: PartColour) -> str:
    """The sources of a colour, what each counted for, the heaviest first."""
    voices = [[e] for e in colour.evidence if e.kind != "grey"]
    grey = [e for e in colour.evidence if e.kind == "grey"]
    voices += [grey] if grey else []
    shares = sorted(((sum(e.weight for e in voice), voice) for voice in voices), key=lambda one: -one[0])
    said = [(_who(voice), share) for share, voice in shares if share >= 0.005]
    more = f" and {len(said) - _FEW} more" if len(said) > _FEW else ""
    told = [note for note in grey[0].notes if not isinstance(note, OneAnswer)] if grey else []
    how = f", {say(told[0])}" if colour.basis == "grey" and told else ""
    if len(said) == 1:
        return said[0][0] + how
    return ", ".join(f"{who} {100 * share:.0f} %" for who, share in said[:_FEW]) + more + how


def _asks(colour: PartColour) -> bool:
    """Whether a source is not believed, or another needs to be looked at."""
    return (
        colour.conflict
        or any(isinstance(note, DecisionOff) for note in colour.notes)
        or any(e.kind != "grey" and e.notes and isinstance(e.notes[0], SetAside) for e in colour.evidence)
    )


def _alone(colour: PartColour) -> list[str]:
    """What each source says by itself."""
    grey = [e for e in colour.evidence if e.kind == "grey"]
    return [*(_stated([e]) for e in colour.evidence if e.kind != "grey"), *([_stated(grey)] if grey else [])]


def _of_pictures(scheme: Scheme) -> list[str]:
    """How each colour picture was corrected, and what is the matter with it or its samples of which parts."""
    lines: dict[str, list[str]] = {}
    for id, (method, *notes) in scheme.pictures.items():
        shown: dict[Note, list[str]] = {}
        for colour in scheme.parts:
            for note in _of_samples(colour, id, scheme.pictures[id]):
                shown.setdefault(note, []).append(colour.part.id)
        of_samples = {note: ", ".join(parts) for note, parts in shown.items() if not note.routine}
        for line in (
            *(say(note) for note in (method, *notes) if not note.routine),
            *(
                f"the sample of {of} {say(n)}" if isinstance(n, LightEdge) else f"{say(n)} ({of})"
                for n, of in of_samples.items()
            ),
        ):
            lines.setdefault(line, []).append(id)
    return [f"{_some(ids)}: {line}" for line, ids in lines.items()]


def _some(ids: list[str]) -> str:
    return joined(ids) if len(ids) <= _FEW else f"{', '.join(ids[:_FEW])} and {len(ids) - _FEW} more"


def _of_samples(colour: PartColour, reference: str, of_picture: Sequence[Note]) -> list[Note]:
    said = [
        note for e in colour.evidence if e.reference == reference and e.kind == "colour" for note in e.notes
    ]
    # notes run from the reason of the weight over the picture's to the samples'
    after = max((i for i, note in enumerate(said) if note in of_picture), default=len(said)) + 1
    return [note for note in said[after:] if not isinstance(note, SeveralColours)]


def _who(said: Sequence[Evidence]) -> str:
    return joined([e.reference for e in said]) + (" together" if len(said) > 1 else "")


def _stated(said: Sequence[Evidence]) -> str:
    """What one source says, or several grey pictures with one voice, in a line."""
    first, who = said[0], _who(said)
    words = "" if first.lab is None else f"{name(first.lab)} {lab_to_hex(first.lab)}"
    reach = "" if first.radius90 is None else f", ±{first.radius90:.1f}"
    if CountedWithGrey() in first.notes:
        return f"{who}: {words}{reach}, {say(CountedWithGrey())}"
    odd = first.notes[:1] if first.notes and isinstance(first.notes[0], SetAside | Vague) else ()
    why = f" ({say(odd[0])})" if odd else ""
    return f"{who}: {words}{reach}, counted for {100 * sum(e.weight for e in said):.0f} %{why}"


def check_json(check: Check) -> dict[str, Any]:
    """What `palette check --json` prints."""
    return {
        "schema": 1,
        "parts": [
            {
                "part": checked.part.id,
                "target": _lab(checked.target),
                "measured": _lab(checked.measured),
                "difference": _number(checked.difference),
                "tolerance": checked.tolerance,
                "pass": checked.passes,
                "probability": _number(checked.probability),
                "target_radius90": _number(checked.target_radius90),
                "measured_radius90": _number(checked.measured_radius90),
                "give_or_take": _number(checked.give_or_take),
                "change": change(checked.change),
                "original": _lab(checked.original),
                "original_radius90": _number(checked.original_radius90),
                "original_difference": _number(checked.original_difference),
                "original_pass": checked.original_passes,
                "basis": checked.basis,
                "notes": [say(note) for note in checked.notes],
            }
            for checked in check.parts
        ],
    }


def check_text(check: Check) -> str:
    """What `palette check` prints for people: a table with what to change."""
    rows: list[tuple[str, ...]] = [
        (
            "part",
            "guide",
            "painted",
            "off",
            "give or take",
            "as the guide?",
            "the original?",
            "what to change",
        )
    ]
    rows += [_check_row(checked) for checked in check.parts]
    lines = [f"{check.kit.title}, the painted print", "", *_table(rows)]
    if check.unseen:
        lines += ["", f"In no picture of the print: {joined([part.name for part in check.unseen])}."]
    lines += [
        "",
        f"As the guide: it differs by at most {check.kit.tolerance:g} from the paint that the guide names,",
        f"or by no more than this photograph can show, if that is at most {ENOUGH * check.kit.tolerance:g}.",
        "The original: the same against the scheme's colour, with the scheme's own doubt.",
        "Give or take: how far off, that way, a perfect match could have been read, nine times in ten.",
    ]
    if any(_original(checked) in _NOBODY for checked in check.parts):
        lines.append("As decided, or a guess: nobody measured that colour of the original.")
    if any(checked.passes is None for checked in check.parts):
        lines += [
            "",
            "To make it sharper: brush paints of your list out on a white card, lay it beside the print in",
            'the same light, and add each as an anchor, colour = { swatch = "ITS-ID" }. Sample more parts.',
        ]
    return "\n".join(lines)


def _check_row(checked: Checked) -> tuple[str, ...]:
    painted = f"{name(checked.measured)} ±{checked.measured_radius90:.1f}"
    original = _original(checked)
    if checked.target is None or checked.difference is None:
        return (checked.part.name, "unknown", painted, "", "", "no target", original, "")
    doubt = checked.target_radius90 or 0.0
    return (
        checked.part.name,
        name(checked.target) + (f" ±{doubt:.1f}" if doubt >= 0.05 else ""),
        painted,
        f"{checked.difference:.1f}",
        f"±{checked.give_or_take:.1f}",
        _ANSWER[checked.passes],
        original,
        change(checked.change),
    )


_ANSWER = {True: "yes", False: "no", None: "cannot tell"}
_NOBODY = "as decided", "a guess"


def _original(checked: Checked) -> str:
    """Whether the print has the colour of the original; a yes to what nobody measured is none."""
    if checked.original is None:
        return ""
    if checked.basis == "decision" and checked.original_passes:
        return _NOBODY[0]
    if checked.basis in INFERRED and checked.original_passes is not False:
        return _NOBODY[1]
    return _ANSWER[checked.original_passes]


def _table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Aligned columns; long names are cut but in the last, a column without entries is dropped."""
    cut = [(*(c if len(c) <= _WIDEST else c[: _WIDEST - 1] + "…" for c in row[:-1]), row[-1]) for row in rows]
    kept = [i for i in range(len(rows[0])) if any(row[i] for row in cut[1:])]
    widths = {i: max(len(row[i]) for row in cut) for i in kept}
    return ["  ".join(row[i].ljust(widths[i]) for i in kept).rstrip() for row in cut]


def _lab(lab: Array | None) -> list[float] | None:
    return None if lab is None else [round(float(v), 4) for v in lab]


def _number(value: float | None) -> float | None:
    return None if value is None else round(float(value), 4)
