"""The painted test print: is it painted as the guide says, and is it the colour of the original?

The first is asked of the paint or mixture that the guide puts on the part, whose colour is known, so that all
doubt is the photograph's. The print's other parts narrow it: each that may be painted as the guide says is a
further anchor for the part in question, believed to within the tolerance. The second has the scheme's own
doubt besides.

A no has to stand against the nearest explanation: a camera that strays from strong colours as cameras do,
and a print of which all else is painted as the guide says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette.colour.difference import difference
from palette.colour.scales import Step, Sureness, change, sureness
from palette.colour.spaces import Array
from palette.colour.uncertain import Uncertain, _normal_points, radius90
from palette.errors import InputError, Problem
from palette.evidence.combine.model import PartColour, Scheme
from palette.evidence.combine.notes import AnchorOnPrint, SettledFails
from palette.evidence.combine.reconcile import reconcile
from palette.evidence.combine.settle import anchor_colours
from palette.evidence.combine.statements import Statement, correction, counted_once, seen
from palette.evidence.correction import Correction
from palette.evidence.correction.straying import straying
from palette.evidence.measure.measured import Measured, copies, measure_all
from palette.kit.model import Anchor, Kit, Part, Reference, Region, StatedColour
from palette.notes import Note
from palette.paints.choosing.choice import chosen_paints
from palette.paints.scaled import as_painted
from palette.swatches.model import SwatchList

PASSES = 0.9  # the probability of a match from which it is one
ENOUGH = 2.0  # tolerances: a photograph that shows a difference of so much is good enough for a yes
_BELIEVED = 2.0  # tolerances: a part that looks no further off may be painted as the guide says
_PAINTED = 0.5  # tolerances: how far brushed paint lies from its list, nine times in ten
_NINE_TENTHS = 2.5003  # the square root of chi-square's 0.9 quantile for three degrees of freedom
# By how many times what photographs on the whole stray from a colour one of them may. Cameras of the half for
# choices (`python -m tests.benchmarks.prints --tuning`) decided where it ends.
_STRAYS = 0.0, 0.5, 1.0, 1.5
FAILS = 0.1  # … and below which, of the best there could have been, it is none


@dataclass(frozen=True)
class Checked:
    """One part of the painted print beside its target."""

    part: Part
    target: Array | None  # (3,), of what the guide puts on it; None where it has no colour
    target_radius90: float | None  # of the mixture's prediction; where no paint is chosen, of the scheme
    measured: Array  # (3,)
    measured_radius90: float
    difference: float | None  # CIEDE2000
    tolerance: float
    probability: float | None  # that the true difference is within the tolerance
    passes: bool | None  # painted as the guide says; None where the photograph cannot tell
    give_or_take: float | None  # CIEDE2000: how far apart, that way, one colour could have been read
    change: tuple[Step, ...]  # largest first; empty but where it is a no
    original: Array | None = None  # (3,), the scheme's colour
    original_radius90: float | None = None
    original_difference: float | None = None  # CIEDE2000, from what was measured
    original_passes: bool | None = None  # within the tolerance of the original; None where nobody can tell
    basis: str = "none"  # of the original: colour | grey | hint | decision | none
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True)
class Check:
    kit: Kit
    scheme: Scheme  # as the evidence has it
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
    supported, scheme = scheme, as_painted(scheme, swatches)
    targets = _targets(scheme, swatches)
    warnings = list(scheme.warnings)
    painted = [_of_its_own(reference, warnings) for reference in painted]
    measured = measure_all(painted, str(kit.path))
    problems = [problem for m in measured for problem in m.problems]
    if problems:
        raise InputError.of(problems)
    same = copies(painted, measured)
    said: dict[str, list[Statement]] = {}
    for reference, m in zip(painted, measured, strict=True):
        for part, statement in _said(kit, reference, m, swatches, targets).items():
            said.setdefault(part, []).append(statement)
    pictures = list(zip(painted, measured, strict=True))
    anchors = _known(painted, swatches)
    parts = []
    for part in (p.id for p in kit.parts if p.id in said):
        checked = _compare(kit, scheme.part(part), targets.get(part), counted_once(said[part], same), anchors)
        if checked.passes is False:
            otherwise = [_if_others_are_right(kit, *shown, swatches, targets, part) for shown in pictures]
            checked = _explained(checked, targets[part], counted_once([s for s in otherwise if s], same))
        parts.append(checked)
    failed = tuple(checked.part.name for checked in parts if checked.passes is False)
    if kit.stage == "settled" and failed:
        warnings.append(SettledFails(failed))
    return Check(
        kit, supported, tuple(parts), tuple(p for p in kit.parts if p.id not in said), tuple(warnings)
    )


@dataclass(frozen=True)
class _Target:
    """What goes on a part: its colour (3,), and the covariance of what is not known of it (3, 3)."""

    lab: Array
    covariance: Array
    paint: bool  # a paint or mixture of the list; else the scheme's own colour


def _targets(scheme: Scheme, swatches: SwatchList) -> dict[str, _Target]:
    """What the guide puts on each part, by part id: paint, or where there is none the colour itself."""
    chosen_paint = chosen_paints(scheme, swatches) if len(swatches) else {}
    targets = {}
    for part in scheme.parts:
        chosen = chosen_paint.get(part.part.id)
        if chosen is not None and chosen.lab is not None:
            # the mean length of a normal vector of three is 1.6 of its standard deviation
            spread = 0.0 if chosen.mix is None else chosen.mix.expected_error / 1.6
            targets[part.part.id] = _Target(np.asarray(chosen.lab, dtype=float), spread**2 * np.eye(3), True)
        elif part.lab is not None and part.covariance is not None:
            targets[part.part.id] = _Target(part.lab, part.covariance, False)
    return targets


def _said(
    kit: Kit, reference: Reference, m: Measured, swatches: SwatchList, targets: Mapping[str, _Target]
) -> dict[str, Statement]:
    """What one picture of the print says of each part, by its anchors and by the other parts."""
    known = anchor_colours(reference, {}, {}, swatches)
    corrected = correction(reference, m, known)
    marks = _marks(reference)
    alone = {part: _seen(reference, m, corrected, at) for part, at in marks.items()}
    believed = [
        part
        for part, one in alone.items()
        if part in targets and difference(targets[part].lab, one.lab) <= _BELIEVED * kit.tolerance
    ]
    return {
        part: _narrowed(kit, reference, m, known, targets, part, believed) or one
        for part, one in alone.items()
    }


def _marks(reference: Reference) -> dict[str, list[int]]:
    """The places of each part's samples."""
    marks: dict[str, list[int]] = {}
    for i, mark in enumerate(reference.samples):
        marks.setdefault(mark.part, []).append(i)
    return marks


