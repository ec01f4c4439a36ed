"""A kit's pictures and what each still lacks to be good evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from palette import cache, jobs
from palette.errors import InputError, Problem
from palette.evidence.pictures import duplicates
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.notes import (
    Mark,
    MarkOutside,
    MarkSmall,
    NoAnchor,
    NoCredit,
    NoPlaceInFilm,
    NoSample,
    ShowsTheSame,
    SmallPicture,
    ToneContradicted,
    Unreadable,
)
from palette.evidence.pictures.regions import holds, pixels
from palette.evidence.pictures.toning import COLOUR, NO_COLOUR, boldness
from palette.kit.model import Kit, Reference
from palette.notes import Note

# Common practice, no source: below these a picture or a sample tells little of a surface.
LEAST_PICTURE = 300_000  # pixels; a frame of standard-definition video has more
LEAST_SAMPLE = 25  # pixels

_SMALL = 1 << 16


@dataclass(frozen=True)
class Glance:
    """What a look at the whole picture tells, small enough to be kept."""

    width: int
    height: int
    profile: str
    colour: float  # chroma of the boldest hundredth of its pixels, beyond a toning's
    signature: duplicates.Signature
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True)
class ReferenceStatus:
    """One reference as it stands: what it is, and what it lacks, most serious first."""

    reference: Reference
    glance: Glance | None  # None where the file cannot be read
    missing: tuple[Note, ...]
    same_as: tuple[str, ...] = ()  # ids of earlier references that show the same
    problems: tuple[Problem, ...] = ()


def survey(kit: Kit, progress: jobs.Progress | None = None) -> list[ReferenceStatus]:
    """Every reference of a kit, in its order. Files that cannot be read are problems of their status."""
    files = list(dict.fromkeys(reference.file for reference in kit.references))
    seen = dict(zip(files, jobs.each(_glance, files, _key, _readable, progress), strict=True))
    twins = _twins(kit.references, seen)
    return [
        _status(reference, seen[reference.file], twins.get(i, []))
        for i, reference in enumerate(kit.references)
    ]


def _readable(glance: Glance | tuple[Problem, ...]) -> bool:
    return isinstance(glance, Glance)


def _key(file: Path) -> str | None:
    try:
        return cache.key("glance", cache.content(file))
    except OSError:
        return None


def _glance(file: Path) -> Glance | tuple[Problem, ...]:
    try:
        picture = open_picture(file)
        small = picture.reduced(_SMALL)
    except InputError as error:
        return error.problems
    colour = 0.0 if picture.grey else boldness(small)
    return Glance(
        picture.width, picture.height, picture.profile, colour, duplicates.signature(small), picture.notes
    )


def _twins(
    references: Sequence[Reference], seen: dict[Path, Glance | tuple[Problem, ...]]
) -> dict[int, list[ShowsTheSame]]:
    """By place in the kit: the earlier references that show the same."""
    known = [(i, glance) for i, r in enumerate(references) if isinstance(glance := seen[r.file], Glance)]
    twins: dict[int, list[ShowsTheSame]] = {}
    shapes = [(glance.width, glance.height) for _, glance in known]
    for a, b, mirrored in duplicates.pairs([glance.signature for _, glance in known], shapes):
        earlier, later = known[a][0], known[b][0]
        how = "mirrored" if mirrored else "alike"
        if references[earlier].file == references[later].file:
            how = "same file"
        id = references[earlier].id
        twins.setdefault(later, []).append(ShowsTheSame(id, how))
    return twins


def _status(
    reference: Reference, glance: Glance | tuple[Problem, ...], twins: Sequence[ShowsTheSame]
) -> ReferenceStatus:
    if not isinstance(glance, Glance):
        unread = tuple(Unreadable(problem.what) for problem in glance)
        return ReferenceStatus(reference, None, unread, problems=glance)
    missing: list[Note] = [*twins]
    missing += _tone(reference, glance)
    missing += _samples(reference, glance)
    if not reference.anchors:
        missing.append(NoAnchor(reference.tone == "grey", reference.light is not None))
    if reference.kind == "frame" and not (reference.video and reference.time):
        missing.append(NoPlaceInFilm(bool(reference.video)))
    if glance.width * glance.height < LEAST_PICTURE:
        missing.append(SmallPicture(glance.width, glance.height))
    if not reference.credit.strip():
        missing.append(NoCredit())
    missing += glance.notes
    return ReferenceStatus(reference, glance, tuple(missing), tuple(twin.other for twin in twins))


def _tone(reference: Reference, glance: Glance) -> list[Note]:
    if reference.tone == "grey" and glance.colour > COLOUR:
        return [ToneContradicted(coloured=True)]
    if reference.tone == "colour" and glance.colour < NO_COLOUR:
        return [ToneContradicted(coloured=False)]
    return []


def _samples(reference: Reference, glance: Glance) -> list[Note]:
    if not reference.samples:
        return [NoSample()]
    notes: list[Note] = []
    marks = [(Mark(anchor=i), anchor.region) for i, anchor in enumerate(reference.anchors, 1)]
    marks += [(Mark(part=sample.part), sample.region) for sample in reference.samples]
    for mark, region in marks:
        count = int(pixels(region, glance.width, glance.height)[1].sum())
        if not count:
            notes.append(MarkOutside(mark, partly=False))
        elif not holds(region, glance.width, glance.height):
            notes.append(MarkOutside(mark, partly=True))
        elif count < LEAST_SAMPLE:
            notes.append(MarkSmall(mark, count))
    return notes
