"""The order in which references are corrected and included, so that no part confirms itself."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from palette.colour.uncertain import Uncertain
from palette.evidence.combine.notes import AnchorUnsettled, OtherLivery, PictureInDoubt
from palette.evidence.combine.reconcile import Estimate, reconcile
from palette.evidence.combine.statements import (
    Statement,
    correction,
    counted_once,
    of_picture,
    remembered,
    seen_apart,
)
from palette.evidence.correction import Correction
from palette.evidence.measure.measured import Measured, copies
from palette.kit.model import Kit, Reference
from palette.kit.paints import same_paint
from palette.notes import Note
from palette.swatches.kitlists import stated_lab
from palette.swatches.model import SwatchList

_DOUBTED, _SLIGHT = 0.7, 0.02  # the chance of a picture being right below which it is doubted, and the least


@dataclass(frozen=True)
class Corrected:
    """A reference as measured, the correction its anchors or its light give, and the anchors' colours."""

    reference: Reference
    measured: Measured
    correction: Correction
    colours: tuple[Uncertain | None, ...]  # of the anchors, in order; None for a grey of unknown lightness


def corrected(reference: Reference, measured: Measured, colours: Sequence[Uncertain | None]) -> Corrected:
    """Correct a reference by its anchors' colours."""
    return Corrected(reference, measured, correction(reference, measured, colours), tuple(colours))


@dataclass
class Settled:
    """What is known by paint (the id of its first part), as far as sources were included."""

    copies: Mapping[str, str]  # by reference, the first one whose picture it is a copy of
    every_statement: dict[str, list[Statement]] = field(default_factory=dict)
    statements: dict[str, list[Statement]] = field(default_factory=dict)  # the same, copies counted once
    estimates: dict[str, Estimate] = field(default_factory=dict)
    warnings: list[Note] = field(default_factory=list)
    corrected: dict[str, Corrected] = field(default_factory=dict)  # by reference, as they were included

    @property
    def pictures(self) -> dict[str, tuple[Note, ...]]:
        """What holds for each picture as a whole."""
        return {id: of_picture(one.measured, one.correction) for id, one in self.corrected.items()}

    def anchoring(
        self, reference: Reference, paint: Mapping[str, str], decided: Mapping[str, Uncertain]
    ) -> dict[str, Uncertain]:
        """What is known, by paint and by decided part, as `reference` may be anchored on it.

        Parts that one earlier picture told are wrong together: taken as independent, several of them would
        look surer of its light than it is itself. Each that `reference` leans on is widened, for each other
        one, by the covariance of the surer of the two, as far as their estimates weigh the same pictures:
        the mean of all is then worth no more than the truth (`python -m tests.benchmarks.leaning`).
        """
        known = {key: Uncertain(v.lab, v.covariance) for key, v in self.estimates.items()} | dict(decided)
        leaned = {paint[part] for part in _leaned_on(reference)} - decided.keys()
        told = {key: self._shares(key) for key in sorted(leaned & self.estimates.keys())}
        for key, own in told.items():
            covariance = self.estimates[key].covariance
            for other in told.keys() - {key}:
                alike = sum(own.get(id, 0.0) * share for id, share in told[other].items())
                surer = min(self.estimates[key].covariance, self.estimates[other].covariance, key=np.trace)
                covariance = covariance + alike * surer
            known[key] = replace(known[key], covariance=covariance)
        return known

    def _shares(self, paint: str) -> dict[str, float]:
        """How an estimate's error is made up: by picture its weight, those of all sources of length 1."""
        weights = self.estimates[paint].weights
        length = float(np.linalg.norm(weights)) or 1.0
        included = [s for s in self.statements[paint] if s.right > 0]
        pairs = zip(included, weights, strict=True)
        return {self.copies.get(s.source, s.source): w / length for s, w in pairs if s.kind == "colour"}

    def add(self, paint: str, statement: Statement) -> None:
        self.every_statement.setdefault(paint, []).append(statement)

    def weigh(self) -> None:
        """An estimate for every paint of which some source speaks."""
        for paint, said in self.every_statement.items():
            self.statements[paint] = counted_once(said, self.copies)
            included = [s for s in self.statements[paint] if s.right > 0]
            if included:
                self.estimates[paint] = reconcile([s.observation for s in included])

    def question(self) -> None:
        """Doubt what hangs on a picture alone where others contradict that picture in most that both show:
        an anchor stated wrongly, or a cast that nobody corrected, is wrong for every part in it."""
        shown: dict[str, list[tuple[str, float]]] = {}
        for paint, estimate in self.estimates.items():
            included = [s for s in self.statements[paint] if s.right > 0]
            if len({s.source for s in included if s.kind == "colour"}) > 1:
                for said, right in zip(included, estimate.right, strict=True):
                    if said.kind == "colour" and not said.sample:
                        shown.setdefault(said.source, []).append((paint, right / said.right))
        doubts = {id: float(np.median([r for _, r in rights])) for id, rights in shown.items()}
        doubts = {id: right for id, right in doubts.items() if right < _DOUBTED}
        for said_of in self.every_statement.values() if doubts else ():
            alone = {s.source for s in said_of if s.kind == "colour" and s.right > 0}
            if len(alone) == 1 and alone <= doubts.keys():
                (id,) = alone
                note = PictureInDoubt(tuple(p for p, r in shown[id] if r < _DOUBTED), doubts[id])
                said_of[:] = [
                    replace(s, right=max(s.right * doubts[id], _SLIGHT), notes=(note, *s.notes))
                    if s.source == id and s.kind == "colour" and s.right > 0
                    else s
                    for s in said_of
                ]
        if doubts:
            self.weigh()