def _narrowed(
    kit: Kit,
    reference: Reference,
    m: Measured,
    known: Sequence[Uncertain | None],
    targets: Mapping[str, _Target],
    part: str,
    right: Sequence[str],
) -> Statement | None:
    """What one picture of the print says of a part, those that are `right` being anchors too, the part itself
    and what has its paint excepted; None where none are."""
    marks = _marks(reference)
    others = [
        (i, other)
        for other in right
        if other != part and (part not in targets or not _same(targets[other], targets[part]))
        for i in marks[other]
    ]
    if not others:
        return None
    more = tuple(_anchor(kit, reference.samples[i].region, other, targets[other]) for i, other in others)
    among = replace(reference, anchors=(*reference.anchors, *more))
    with_them = replace(m, anchors=(*m.anchors, *(m.samples[i] for i, _ in others)))
    colours = [*known, *(Uncertain(targets[other].lab, targets[other].covariance) for _, other in others)]
    return _seen(among, with_them, correction(among, with_them, colours), marks[part])


def _if_others_are_right(
    kit: Kit,
    reference: Reference,
    m: Measured,
    swatches: SwatchList,
    targets: Mapping[str, _Target],
    part: str,
) -> Statement | None:
    """What one picture says of a part if all others are painted as the guide says, however they look."""
    marks = _marks(reference)
    if part not in marks:
        return None
    known = anchor_colours(reference, {}, {}, swatches)
    return _narrowed(kit, reference, m, known, targets, part, [other for other in marks if other in targets])


def _explained(checked: Checked, target: _Target, said: list[Statement]) -> Checked:
    """A part that looks wrong, and no longer is called so where it may well be right if all others are."""
    if not said:
        return checked
    lab, covariance = _together(said)
    covariance = target.covariance + covariance
    near, _ = verdict_of(target.lab, lab, covariance, checked.tolerance)
    if near < FAILS or checked.difference is None or checked.give_or_take is None:
        return checked
    reach = (
        checked.difference - float(difference(target.lab, lab)) + give_or_take(target.lab, lab, covariance)
    )
    return replace(checked, passes=None, change=(), give_or_take=max(checked.give_or_take, reach))


def _known(painted: Sequence[Reference], swatches: SwatchList) -> Array:
    """The colours (m, 3) of all anchors of pictures whose colour is known."""
    known = [colour for one in painted for colour in anchor_colours(one, {}, {}, swatches)]
    return np.array([colour.lab for colour in known if colour is not None]).reshape(-1, 3)


def _seen(reference: Reference, m: Measured, corrected: Correction, at: Sequence[int]) -> Statement:
    """What a picture's samples `at` some places say of their part."""
    turned = [reference.samples[i].turned for i in at]
    return seen(reference, m, corrected, [m.samples[i] for i in at], turned)


def _same(one: _Target, other: _Target) -> bool:
    """Whether two parts get one paint: a wrong pot is then wrong for both."""
    return float(difference(one.lab, other.lab)) < 0.05


