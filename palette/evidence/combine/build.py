"""A kit's evidence, reference by reference, to one colour a part with its paints."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.difference import difference
from palette.colour.uncertain import Uncertain, radius90
from palette.errors import InputError, Problem
from palette.evidence.combine.greys import ask_greys, grey_evidence, grey_observation
from palette.evidence.combine.liveries import other_livery, undated
from palette.evidence.combine.model import Evidence, PartColour, Scheme
from palette.evidence.combine.notes import (
    CountedWithGrey,
    Decided,
    DecidedApart,
    DecidedForSamePaint,
    DecisionOff,
    Disagrees,
    GreyNotBelieved,
    InDoubt,
    NotBelieved,
    NotCompared,
    NotLighter,
    OfSample,
    PictureInDoubt,
    SamePaintAs,
    SampleApart,
    Vague,
    WithWords,
    WordsContradicted,
)
from palette.evidence.combine.reconcile import Estimate, reconcile
from palette.evidence.combine.settle import Settled, settle
from palette.evidence.combine.statements import Statement
from palette.evidence.measure.measured import Measured, measure_all
from palette.evidence.measure.notes import Colourless, SeveralColours
from palette.kit.model import Kit, Part, Reference
from palette.kit.paints import same_paint
from palette.notes import Note, OfReference
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.evidence.grey import GreyAnswer

_STRONG, _DISBELIEVED = 0.4, 0.1  # the chance of words being right before, and after, they are contradicted
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
        parts = [_with_grey(part, kit, paint, greys, settled) for part in parts]
    unsure = [*undated(kit, repainted), *_decided_twice(kit, decided), *_not_lighter(parts)]
    if greys is None:
        unsure += _not_compared(kit)
    bare = [
        OfReference(id, note)
        for id, m in measured.items()
        for note in m.notes
        if isinstance(note, Colourless)
    ]
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


def _not_compared(kit: Kit) -> list[Note]:
    """Comparisons of parts in a kit without grey pictures."""
    return [NotCompared(part.id, than.lighter) for part in kit.parts for than in part.thans]


def _decided_twice(kit: Kit, decided: Mapping[str, Uncertain]) -> list[Note]:
    """Decisions for one paint that differ."""
    notes: list[Note] = []
    for id, first in same_paint(kit).items():
        off = float(difference(decided[id].lab, decided[first].lab)) if id in decided else 0.0
        if off > 0.05:
            notes.append(DecidedApart(first, id, off))
    return notes


def _colour(
    part: Part, paint: Mapping[str, str], settled: Settled, decided: Mapping[str, Uncertain]
) -> PartColour:
    """One part's colour with its evidence, without paints."""
    key = paint[part.id]
    said = settled.statements.get(key, [])
    estimate = settled.estimates.get(key)
    evidence = tuple(_evidence(said, estimate))
    notes: list[Note] = []
    same = [id for id, other in paint.items() if other == key and id != part.id]
    if same:
        notes.append(SamePaintAs(tuple(same)))
    notes += [OfSample(s.source, note) for s in said for note in s.notes if isinstance(note, SeveralColours)]
    notes += [
        OfReference(s.source, note)
        for s in said
        for note in s.notes
        if isinstance(note, SampleApart | PictureInDoubt)
    ]
    notes += _words_contradicted(said, estimate)
    if estimate and estimate.conflict:
        notes.append(Disagrees(estimate.odds))
    conflict = bool(estimate and estimate.conflict)
    if part.id in decided:
        chosen = decided[part.id].lab
        if part.colour is None:
            notes.append(DecidedForSamePaint())
        elif part.why:
            notes.append(Decided(part.why))
        if estimate and float(difference(chosen, estimate.lab)) > estimate.radius90:
            notes.append(DecisionOff(float(difference(chosen, estimate.lab)), estimate.radius90))
        return PartColour(part, chosen, np.zeros((3, 3)), 0.0, "decision", conflict, evidence, tuple(notes))
    if estimate is None:
        return PartColour(part, None, None, None, "none", False, evidence, tuple(notes))
    basis = "colour" if any(s.kind == "colour" and s.right > 0 for s in said) else "hint"
    return PartColour(
        part, estimate.lab, estimate.covariance, estimate.radius90, basis, conflict, evidence, tuple(notes)
    )


