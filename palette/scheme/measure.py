"""What the pictures show, reference by reference, before anything is corrected."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from os import cpu_count

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.kit.model import Reference
from palette.pictures.sampling import Sample

# A handful of pictures is read sooner than a second interpreter starts.
_PARALLEL_FROM = 6


@dataclass(frozen=True)
class Measured:
    """One reference as shot: its samples in the order of its anchors and of its part samples."""

    width: int
    height: int
    anchors: tuple[Sample, ...] = ()
    samples: tuple[Sample, ...] = ()
    scene: Array | None = None  # a small linear copy (h, w, 3)
    notes: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def measure(reference: Reference, kit_file: str) -> Measured:
    """Read one reference; what is wrong with it is in `problems`, with the kit's lines."""
    from palette.pictures.sampling.batch import sample_all

    marks = [(f"anchor {i + 1}", a.region, a.line) for i, a in enumerate(reference.anchors)]
    marks += [(f"the sample of {s.part!r}", s.region, s.line) for s in reference.samples]
    # The light is guessed from the whole picture only where nothing in it is known.
    guess = not reference.anchors
    try:
        found = sample_all(reference.file, [region for _, region, _ in marks], reference.kind, guess)
    except InputError as error:
        return Measured(0, 0, problems=error.problems)
    problems, notes, samples = [], list(found.notes), []
    if found.grey:
        notes.append('the picture holds no colour; if it is black and white, say tone = "grey"')
    for (name, _, line), sample, whole in zip(marks, found.samples, found.whole, strict=True):
        if isinstance(sample, Sample):
            samples.append(sample)
            if not whole:
                notes.append(f"{name} runs over the edge of the picture; only what lies inside counts")
        else:
            what = f"{name} in reference {reference.id!r}: {sample}"
            remedy = f"mark it inside the picture, which is {found.width} × {found.height} pixels"
            problems.append(Problem(kit_file, line, what, remedy))
    if problems:
        return Measured(found.width, found.height, problems=tuple(problems))
    anchors = len(reference.anchors)
    return Measured(
        found.width,
        found.height,
        tuple(samples[:anchors]),
        tuple(samples[anchors:]),
        None if found.scene is None else found.scene.astype(np.float64),
        tuple(notes),
    )


def measure_all(
    references: Sequence[Reference], kit_file: str, progress: Callable[[int, int], None] | None = None
) -> list[Measured]:
    """Read references, side by side in processes where there are many; one picture a process at a time."""
    from palette.scheme.crew import crew

    found: list[Measured] = []
    with crew(min(cpu_count() or 1, len(references)) if len(references) >= _PARALLEL_FROM else 1) as work:
        for result in work([(reference, kit_file) for reference in references]):
            found.append(result)
            if progress:
                progress(len(found), len(references))
    return found
