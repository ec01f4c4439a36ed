"""In which order to paint: a topological sort that keeps to the trade's habits where `after` leaves a choice.

Common practice, no source: light before dark, large before small, small parts last among the details,
parts of one paint in one go.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

LIGHTNESS_BAND = 20.0  # L*: closer than this, the larger part goes first
DETAIL_SHARE = 0.03  # of the painted area: smaller parts are details


@dataclass(frozen=True)
class Job:
    """One part to paint. `lightness` is L* or None where undecided, `area` in cm² or None, `paint` what it
    is painted with ('' where undecided), `after` the ids of parts painted before it."""

    id: str
    lightness: float | None
    area: float | None
    paint: str
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class Turn:
    """Parts painted together, with one paint."""

    ids: tuple[str, ...]
    detail: bool


def painting_order(jobs: Sequence[Job]) -> tuple[list[Turn], list[str]]:
    """The turns in order, and the ids whose `after` run in a circle (taken in the order that is left).

    An `after` that names no job is passed over. The order depends on nothing but the jobs.
    """
    details = _details(jobs)
    known = {job.id for job in jobs}
    waits = {job.id: {other for other in job.after if other in known and other != job.id} for job in jobs}

    def key(job: Job) -> tuple[bool, bool, float, float, int]:
        band = -(job.lightness // LIGHTNESS_BAND) if job.lightness is not None else 0.0
        return (job.id in details, job.lightness is None, band, -(job.area or 0.0), place[job.id])

    place = {job.id: index for index, job in enumerate(jobs)}
    left = sorted(jobs, key=key)
    done: set[str] = set()
    turns: list[Turn] = []
    circle: list[str] = []
    while left:
        ready = [job for job in left if waits[job.id] <= done]
        if not ready:
            circle.append(left[0].id)
            ready = left[:1]
        first = ready[0]
        together = [
            job
            for job in ready
            if job is first
            or (job.paint and job.paint == first.paint and (job.id in details) == (first.id in details))
        ]
        turns.append(Turn(tuple(job.id for job in together), first.id in details))
        done.update(job.id for job in together)
        left = [job for job in left if job.id not in done]
    return turns, circle


def _details(jobs: Sequence[Job]) -> set[str]:
    """Parts that are small beside the whole; none where areas are unknown."""
    total = sum(job.area or 0.0 for job in jobs)
    return {job.id for job in jobs if job.area is not None and job.area < DETAIL_SHARE * total}
