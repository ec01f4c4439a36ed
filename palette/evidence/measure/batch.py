"""All regions of a picture in one go, many pictures side by side, remembered by the pictures' content."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette import cache
from palette.errors import InputError, Problem
from palette.evidence.measure import Sample, sample
from palette.evidence.pictures.copies import Likeness, likeness
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.regions import holds
from palette.jobs import Progress, each
from palette.kit.model import Region

_SCENE_PIXELS = 1 << 15


@dataclass(frozen=True)
class Job:
    """The regions to sample of one picture, and whether to keep a small copy of the whole, and what tells its
    copies."""

    path: Path
    regions: tuple[Region, ...]
    kind: str
    scene: bool
    likeness: bool = False


@dataclass(frozen=True)
class Sampled:
    """One picture's samples in the order of the regions asked for; where one holds no pixel, the reason."""

    width: int
    height: int
    grey: bool  # the picture holds no colour
    samples: tuple[Sample | str, ...]
    whole: tuple[bool, ...]  # whether each region lies inside the picture entirely
    scene: NDArray[np.float32] | None  # a small copy in linear light (h, w, 3)
    likeness: Likeness | None
    notes: tuple[str, ...]


def sample_all(
    jobs: Sequence[Job], progress: Progress | None = None
) -> list[Sampled | tuple[Problem, ...]]:
    """Sample pictures, in their order; in place of one that cannot be read stand its problems."""
    return each(_sampled, jobs, _key, lambda found: isinstance(found, Sampled), progress)


def _key(job: Job) -> str | None:
    try:
        return cache.key("samples", cache.content(job.path), job.regions, job.kind, job.scene, job.likeness)
    except OSError:
        return None  # reading it will say what is wrong with the file


def _sampled(job: Job) -> Sampled | tuple[Problem, ...]:
    try:
        return _read(job)
    except InputError as error:
        return error.problems


def _read(job: Job) -> Sampled:
    picture = open_picture(job.path)
    samples: list[Sample | str] = []
    for region in job.regions:
        try:
            samples.append(sample(picture, region, kind=job.kind))
        except InputError:
            raise
        except ValueError as error:
            samples.append(str(error))
    return Sampled(
        picture.width,
        picture.height,
        picture.grey,
        tuple(samples),
        tuple(holds(region, picture.width, picture.height) for region in job.regions),
        picture.reduced(_SCENE_PIXELS) if job.scene else None,
        likeness(picture) if job.likeness else None,
        picture.notes,
    )
