"""What the pictures show, reference by reference, before anything is corrected."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from multiprocessing import get_context
from os import cpu_count

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.kit.model import Reference, Region
from palette.pictures.sampling import Sample, sample

# A handful of pictures is read sooner than a second interpreter starts.
_PARALLEL_FROM = 6
_SCENE_PIXELS = 1 << 16


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
    from palette.pictures.decode import open_picture
    from palette.pictures.regions import holds

    try:
        picture = open_picture(reference.file)
        problems, notes = [], list(picture.notes)
        if picture.grey:
            notes.append('the picture holds no colour; if it is black and white, say tone = "grey"')
        taken: list[list[Sample]] = [[], []]
        marked: Sequence[Sequence[tuple[str, Region, int | None]]] = (
            [(f"anchor {i + 1}", a.region, a.line) for i, a in enumerate(reference.anchors)],
            [(f"the sample of {s.part!r}", s.region, s.line) for s in reference.samples],
        )
        for into, marks in zip(taken, marked, strict=True):
            for name, region, line in marks:
                try:
                    into.append(sample(picture, region, kind=reference.kind))
                except ValueError as error:
                    problems.append(
                        Problem(
                            kit_file,
                            line,
                            f"{name} in reference {reference.id!r}: {error}",
                            f"mark it inside the picture, which is {picture.width} × {picture.height} pixels",
                        )
                    )
                    continue
                if not holds(region, picture.width, picture.height):
                    notes.append(f"{name} runs over the edge of the picture; only what lies inside counts")
        if problems:
            return Measured(picture.width, picture.height, problems=tuple(problems))
        scene = None if reference.anchors else picture.reduced(_SCENE_PIXELS).astype(np.float64)
        return Measured(
            picture.width, picture.height, tuple(taken[0]), tuple(taken[1]), scene, tuple(notes)
        )
    except InputError as error:
        return Measured(0, 0, problems=error.problems)


def measure_all(
    references: Sequence[Reference], kit_file: str, progress: Callable[[int, int], None] | None = None
) -> list[Measured]:
    """Read references, side by side in processes where there are many; one picture a process at a time."""
    found: list[Measured | None] = [None] * len(references)
    workers = min(cpu_count() or 1, len(references))
    if len(references) < _PARALLEL_FROM or workers < 2:
        for i, reference in enumerate(references):
            found[i] = measure(reference, kit_file)
            if progress:
                progress(i + 1, len(references))
    else:
        # Spawned, not forked: a fork of a process with threads (a desk's server) may hang.
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            jobs = {pool.submit(measure, r, kit_file): i for i, r in enumerate(references)}
            for done, job in enumerate(as_completed(jobs), 1):
                found[jobs[job]] = job.result()
                if progress:
                    progress(done, len(references))
    return [m for m in found if m is not None]