def _anchor(kit: Kit, region: Region, part: str, target: _Target) -> Anchor:
    lab = tuple(float(v) for v in target.lab)
    stated = StatedColour(lab=(lab[0], lab[1], lab[2]), words=f"part {part}")
    return Anchor(region, stated, spread=max(_PAINTED * kit.tolerance, 1.0), surface=f"part {part}")


def _of_its_own(reference: Reference, warnings: list[Note]) -> Reference:
    """A painted print cannot lean on the colours it is checked for."""
    anchors = tuple(a for a in reference.anchors if a.colour.part is None)
    if len(anchors) < len(reference.anchors):
        warnings.append(AnchorOnPrint(reference.id))
    return replace(reference, anchors=anchors)


def _together(said: Sequence[Statement]) -> tuple[Array, Array]:
    """Colour (3,) and covariance (3, 3) of what pictures say of one part of the print."""
    # A lone picture is taken at its word: the print is there to be looked at again.
    if len(said) == 1 or not any(s.right > 0 for s in said):
        return said[0].lab, said[0].covariance
    estimate = reconcile([s.observation for s in said if s.right > 0])
    return estimate.lab, estimate.covariance


def _compare(
    kit: Kit, colour: PartColour, target: _Target | None, said: list[Statement], anchors: Array
) -> Checked:
    lab, covariance = _together(said)
    checked = Checked(
        colour.part, None, None, lab, radius90(lab, covariance), None, kit.tolerance, None, None, None, (),
        notes=tuple(dict.fromkeys(note for s in said for note in s.notes)),
    )  # fmt: skip
    open_ = False
    if colour.lab is not None and colour.covariance is not None:
        # What is open cannot be missed: the evidence leaves too much room to paint in.
        open_ = colour.radius90 is not None and sureness(colour.radius90) is Sureness.OPEN
        shown = _explanations(colour.lab, anchors)
        _, original = _by_any_camera(shown, lab, colour.covariance + covariance, kit.tolerance)
        checked = replace(
            checked,
            original=colour.lab,
            original_radius90=colour.radius90,
            original_difference=float(difference(colour.lab, lab)),
            original_passes=None if open_ else original,
            basis=colour.basis,
        )
    if target is None:
        return checked
    both = target.covariance + covariance
    shown = _explanations(target.lab, anchors)
    probability, passes = _by_any_camera(shown, lab, both, kit.tolerance)
    near, reach = _as_near_as_shown(shown, lab, both, kit.tolerance)
    passes = True if near else passes
    passes = None if open_ and not target.paint else passes
    return replace(
        checked,
        target=target.lab,
        target_radius90=radius90(target.lab, target.covariance),
        difference=float(difference(target.lab, lab)),
        probability=probability,
        passes=passes,
        give_or_take=reach,
        change=change(lab, target.lab) if passes is False else (),
    )


def _explanations(lab: Array, anchors: Array) -> Array:
    """What cameras may show (k, 3) of a colour (3,), in a photograph corrected by anchors (m, 3): the colour
    itself first."""
    return np.asarray(lab + np.multiply.outer(np.array(_STRAYS), straying(lab[None], anchors)[0]))


def _as_near_as_shown(
    explanations: Array, measured: Array, covariance: Array, tolerance: float
) -> tuple[bool, float]:
    """Whether a colour is as near to what cameras may show (k, 3) as a good photograph can tell, and how far
    off (CIEDE2000) a match could have been read: by that explanation, or else by whichever reaches farthest.
    """
    left = difference(explanations, measured).tolist()
    reaches = [give_or_take(shown, measured, covariance) for shown in explanations]
    enough = ENOUGH * tolerance
    for off, reach in zip(left, reaches, strict=True):
        if left[0] <= enough and (off <= tolerance or off <= reach <= enough):
            return True, reach if off == left[0] else max(left[0], reach)
    return False, max(left[0] - off + reach for off, reach in zip(left, reaches, strict=True))


def _by_any_camera(
    explanations: Array, measured: Array, covariance: Array, tolerance: float
) -> tuple[float, bool | None]:
    """As `verdict_of` of what cameras may show (k, 3), but a no only where it is one by each of them; the
    probability is then that by the likeliest of them."""
    near, passes = verdict_of(explanations[0], measured, covariance, tolerance)
    if passes is not False:
        return near, passes
    others = [verdict_of(shown, measured, covariance, tolerance) for shown in explanations[1:]]
    surely = all(verdict is False for _, verdict in others)
    return max(near, *(likely for likely, _ in others)), False if surely else None


def give_or_take(target: Array, measured: Array, covariance: Array) -> float:
    """How far apart (CIEDE2000) two readings of one colour lie at most, nine times in ten, along the way from
    `target` to `measured` (3,), when their difference has `covariance` (3, 3): on the ellipsoid that holds
    nine tenths of a normal distribution. Two equal readings have no such way; theirs is the radius.
    """
    offset = measured - target
    length = float(np.sqrt(offset @ np.linalg.pinv(covariance) @ offset))
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
