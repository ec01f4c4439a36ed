"""A kit's evidence, reference by reference, to one colour a part with its paints."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.difference import difference
from palette.colour.uncertain import Uncertain, radius90
from palette.errors import InputError, Problem
from palette.evidence.combine.greys import IN_THE_GREY, ask_greys, grey_evidence, grey_witness
from palette.evidence.combine.liveries import other_livery, undated
from palette.evidence.combine.model import Evidence, PartColour, Scheme
from palette.evidence.combine.reconcile import Verdict, reconcile
from palette.evidence.combine.settle import Settled, same_paint, settle
from palette.evidence.combine.witness import Statement
from palette.evidence.combine.words import DECIDED_OFF, LITTLE, SAME_PAINT, joined
from palette.evidence.measure import SEVERAL
from palette.evidence.measure.measured import COLOURLESS, Measured, measure_all
from palette.kit.model import Kit, Part, Reference
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.evidence.grey import GreyPart

Progress = Callable[[int, int], None]


def colours(
    kit: Kit,
    progress: Progress | None = None,
    so_far: Callable[[Scheme, Settled, SwatchList], None] | None = None,
) -> tuple[Scheme, SwatchList]:
    """The scheme without paints, and the kit's lists as one. `so_far` is told what the colour pictures say
    before the grey ones are read.

    Raises:
        InputError: with every problem of its pictures, regions, lists and colours.
    """
    from palette.swatches.kitlists import kit_swatches

    problems: list[Problem] = []
    swatches = SwatchList(())
    try:
        swatches = kit_swatches(kit)
    except InputError as error:
        problems += error.problems
    measured: dict[str, Measured] = {}
    try:
        measured = measured_colour(kit, progress)
    except InputError as error:
        problems += error.problems
    if problems:
        raise InputError.of(problems)
    decided = decisions(kit, swatches)
    repainted = other_livery(kit)
    settled = settle(kit, measured, decided, repainted, swatches)
    paint = same_paint(kit)
    parts = [_colour(part, paint, settled, decided) for part in kit.parts]
    if so_far is not None:
        so_far(Scheme(kit, tuple(parts), (), None, settled.pictures), settled, swatches)
    # Words alone are weighed anew with the grey: they are no colour to read it by.
    known = {
        p.part.id: Uncertain(p.lab, p.covariance)
        for p in parts
        if p.lab is not None and p.covariance is not None and p.basis in ("colour", "decision")
    }
    greys = ask_greys(kit, swatches, known, repainted)
    if greys is not None:
        seen = {part.part: part for part in greys.parts}
        parts = [_with_grey(part, kit, paint, seen, settled) for part in parts]
    unsure = [*undated(kit, repainted), *_decided_twice(kit, decided)]
    if greys is None:
        unsure += _not_compared(kit)
    bare = [f"reference {id!r}: {COLOURLESS}" for id, m in measured.items() if m.colourless]
    warnings = dict.fromkeys([*unsure, *bare, *settled.warnings, *(greys.warnings if greys else ())])
    return Scheme(kit, tuple(parts), tuple(warnings), greys, settled.pictures), swatches


def measured_colour(kit: Kit, progress: Progress | None = None) -> dict[str, Measured]:
    """By reference, what the colour pictures of the original that show any part hold.

    Raises:
        InputError: with every problem of these pictures and of the marks on them.
    """
    wanted = [r for r in kit.references if speaks_of_colour(r) and r.samples]
    measured = measure_all(wanted, str(kit.path), progress)
    problems = [problem for m in measured for problem in m.problems]
    if problems:
        raise InputError.of(problems)
    return {r.id: m for r, m in zip(wanted, measured, strict=True)}


def speaks_of_colour(reference: Reference) -> bool:
    """Whether a reference is a colour picture of the original."""
    return reference.subject == "original" and reference.tone == "colour"


def decisions(kit: Kit, swatches: SwatchList) -> dict[str, Uncertain]:
    """The maker's own decisions by part, exact by definition.

    A part without one has that of a part of the same paint, the first in the kit's order.
    """
    from palette.swatches.kitlists import stated_lab

    paint = same_paint(kit)
    own: dict[str, Uncertain] = {}
    shared: dict[str, Uncertain] = {}
    for part in kit.parts:
        lab = None if part.colour is None else stated_lab(part.colour, swatches)
        if lab is not None:
            own[part.id] = Uncertain(lab, np.zeros((3, 3)))
            shared.setdefault(paint[part.id], own[part.id])
    return {
        part.id: own.get(part.id, shared[paint[part.id]]) for part in kit.parts if paint[part.id] in shared
    }


def _not_compared(kit: Kit) -> list[str]:
    """Comparisons of parts in a kit without grey pictures, in words."""
    return [
        f"part {part.id!r} is said to be lighter than {than.lighter!r}, which counts only where grey "
        "pictures are read: mark both parts in one"
        for part in kit.parts
        for than in part.thans
    ]


def _decided_twice(kit: Kit, decided: Mapping[str, Uncertain]) -> list[str]:
    """Decisions for one paint that differ, in words."""
    found = []
    for id, first in same_paint(kit).items():
        off = float(difference(decided[id].lab, decided[first].lab)) if id in decided else 0.0
        if off > 0.05:
            found.append(
                f"parts {first!r} and {id!r} are said to be the same paint, and their colours are decided "
                f"{off:.1f} apart: each keeps its own; take out same_as, or one colour"
            )
    return found


def _colour(
    part: Part, paint: Mapping[str, str], settled: Settled, decided: Mapping[str, Uncertain]
) -> PartColour:
    """One part's colour with its evidence, without paints."""
    key = paint[part.id]
    said = settled.statements.get(key, [])
    verdict = settled.verdicts.get(key)
    evidence = tuple(_evidence(said, verdict))
    notes = []
    same = [id for id, other in paint.items() if other == key and id != part.id]
    if same:
        notes.append(f"{SAME_PAINT} {joined(same)}, and sharing its evidence")
    notes += [f"{s.source}: its sample {note}" for s in said for note in s.notes if note.startswith(SEVERAL)]
    if verdict and verdict.conflict:
        notes.append(conflict_in_words(verdict.odds))
    conflict = bool(verdict and verdict.conflict)
    if part.id in decided:
        chosen = decided[part.id].lab
        if part.colour is None:
            notes.append("decided for a part of the same paint")
        elif part.why:
            notes.append(f"the maker's decision: {part.why}")
        if verdict and float(difference(chosen, verdict.lab)) > verdict.radius90:
            notes.append(
                f"{DECIDED_OFF} {float(difference(chosen, verdict.lab)):.1f} from what the evidence "
                f"supports, which is sure to within {verdict.radius90:.1f}"
            )
        return PartColour(part, chosen, np.zeros((3, 3)), 0.0, "decision", conflict, evidence, tuple(notes))
    if verdict is None:
        return PartColour(part, None, None, None, "none", False, evidence, tuple(notes))
    basis = "colour" if any(s.kind == "colour" and s.right > 0 for s in said) else "hint"
    return PartColour(
        part, verdict.lab, verdict.covariance, verdict.radius90, basis, conflict, evidence, tuple(notes)
    )