def _words_contradicted(said: list[Statement], estimate: Estimate | None) -> list[Note]:
    """Words believed by half and more that pictures contradict."""
    included = [s for s in said if s.right > 0]
    if estimate is None or not any(s.kind == "colour" for s in included):
        return []
    return [
        WordsContradicted(s.source, float(difference(s.lab, estimate.lab)))
        for s, right in zip(included, estimate.right, strict=True)
        if s.kind == "hint" and s.right >= _STRONG and right < _DISBELIEVED
    ]


def _not_lighter(parts: list[PartColour]) -> list[Note]:
    """Parts said to be lighter than others that come out surely darker."""
    known = {p.part.id: (p.lab, p.covariance) for p in parts}
    notes: list[Note] = []
    for part in parts:
        for than in part.part.thans:
            lab, spread = known[part.part.id]
            other, other_spread = known.get(than.lighter, (None, None))
            if lab is None or spread is None or other is None or other_spread is None:
                continue
            gap = float(other[0] - lab[0])
            if gap > 1.0 and gap > 2 * np.sqrt(spread[0, 0] + other_spread[0, 0]):  # about one in forty
                notes.append(NotLighter(part.part.id, than.lighter, gap))
    return notes


def _with_grey(
    colour: PartColour,
    kit: Kit,
    paint: Mapping[str, str],
    greys: GreyAnswer,
    settled: Settled,
) -> PartColour:
    """A part's colour with what grey pictures of its paint say."""
    key = paint[colour.part.id]
    seen = {part.part: part for part in greys.parts}
    inferred = seen.get(colour.part.id) or next((p for id, p in seen.items() if paint[id] == key), None)
    if inferred is None:
        return colour
    said = settled.statements.get(key, [])
    if colour.basis == "decision":
        return replace(colour, evidence=(*colour.evidence, *grey_evidence(inferred, 0.0)))
    if colour.basis == "colour":
        # The words are in the grey already.
        included = [s for s in said if s.right > 0 and s.kind == "colour"]
        observed = grey_observation(inferred, kit, greys.against(key))
        estimate = reconcile([*(s.observation for s in included), observed])
        excluded = [
            replace(s, right=0.0, notes=(CountedWithGrey(), *s.notes)) if s.kind == "hint" else s
            for s in said
        ]
        together = (WithWords(),) if any(s.kind == "hint" for s in said) else ()
        right = estimate.right[-1]
        doubt: tuple[Note, ...] = ()
        if right < max(0.1, 0.9 * observed.right):
            off = float(difference(inferred.lab, estimate.lab))
            doubt = (GreyNotBelieved(right) if right < 0.1 else InDoubt(off, right),)
        notes = [note for note in colour.notes if not isinstance(note, Disagrees)]
        return PartColour(
            colour.part,
            estimate.lab,
            estimate.covariance,
            estimate.radius90,
            "colour",
            estimate.conflict,
            (
                *_evidence(excluded, estimate),
                *grey_evidence(inferred, estimate.weights[-1], doubt + together),
            ),
            (*notes, Disagrees(estimate.odds)) if estimate.conflict else tuple(notes),
        )
    words = tuple(
        replace(e, weight=0.0, notes=(CountedWithGrey(), *e.notes)) if e.kind == "hint" else e
        for e in colour.evidence
    )
    return replace(
        colour,
        lab=inferred.lab,
        covariance=inferred.covariance,
        radius90=radius90(inferred.lab, inferred.covariance),
        basis="grey",
        conflict=False,
        evidence=words + tuple(grey_evidence(inferred, 1.0)),
    )


def _evidence(said: list[Statement], estimate: Estimate | None) -> list[Evidence]:
    evidence = []
    position = 0
    for statement in said:
        weight: float = 0.0
        why: tuple[Note, ...] = ()
        if statement.right > 0 and estimate is not None:
            weight = estimate.weights[position]
            why = _why(statement, estimate, position)
            position += 1
        evidence.append(
            Evidence(
                statement.source,
                statement.lab,
                statement.covariance,
                radius90(statement.lab, statement.covariance),
                weight,
                statement.kind,
                (*why, *statement.notes),
            )
        )
    return evidence


def _why(statement: Statement, estimate: Estimate, position: int) -> tuple[Note, ...]:
    """Why a source got the weight it got; empty where it simply shares."""
    if len(estimate.weights) == 1:
        return ()
    right = estimate.right[position]
    if right < max(0.1, 0.9 * statement.right):
        off = float(difference(statement.lab, estimate.lab))
        return (NotBelieved(off) if right < 0.1 else InDoubt(off, right),)
    return (Vague(),) if estimate.weights[position] < 0.1 else ()
