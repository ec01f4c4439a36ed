"""A kit's evidence, reference by reference, to one colour a part with its paints."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from palette.colour.spaces import Array
from palette.colour.uncertain import Uncertain, radius90
from palette.errors import InputError, Problem
from palette.kit.model import Kit, Part, Reference, StatedColour
from palette.paints.swatches import SwatchList
from palette.scheme.choose import mixes_for, paints_for
from palette.scheme.liveries import other_livery
from palette.scheme.measure import Measured, measure_all
from palette.scheme.model import Evidence, PartColour, Scheme
from palette.scheme.reconcile import Verdict, Witness, reconcile
from palette.scheme.witness import Statement, correction, statement

Progress = Callable[[int, int], None]


def build(kit: Kit, progress: Progress | None = None) -> Scheme:
    """The scheme of a kit.

    Raises:
        InputError: with every problem of its pictures, regions, lists and colours.
    """
    from palette.paints.kitlists import kit_swatches

    swatches = kit_swatches(kit)
    repainted = other_livery(kit)
    wanted = [r for r in kit.references if _speaks_of_colour(r) and r.samples]
    measured = dict(
        zip((r.id for r in wanted), measure_all(wanted, str(kit.path), progress), strict=True)
    )
    problems = [problem for m in measured.values() for problem in m.problems]
    paint = same_paint(kit)
    decided, found = _decisions(kit, paint, swatches)
    if problems + found:
        raise InputError.of(problems + found)

    statements, verdicts, warnings = _settle(kit, wanted, measured, paint, decided, repainted, swatches)
    known = {
        part.id: decided[paint[part.id]]
        if paint[part.id] in decided
        else Uncertain(verdicts[paint[part.id]].lab, verdicts[paint[part.id]].covariance)
        for part in kit.parts
        if paint[part.id] in decided or paint[part.id] in verdicts
    }
    greys = _greys(kit, swatches, known, repainted)
    parts = []
    for part in kit.parts:
        own = statements.get(paint[part.id], [])
        colour = _part_colour(kit, part, paint, own, verdicts, decided, greys, repainted)
        parts.append(
            replace(
                colour,
                paints=paints_for(colour.lab, swatches),
                mixes=mixes_for(colour.lab, swatches),
            )
        )
    return Scheme(kit, tuple(parts), tuple(warnings))


def same_paint(kit: Kit) -> dict[str, str]:
    """For each part id, the id of the first part that is the same paint (itself where it is alone)."""
    group = {part.id: part.id for part in kit.parts}
    for part in kit.parts:
        if part.same_as is not None and part.same_as in group:
            one, other = group[part.id], group[part.same_as]
            group = {id: one if g == other else g for id, g in group.items()}
    first = {g: next(p.id for p in kit.parts if group[p.id] == g) for g in group.values()}
    return {id: first[g] for id, g in group.items()}


def _speaks_of_colour(reference: Reference) -> bool:
    return reference.subject == "original" and reference.tone == "colour"


def _decisions(
    kit: Kit, paint: Mapping[str, str], swatches: SwatchList
) -> tuple[dict[str, Uncertain], list[Problem]]:
    """The maker's own decisions by paint, exact by definition; the first where parts of one paint differ."""
    decided: dict[str, Uncertain] = {}
    problems = []
    for part in kit.parts:
        if part.colour is None:
            continue
        lab = _stated(part.colour, swatches)
        if lab is None:
            problems.append(
                Problem(
                    str(kit.path),
                    part.colour.line,
                    f"no swatch {part.colour.swatch!r} in the kit's lists",
                    "correct the id, or list its file under swatches",
                )
            )
        else:
            decided.setdefault(paint[part.id], Uncertain(lab, np.zeros((3, 3))))
    return decided, problems


def _stated(colour: StatedColour, swatches: SwatchList) -> Array | None:
    from palette.paints.kitlists import stated_lab

    return stated_lab(colour, swatches)