def _with_grey(
    colour: PartColour,
    kit: Kit,
    paint: Mapping[str, str],
    seen: Mapping[str, GreyPart],
    settled: Settled,
) -> PartColour:
    """A part's colour with what grey pictures of its paint say."""
    key = paint[colour.part.id]
    found = seen.get(colour.part.id) or next((p for id, p in seen.items() if paint[id] == key), None)
    if found is None:
        return colour
    said = settled.statements.get(key, [])
    if colour.basis == "decision":
        return replace(colour, evidence=(*colour.evidence, *grey_evidence(found, 0.0)))
    if colour.basis == "colour":
        # The words are in the grey already.
        heard = [s for s in said if s.right > 0 and s.kind == "colour"]
        verdict = reconcile([*(s.witness for s in heard), grey_witness(found, kit)])
        silent = [
            replace(s, right=0.0, notes=(IN_THE_GREY, *s.notes)) if s.kind == "hint" else s for s in said
        ]
        together = ("the words are counted with it",) if any(s.kind == "hint" for s in said) else ()
        right = verdict.right[-1]
        doubt = () if right > 0.1 else (f"not believed: right with {right * 100:.0f} % beside the rest",)
        notes = [note for note in colour.notes if not note.startswith(_DISAGREES)]
        return PartColour(
            colour.part,
            verdict.lab,
            verdict.covariance,
            verdict.radius90,
            "colour",
            verdict.conflict,
            (
                *_evidence(silent, verdict),
                *grey_evidence(found, verdict.weights[-1], doubt + together),
            ),
            (*notes, conflict_in_words(verdict.odds)) if verdict.conflict else tuple(notes),
        )
    words = tuple(
        replace(e, weight=0.0, notes=(IN_THE_GREY, *e.notes)) if e.kind == "hint" else e
        for e in colour.evidence
    )
    return replace(
        colour,
        lab=found.lab,
        covariance=found.covariance,
        radius90=radius90(found.lab, found.covariance),
        basis="grey",
        conflict=False,
        evidence=words + tuple(grey_evidence(found, 1.0)),
    )


_DISAGREES = "the evidence disagrees"


def conflict_in_words(odds: float) -> str:
    """What `odds` of scatter means for a reader."""
    return f"{_DISAGREES}: were all of it right, it would scatter so much {once_in(odds)}"


def once_in(odds: float) -> str:
    """A small probability in words."""
    return f"once in {1 / odds:,.0f} times" if odds > 1e-6 else "less than once in a million times"


def _evidence(said: list[Statement], verdict: Verdict | None) -> list[Evidence]:
    found = []
    position = 0
    for statement in said:
        weight, why = 0.0, ""
        if statement.right > 0 and verdict is not None:
            weight = verdict.weights[position]
            why = _why(statement, verdict, position)
            position += 1
        found.append(
            Evidence(
                statement.source,
                statement.lab,
                statement.covariance,
                radius90(statement.lab, statement.covariance),
                weight,
                statement.kind,
                ((why,) if why else ()) + statement.notes,
            )
        )
    return found


def _why(statement: Statement, verdict: Verdict, position: int) -> str:
    """Why a witness got the weight it got; empty where it simply shares."""
    if len(verdict.weights) == 1:
        return ""
    right, off = verdict.right[position], float(difference(statement.lab, verdict.lab))
    if right < 0.1:
        return f"not believed: it lies {off:.1f} from what the rest supports"
    if right < 0.9 * statement.right:
        away = (
            f"it lies {off:.1f} from the colour given, and"
            if off >= 1
            else "what others say is likely too, and it"
        )
        return f"in doubt: {away} is right with {right * 100:.0f} %"
    if verdict.weights[position] < 0.1:
        return f"{LITTLE}: vaguer than the rest"
    return ""
