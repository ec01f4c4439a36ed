"""A kit's pictures and what each still lacks to be good evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from palette import cache, jobs
from palette.errors import InputError, Problem
from palette.evidence.pictures import duplicates
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.regions import holds, pixels
from palette.evidence.pictures.toning import COLOUR, NO_COLOUR, boldness
from palette.kit.model import Kit, Reference

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
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class ReferenceStatus:
    """One reference as it stands: what it is, and what is missing in words, most serious first."""

    reference: Reference
    glance: Glance | None  # None where the file cannot be read
    missing: tuple[str, ...]
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


def _readable(found: Glance | tuple[Problem, ...]) -> bool:
    return isinstance(found, Glance)


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
) -> dict[int, list[tuple[str, str]]]:
    """By place in the kit: the earlier references that show the same, each with words for how."""
    known = [(i, glance) for i, r in enumerate(references) if isinstance(glance := seen[r.file], Glance)]
    found: dict[int, list[tuple[str, str]]] = {}
    shapes = [(glance.width, glance.height) for _, glance in known]
    for a, b, mirrored in duplicates.pairs([glance.signature for _, glance in known], shapes):
        earlier, later = known[a][0], known[b][0]
        how = "shows the same as" if not mirrored else "shows, mirrored, the same as"
        if references[earlier].file == references[later].file:
            how = "is the same file as"
        id = references[earlier].id
        found.setdefault(later, []).append((id, f"{how} {id!r}"))
    return found


def _status(
    reference: Reference, glance: Glance | tuple[Problem, ...], twins: Sequence[tuple[str, str]]
) -> ReferenceStatus:
    if not isinstance(glance, Glance):
        words = tuple(f"cannot be read: {problem.what}" for problem in glance)
        return ReferenceStatus(reference, None, words, problems=glance)
    missing = [words for _, words in twins]
    missing += _tone(reference, glance)
    missing += _samples(reference, glance)
    if not reference.anchors:
        missing.append(_no_anchor(reference))
    if reference.kind == "frame" and not (reference.video and reference.time):
        missing.append(f"no {'time' if reference.video else 'video'}: where in its film is the frame?")
    if glance.width * glance.height < LEAST_PICTURE:
        missing.append(f"small: {glance.width} × {glance.height} pixels; is there a larger copy?")
    if not reference.credit.strip():
        missing.append("no credit: who is to be thanked, and may it be shown?")
    missing += glance.notes
    return ReferenceStatus(reference, glance, tuple(missing), tuple(id for id, _ in twins))


def _tone(reference: Reference, glance: Glance) -> list[str]:
    if reference.tone == "grey" and glance.colour > COLOUR:
        return ["declared grey, but it has colour: is it hand-coloured, or is its tone “colour”?"]
    if reference.tone == "colour" and glance.colour < NO_COLOUR:
        return ["declared colour, but it shows none: is its tone “grey”?"]
    return []


def _samples(reference: Reference, glance: Glance) -> list[str]:
    if not reference.samples:
        return ["no sample: no part is marked on it"]
    found = []
    marks = [(f"anchor {i + 1}", anchor.region) for i, anchor in enumerate(reference.anchors)]
    marks += [(f"the sample of {sample.part!r}", sample.region) for sample in reference.samples]
    for name, region in marks:
        count = int(pixels(region, glance.width, glance.height)[1].sum())
        if not count:
            found.append(f"{name} lies outside the picture")
        elif not holds(region, glance.width, glance.height):
            found.append(f"{name} runs over the edge of the picture")
        elif count < LEAST_SAMPLE:
            found.append(f"{name} is small: {count} pixel{'s' if count > 1 else ''}")
    return found


def _no_anchor(reference: Reference) -> str:
    if reference.tone == "grey":
        return "no anchor: nothing fixes its tones"
    if reference.light is None:
        return "no anchor and no light stated: its cast is guessed"
    return "no anchor: only the light stated corrects it"


def status_json(status: ReferenceStatus) -> dict[str, object]:
    """One reference as the answer of `palette references --json` has it."""
    reference, glance = status.reference, status.glance
    return {
        "reference": reference.id,
        "file": str(reference.file),
        "width": glance.width if glance else None,
        "height": glance.height if glance else None,
        "profile": glance.profile if glance else None,
        "kind": reference.kind,
        "tone": reference.tone,
        "subject": reference.subject,
        "light": reference.light,
        "year": reference.year,
        "credit": reference.credit or None,
        "trust": reference.trust,
        "anchors": len(reference.anchors),
        "samples": len(reference.samples),
        "missing": list(status.missing),
        "same_as": list(status.same_as),
    }
