"""All regions of a picture in one go, many pictures side by side, remembered by the pictures' content."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette import cache
from palette.errors import InputError, Problem
from palette.evidence.measure import Sample, sample
from palette.evidence.pictures.copies import Likeness, likeness
from palette.evidence.pictures.decode import Linear, Picture
from palette.evidence.pictures.pyramid import mapped
from palette.evidence.pictures.regions import holds
from palette.evidence.pictures.toning import Toning, toning
from palette.jobs import Progress, each
from palette.kit.model import Region
from palette.kit.moved import noted
from palette.memory import keep, recall
from palette.notes import Note

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
    toning: Toning | None  # of a picture that looks like a toned black-and-white one
    samples: tuple[Sample | str, ...]
    whole: tuple[bool, ...]  # whether each region lies inside the picture entirely
    scene: NDArray[np.float32] | None  # a small copy in linear light (h, w, 3)
    likeness: Likeness | None
    notes: tuple[Note, ...]


def sample_all(jobs: Sequence[Job], progress: Progress | None = None) -> list[Sampled | tuple[Problem, ...]]:
    """Sample pictures, in their order; in place of one that cannot be read stand its problems.

    What was read of a picture before is remembered mark by mark, so that a new mark costs itself.
    """
    tasks = [_Task(job, _content(job.path)) for job in jobs]
    known: list[Sampled | tuple[Problem, ...] | None] = [_recall(task) for task in tasks]
    missing = [i for i, sampled in enumerate(known) if sampled is None]
    todo = [_missing(tasks[i]) for i in missing]
    if progress is not None:
        progress(len(jobs) - len(missing), len(jobs))

    def tell(done: int, total: int) -> None:
        if progress is not None:
            progress(len(jobs) - total + done, len(jobs))

    for i, read in zip(missing, each(_sampled, todo, progress=tell), strict=True):
        if isinstance(read, _Read) and tasks[i].content == _content(tasks[i].job.path):
            _keep(tasks[i], read)
        known[i] = read if not isinstance(read, _Read) else _whole(tasks[i], read)
    return [sampled for sampled in known if sampled is not None]


@dataclass(frozen=True)
class _Task:
    """A job, and the digest of its picture; None where that cannot be read."""

    job: Job
    content: str | None


@dataclass(frozen=True)
class _Todo:
    """What is to be read of a picture."""

    path: Path
    kind: str
    regions: tuple[Region, ...]
    facts: bool
    scene: bool
    likeness: bool


@dataclass(frozen=True)
class _Facts:
    """What holds for a picture as a whole."""

    width: int
    height: int
    grey: bool
    toning: Toning | None
    notes: tuple[Any, ...]


@dataclass(frozen=True)
class _Read:
    """What was read of a picture: what was asked for of it."""

    samples: dict[Region, Sample | str]
    facts: _Facts | None
    scene: NDArray[np.float32] | None
    likeness: Likeness | None


def _content(path: Path) -> str | None:
    content = cache.content_if_readable(path)
    if content is not None:
        noted(path, content)
    return content


def _keys(task: _Task) -> dict[Any, str]:
    """Under what each thing that a job needs is kept: by region, and by name."""
    if task.content is None:
        return {}
    job = task.job
    keys: dict[Any, str] = {
        region: cache.key("sample", task.content, region, job.kind) for region in job.regions
    }
    keys["facts"] = cache.key("facts", task.content)
    if job.scene:
        keys["scene"] = cache.key("scene", task.content)
    if job.likeness:
        keys["likeness"] = cache.key("likeness", task.content)
    return keys


def _known(task: _Task) -> dict[Any, Any]:
    remembered = {what: recall(key) for what, key in _keys(task).items()}
    return {what: value for what, value in remembered.items() if value is not cache.MISSING}


def _recall(task: _Task) -> Sampled | None:
    """A job's answer where all of it is known."""
    known = _known(task)
    if task.content is None or len(known) < len(_keys(task)):
        return None
    return _assembled(task.job, known)


def _missing(task: _Task) -> _Todo:
    job, known = task.job, _known(task)
    return _Todo(
        job.path,
        job.kind,
        tuple(region for region in dict.fromkeys(job.regions) if region not in known),
        "facts" not in known,
        job.scene and "scene" not in known,
        job.likeness and "likeness" not in known,
    )


def _found(read: _Read) -> dict[Any, Any]:
    more = {"facts": read.facts, "scene": read.scene, "likeness": read.likeness}
    return {**read.samples, **{what: value for what, value in more.items() if value is not None}}


def _keep(task: _Task, read: _Read) -> None:
    keys = _keys(task)
    for what, value in _found(read).items():
        keep(keys[what], value)


def _whole(task: _Task, read: _Read) -> Sampled:
    return _assembled(task.job, _known(task) | _found(read))


def _assembled(job: Job, known: dict[Any, Any]) -> Sampled:
    facts = known["facts"]
    return Sampled(
        facts.width,
        facts.height,
        facts.grey,
        facts.toning,
        tuple(known[region] for region in job.regions),
        tuple(holds(region, facts.width, facts.height) for region in job.regions),
        known.get("scene") if job.scene else None,
        known.get("likeness") if job.likeness else None,
        facts.notes,
    )


def _sampled(todo: _Todo) -> _Read | tuple[Problem, ...]:
    try:
        return _read(todo)
    except InputError as error:
        return error.problems


def _facts(picture: Picture) -> _Facts:
    likely = None
    if not picture.grey:
        estimate = toning(picture.reduced(_SCENE_PIXELS))
        likely = estimate if estimate.likely else None
    return _Facts(picture.width, picture.height, picture.grey, likely, picture.notes)


def _scene(picture: Picture) -> Linear:
    scene = picture.reduced(_SCENE_PIXELS)
    if not np.isfinite(scene).all(axis=-1).any():
        what, remedy = "every pixel of it is transparent", "save it without its transparent layer"
        raise InputError(Problem(str(picture.file), None, what, remedy))
    return scene


def _read(todo: _Todo) -> _Read:
    picture = mapped(todo.path)
    samples: dict[Region, Sample | str] = {}
    for region in todo.regions:
        try:
            samples[region] = sample(picture, region, kind=todo.kind)
        except InputError:
            raise
        except ValueError as error:
            samples[region] = str(error)
    return _Read(
        samples,
        _facts(picture) if todo.facts else None,
        _scene(picture) if todo.scene else None,
        likeness(picture) if todo.likeness else None,
    )
