"""What the pictures show, reference by reference, before anything is corrected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, linear_to_lab
from palette.errors import Problem
from palette.evidence.measure import Sample
from palette.evidence.measure.notes import Colourless, LightEdge, OfMark, OverTheEdge, SeveralColours
from palette.evidence.pictures.notes import IsCopy, Mark, ShowsTheSame
from palette.evidence.pictures.toning import NO_COLOUR
from palette.kit.model import Reference
from palette.memory import remembered
from palette.notes import Note

if TYPE_CHECKING:
    from palette.evidence.measure.batch import Sampled
    from palette.evidence.pictures.copies import Likeness
    from palette.evidence.pictures.references import ReferenceStatus
    from palette.evidence.pictures.toning import Toning


@dataclass(frozen=True)
class Measured:
    """One reference as shot: its samples in the order of its anchors and of its part samples."""

    width: int
    height: int
    anchors: tuple[Sample, ...] = ()
    samples: tuple[Sample, ...] = ()
    scene: Array | None = None  # a small linear copy (h, w, 3)
    notes: tuple[Note, ...] = ()
    colourless: bool = False  # said to be a colour picture, and holds none
    likeness: Likeness | None = None  # where another picture shows a part of this one
    problems: tuple[Problem, ...] = ()


def measure(reference: Reference, kit_file: str) -> Measured:
    """Read one reference; what is wrong with it is in `problems`, with the kit's lines."""
    return measure_all([reference], kit_file)[0]


def measure_all(
    references: Sequence[Reference], kit_file: str, progress: Callable[[int, int], None] | None = None
) -> list[Measured]:
    """Read references, side by side in processes where there are many, unless they were read before."""
    from palette.evidence.measure.batch import Job, sample_all

    # Light and exposure are guessed from the whole picture only where nothing of known lightness is in it.
    shown = Counter(part for r in references for part in {s.part for s in r.samples})
    jobs = [
        Job(
            r.file,
            (*(a.region for a in r.anchors), *(s.region for s in r.samples)),
            r.kind,
            scene=all(a.colour.neutral for a in r.anchors),
            likeness=any(shown[s.part] > 1 for s in r.samples),
        )
        for r in references
    ]
    sampled = sample_all(jobs, progress)
    return [_measured(r, one, kit_file) for r, one in zip(references, sampled, strict=True)]


def _measured(reference: Reference, sampled: Sampled | tuple[Problem, ...], kit_file: str) -> Measured:
    """Samples with the names and lines that the kit gives their marks."""
    if isinstance(sampled, tuple):
        return Measured(0, 0, problems=sampled)
    marks = [(Mark(anchor=i), a.line) for i, a in enumerate(reference.anchors, 1)]
    marks += [(Mark(part=s.part), s.line) for s in reference.samples]
    problems, samples = [], []
    notes: list[Note] = list(sampled.notes)
    toned = sampled.toning is not None and not _coloured_marks(sampled, sampled.toning)
    colourless = (sampled.grey or toned) and reference.tone == "colour"
    if colourless:
        notes.append(Colourless(toned))
    for (mark, line), sample, whole in zip(marks, sampled.samples, sampled.whole, strict=True):
        if isinstance(sample, Sample):
            samples.append(sample)
            if not whole:
                notes.append(OverTheEdge(mark))
        else:
            name = f"anchor {mark.anchor}" if mark.anchor else f"the sample of {mark.part!r}"
            what = f"{name} in reference {reference.id!r}: {sample}"
            remedy = f"mark it inside the picture, which is {sampled.width} × {sampled.height} pixels"
            problems.append(Problem(kit_file, line, what, remedy))
    if problems:
        return Measured(sampled.width, sampled.height, problems=tuple(problems))
    anchors = len(reference.anchors)
    return Measured(
        sampled.width,
        sampled.height,
        tuple(samples[:anchors]),
        tuple(samples[anchors:]),
        None if sampled.scene is None else _wide(sampled.scene),
        tuple(notes),
        colourless,
        likeness=sampled.likeness,
    )


def _coloured_marks(sampled: Sampled, toning: Toning) -> bool:
    """Whether a mark shows more colour than a toning would give it: then the picture is none of one tone."""
    marked = [sample for sample in sampled.samples if isinstance(sample, Sample)]
    if not marked:
        return False
    lab = linear_to_lab(np.array([sample.linear for sample in marked]))
    place = np.array([sample.centre for sample in marked]) / (sampled.width, sampled.height)
    return bool(toning.beyond(lab, place).max() > NO_COLOUR)


@remembered()
def _wide(scene: NDArray[np.float32]) -> Array:
    return scene.astype(np.float64)


def copies(references: Sequence[Reference], measured: Sequence[Measured]) -> dict[str, str]:
    """By reference, the first one of its tone whose picture it is a copy of: its own id where it is none."""
    from palette.evidence.pictures.copies import copies as picture_copies

    ids = {r.id: r.id for r in references}
    for tone in {r.tone for r in references}:
        known = {
            r.id: m.likeness
            for r, m in zip(references, measured, strict=True)
            if r.tone == tone and m.likeness is not None
        }
        first = picture_copies(list(known.values()))
        ids |= {id: list(known)[i] for id, i in zip(known, first, strict=True)}
    return ids


def counted(
    statuses: Sequence[ReferenceStatus], references: Sequence[Reference], measured: Sequence[Measured]
) -> list[ReferenceStatus]:
    """References as they stand, told for pictures that show the same whether they count once or twice, and of
    copies that only their grain tells."""
    from palette.evidence.pictures.copies import Relation, relation

    first = copies(references, measured)
    likeness = {r.id: m.likeness for r, m in zip(references, measured, strict=True)}
    out = []
    for status in statuses:
        id, same = status.reference.id, status.same_as
        said = [
            replace(note, once=first[id] == first[note.other] and likeness[id] is not None)
            if isinstance(note, ShowsTheSame)
            else note
            for note in status.missing
        ]
        copy, original = likeness[id], likeness[first[id]]
        if first[id] not in (id, *same) and copy is not None and original is not None:
            how = relation(original, copy) or Relation(0)
            said.insert(len(same), IsCopy(first[id], how.turn, how.change))
            same = (*same, first[id])
        out.append(replace(status, missing=tuple(said), same_as=same))
    return out


def mixed(reference: Reference, measured: Measured) -> list[Note]:
    """Which marks of a reference hold more than one colour, or an edge; none where none is read."""
    marks = zip(reference.samples, measured.samples, strict=not measured.problems)
    return mixed_anchors(measured) + [
        note for mark, sample in marks for note in _mixed(Mark(part=mark.part), sample)
    ]


def mixed_anchors(measured: Measured) -> list[Note]:
    """Which anchors of a reference hold more than one colour, or an edge."""
    return [note for i, sample in enumerate(measured.anchors, 1) for note in _mixed(Mark(anchor=i), sample)]


def _mixed(mark: Mark, sample: Sample) -> list[Note]:
    return [OfMark(mark, note) for note in sample.notes if isinstance(note, SeveralColours | LightEdge)]