def settle(
    kit: Kit,
    measured: Mapping[str, Measured],
    decided: Mapping[str, Uncertain],
    repainted: Mapping[str, OtherLivery],
    swatches: SwatchList,
) -> Settled:
    """Include the hints, then correct and include the references that are `measured`, and weigh what is said.

    A reference anchored on a part waits until others have settled that part; what it shows of that part's
    own paint is then no evidence. An anchor on a part that nothing else settles is left out, with a warning.
    `repainted` are references of another livery: corrected and shown, not believed.
    """
    paint = same_paint(kit)
    references = [r for r in kit.references if r.id in measured]
    settled = Settled(copies(references, [measured[r.id] for r in references]))
    for part in kit.parts:
        for hint in part.hints:
            settled.add(paint[part.id], remembered(hint))
    settled.weigh()
    waiting = references
    while waiting:
        known = settled.estimates.keys() | decided.keys()
        # words are leaned on only where no picture is left that could tell better
        shown = {
            p
            for p, said in settled.statements.items()
            if any(s.kind == "colour" and s.right > 0 for s in said)
        }
        leaned = {r.id: {paint[p] for p in _leaned_on(r)} for r in waiting}
        ready = [r for r in waiting if leaned[r.id] <= shown | decided.keys()]
        ready = ready or [r for r in waiting if leaned[r.id] <= known]
        if not ready:
            bare = _without_unknown(waiting[0], paint, known, settled.warnings)
            kept = [a in bare.anchors for a in waiting[0].anchors]
            before = measured[bare.id]
            anchors = tuple(s for s, keep in zip(before.anchors, kept, strict=True) if keep)
            measured = {**measured, bare.id: replace(before, anchors=anchors)}
            ready = [bare]
        done = {r.id for r in ready}
        waiting = [r for r in waiting if r.id not in done]
        for reference in ready:
            colours = anchor_colours(reference, paint, settled.anchoring(reference, paint, decided), swatches)
            one = corrected(reference, measured[reference.id], colours)
            settled.corrected[reference.id] = one
            for key, each in _testify(one, paint).items():
                other = repainted.get(reference.id)
                for said in each:
                    settled.add(key, replace(said, right=0.0, notes=(other, *said.notes)) if other else said)
        settled.weigh()
    settled.question()
    return settled


def anchor_colours(
    reference: Reference,
    paint: Mapping[str, str],
    known: Mapping[str, Uncertain],
    swatches: SwatchList,
) -> list[Uncertain | None]:
    """The colour of each anchor, those on parts from what is `known` by paint; None for an unknown grey."""
    colours: list[Uncertain | None] = []
    for anchor in reference.anchors:
        if anchor.colour.part is not None:
            colours.append(known[paint[anchor.colour.part]])
        else:
            lab = stated_lab(anchor.colour, swatches)
            colours.append(None if lab is None else Uncertain(lab, np.zeros((3, 3))))
    return colours


def _leaned_on(reference: Reference) -> list[str]:
    return [a.colour.part for a in reference.anchors if a.colour.part is not None]


def _without_unknown(
    reference: Reference, paint: Mapping[str, str], known: Container[str], warnings: list[Note]
) -> Reference:
    keep = []
    for anchor in reference.anchors:
        if anchor.colour.part is None or paint[anchor.colour.part] in known:
            keep.append(anchor)
        else:
            warnings.append(AnchorUnsettled(reference.id, anchor.colour.part))
    return replace(reference, anchors=tuple(keep))


def _testify(one: Corrected, paint: Mapping[str, str]) -> dict[str, list[Statement]]:
    """What one reference says, by paint."""
    reference, measured = one.reference, one.measured
    own = {paint[p] for p in _leaned_on(reference)}
    marks: dict[str, list[int]] = {}
    for i, mark in enumerate(reference.samples):
        marks.setdefault(paint[mark.part], []).append(i)
    return {
        key: seen_apart(
            reference,
            measured,
            one.correction,
            [measured.samples[i] for i in indices],
            [reference.samples[i].turned for i in indices],
        )
        for key, indices in marks.items()
        if key not in own
    }