def _settle(
    kit: Kit,
    references: Sequence[Reference],
    measured: Mapping[str, Measured],
    paint: Mapping[str, str],
    decided: Mapping[str, Uncertain],
    repainted: Mapping[str, str],
    swatches: SwatchList,
) -> tuple[dict[str, list[Statement]], dict[str, Verdict], list[str]]:
    """Correct the references and weigh them, in an order in which no part confirms itself.

    A reference anchored on a part waits until others have settled that part; what it shows of that part's
    own paint is then no evidence. Anchors that never settle are left out, with a warning.
    """
    statements: dict[str, list[Statement]] = {}
    verdicts: dict[str, Verdict] = {}
    warnings: list[str] = []
    waiting = list(references)
    while waiting:
        settled = {**{p: Uncertain(v.lab, v.covariance) for p, v in verdicts.items()}, **decided}
        ready = [r for r in waiting if all(paint.get(p, p) in settled for p in _leaned_on(r))]
        if not ready:
            stuck = waiting[0]  # the one with most trust in the file's order: no rule is better than another
            for id in sorted({p for p in _leaned_on(stuck) if paint.get(p, p) not in settled}):
                warnings.append(
                    f"reference {stuck.id!r}: its anchor on part {id!r} is left out, "
                    "since no other reference settles that part"
                )
            keep = [
                i
                for i, a in enumerate(stuck.anchors)
                if a.colour.part is None or paint.get(a.colour.part, a.colour.part) in settled
            ]
            bare = replace(stuck, anchors=tuple(stuck.anchors[i] for i in keep))
            ready, m = [bare], measured[stuck.id]
            measured = {**measured, stuck.id: replace(m, anchors=tuple(m.anchors[i] for i in keep))}
        done = {r.id for r in ready}
        waiting = [r for r in waiting if r.id not in done]
        for reference in ready:
            for key, said in _testify(reference, measured[reference.id], paint, settled, swatches).items():
                statements.setdefault(key, []).append(said)
        for key, said_all in statements.items():
            witnesses = [
                Witness(s.lab, s.covariance, s.right) for s in said_all if s.reference.id not in repainted
            ]
            if witnesses:
                verdicts[key] = reconcile(witnesses)
    return statements, verdicts, warnings


def _leaned_on(reference: Reference) -> list[str]:
    return [a.colour.part for a in reference.anchors if a.colour.part is not None]


def _testify(
    reference: Reference,
    measured: Measured,
    paint: Mapping[str, str],
    settled: Mapping[str, Uncertain],
    swatches: SwatchList,
) -> dict[str, Statement]:
    """What one reference says, by paint."""
    colours: list[Uncertain | None] = []
    for anchor in reference.anchors:
        if anchor.colour.part is not None:
            colours.append(settled[paint.get(anchor.colour.part, anchor.colour.part)])
            continue
        lab = None if anchor.colour.neutral else _stated(anchor.colour, swatches)
        colours.append(None if lab is None else Uncertain(lab, np.zeros((3, 3))))
    corrected = correction(reference, measured, colours)
    own = {paint.get(p, p) for p in _leaned_on(reference)}
    by_paint: dict[str, list[int]] = {}
    for i, mark in enumerate(reference.samples):
        by_paint.setdefault(paint.get(mark.part, mark.part), []).append(i)
    return {
        key: statement(reference, measured, corrected, [measured.samples[i] for i in indices])
        for key, indices in by_paint.items()
        if key not in own
    }


def _greys(
    kit: Kit, swatches: SwatchList, known: Mapping[str, Uncertain], repainted: Mapping[str, str]
) -> dict[str, Uncertain]:
    """What grey references say of the parts that no colour reference shows."""
    return {}


def _part_colour(
    kit: Kit,
    part: Part,
    paint: Mapping[str, str],
    statements: Sequence[Statement],
    verdicts: Mapping[str, Verdict],
    decided: Mapping[str, Uncertain],
    greys: Mapping[str, Uncertain],
    repainted: Mapping[str, str],
) -> PartColour:
    verdict = verdicts.get(paint[part.id])
    evidence, notes = [], []
    spoken = iter(verdict.weights if verdict else ())
    for said in statements:
        weight = 0.0 if said.reference.id in repainted else next(spoken)
        reasons = (repainted[said.reference.id],) if said.reference.id in repainted else ()
        evidence.append(
            Evidence(
                said.reference.id,
                said.lab,
                said.covariance,
                radius90(said.lab, said.covariance),
                weight,
                "colour",
                (*reasons, *said.notes),
            )
        )
    if verdict and verdict.conflict:
        notes.append(f"the evidence disagrees: by chance once in {1 / max(verdict.odds, 1e-9):,.0f}")
    conflict = bool(verdict and verdict.conflict)
    if paint[part.id] in decided:
        lab = decided[paint[part.id]].lab
        return PartColour(
            part, lab, np.zeros((3, 3)), 0.0, "decision", conflict, tuple(evidence), tuple(notes)
        )
    if verdict:
        return PartColour(
            part,
            verdict.lab,
            verdict.covariance,
            verdict.radius90,
            "colour",
            conflict,
            tuple(evidence),
            tuple(notes),
        )
    return PartColour(part, None, None, None, "none", False, tuple(evidence), tuple(notes))
