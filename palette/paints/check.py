"""The painted test print against the scheme."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from palette.colour.difference import difference
from palette.colour.scales import Step, Sureness, change, sureness
from palette.colour.spaces import Array
from palette.colour.uncertain import _normal_points, radius90
from palette.errors import InputError, Problem
from palette.evidence.combine.model import PartColour
from palette.evidence.combine.notes import AnchorOnPrint
from palette.evidence.combine.reconcile import reconcile
from palette.evidence.combine.settle import anchor_colours
from palette.evidence.combine.witness import Statement, correction, counted_once, seen
from palette.evidence.measure.measured import copies, measure_all
from palette.kit.model import Kit, Part, Reference
from palette.notes import Note
from palette.paints.scaled import as_painted

PASSES = 0.9  # the probability of a match from which it is one
_NINE_TENTHS = 2.5003  # the square root of chi-square's 0.9 quantile for three degrees of freedom
FAILS = 0.1  # … and below which, of the best there could have been, it is none


@dataclass(frozen=True)
class Checked:
    """One part of the painted print beside its target."""

    part: Part
    target: Array | None  # (3,), None where the scheme has no colour for it
    target_radius90: float | None
    measured: Array  # (3,)
    measured_radius90: float
    difference: float | None  # CIEDE2000
    tolerance: float
    probability: float | None  # that the true difference is within the tolerance
    passes: bool | None  # None where the two uncertainties cannot tell
    give_or_take: float | None  # CIEDE2000: how far apart, that way, one colour could have been read
    change: tuple[Step, ...]  # largest first; empty where nobody would see it
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True)
class Check:
    kit: Kit
    parts: tuple[Checked, ...]
    unseen: tuple[Part, ...]  # parts that no picture of the painted print shows
    warnings: tuple[Note, ...] = ()


def check(kit: Kit, progress: Callable[[int, int], None] | None = None) -> Check:
    """Measure the painted test print and compare it with the scheme, in the kit's order of parts.

    Raises:
        InputError: no reference shows the painted print, or any input is wrong.
    """
    from palette.evidence.combine.build import colours

    painted = [r for r in kit.references if r.subject == "painted" and r.tone == "colour" and r.samples]
    if not painted:
        raise InputError(
            Problem(
                str(kit.path),
                None,
                "no colour reference shows the painted print",
                'add a [[reference]] with subject = "painted" and a sample of each part',
            )
        )
    scheme, swatches = colours(kit, progress)
    scheme = as_painted(scheme, swatches, paints=False)
    warnings = list(scheme.warnings)
    painted = [_of_its_own(reference, warnings) for reference in painted]
    measured = measure_all(painted, str(kit.path))
    problems = [problem for m in measured for problem in m.problems]
    if problems:
        raise InputError.of(problems)
    same = copies(painted, measured)
    said: dict[str, list[Statement]] = {}
    for reference, m in zip(painted, measured, strict=True):
        corrected = correction(reference, m, anchor_colours(reference, {}, {}, swatches))
        for part in dict.fromkeys(s.part for s in reference.samples):
            samples = [s for s, mark in zip(m.samples, reference.samples, strict=True) if mark.part == part]
            said.setdefault(part, []).append(seen(reference, m, corrected, samples))
    parts = tuple(
        _compare(kit, scheme.part(p.id), counted_once(said[p.id], same)) for p in kit.parts if p.id in said
    )
    unseen = tuple(p for p in kit.parts if p.id not in said)
    return Check(kit, parts, unseen, tuple(warnings))


def _of_its_own(reference: Reference, warnings: list[Note]) -> Reference:
    """A painted print cannot lean on the colours it is checked for."""
    anchors = tuple(a for a in reference.anchors if a.colour.part is None)
    if len(anchors) < len(reference.anchors):
        warnings.append(AnchorOnPrint(reference.id))
    return replace(reference, anchors=anchors)


def _compare(kit: Kit, colour: PartColour, said: list[Statement]) -> Checked:
    # A lone picture is taken at its word: the print is there to be looked at again.
    alone = len(said) == 1 or not any(s.right > 0 for s in said)
    if alone:
        lab, covariance = said[0].lab, said[0].covariance
    else:
        verdict = reconcile([s.witness for s in said if s.right > 0])
        lab, covariance = verdict.lab, verdict.covariance
    own = radius90(lab, covariance)
    notes = tuple(dict.fromkeys(note for s in said for note in s.notes))
    if colour.lab is None or colour.covariance is None:
        return Checked(colour.part, None, None, lab, own, None, kit.tolerance, None, None, None, (), notes)
    both = colour.covariance + covariance
    probability, verdict_ = verdict_of(colour.lab, lab, both, kit.tolerance)
    # What is open cannot be missed: the evidence leaves too much room to paint in.
    open_ = colour.radius90 is not None and sureness(colour.radius90) is Sureness.OPEN
    return Checked(
        colour.part,
        colour.lab,
        colour.radius90,
        lab,
        own,
        float(difference(colour.lab, lab)),
        kit.tolerance,
        probability,
        None if open_ else verdict_,
        give_or_take(colour.lab, lab, both),
        change(lab, colour.lab),
        notes,
    )


def give_or_take(target: Array, measured: Array, covariance: Array) -> float:
    """How far apart (CIEDE2000) two readings of one colour lie at most, nine times in ten, along the way from
    `target` to `measured` (3,), when their difference has `covariance` (3, 3): on the ellipsoid that holds
    nine tenths of a normal distribution. Two equal readings have no such way; theirs is the radius.
    """
    way = measured - target
    length = float(np.sqrt(way @ np.linalg.pinv(covariance) @ way))
    apart = float(difference(target, measured))
    if length < 1e-6 or apart < 1e-6:
        return radius90(target, covariance)
    return apart * _NINE_TENTHS / length


def verdict_of(
    target: Array, measured: Array, covariance: Array, tolerance: float
) -> tuple[float, bool | None]:
    """The probability that two colours (3,) differ by no more than `tolerance` (CIEDE2000) when their
    difference has `covariance` (3, 3), and whether that is a match.

    It is one from a probability of 0.9 on. It is none when the probability is less than a tenth of what
    these uncertainties would give two equal readings: a target known only to within 15 could otherwise
    never be missed by less than its own vagueness. Between the two nobody can tell, and the answer is None.
    """
    values, vectors = np.linalg.eigh(covariance)
    spread = _normal_points(1 << 15) * np.sqrt(np.maximum(values, 0.0)) @ vectors.T
    near = float(np.mean(difference(target, measured + spread) <= tolerance))
    best = float(np.mean(difference(target, target + spread) <= tolerance))
    if near >= PASSES:
        return near, True
    return near, False if near < FAILS * best else None
