"""From a kit's grey references to levels: what regions show, and what must be said of the files."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from palette import cache
from palette.colour.spaces import Array, srgb_encode
from palette.colour.spectra import FINE
from palette.colour.uncertain import Uncertain, radius90
from palette.errors import InputError, Problem
from palette.evidence.grey.curves import read_curve, response_of
from palette.evidence.grey.notes import AnchorLeftOut, HoldsColour
from palette.evidence.grey.picture import AnchorLevel, GreyPicture, Sensitivity
from palette.evidence.grey.tone import BOTTOM, TOP, Level
from palette.evidence.pictures.copies import Likeness, copies, likeness
from palette.evidence.pictures.decode import Picture
from palette.evidence.pictures.pyramid import mapped
from palette.kit.model import Kit, Reference, Region
from palette.memory import keep, recall
from palette.notes import Note
from palette.swatches.model import SwatchList

_CLIPPED = 0.25  # share of a region's pixels at an end from which its mean is only a bound
_GRAIN = 9  # neighbouring pixels of a picture do not err independently: a grain is about 3 × 3
_VAGUE = 15.0  # radius90 of a part's colour from which it is no anchor


@dataclass(frozen=True)
class Read:
    """A grey reference, opened and read."""

    reference: Reference
    sensitivity: Sensitivity
    anchors: tuple[Level, ...]
    samples: tuple[tuple[str, Level], ...]  # part, level
    darkest: float
    lightest: float
    likeness: Likeness
    notes: tuple[Note, ...]


def grey_references(kit: Kit) -> list[Reference]:
    """The references that show the original in grey."""
    return [r for r in kit.references if r.tone == "grey" and r.subject == "original"]


def read_all(kit: Kit) -> list[Read]:
    """Open every grey reference that shows a part.

    Raises:
        InputError: with every problem of every reference.
    """
    problems: list[Problem] = []
    pictures = []
    for reference in grey_references(kit):
        if not reference.samples:
            continue
        try:
            pictures.append(_read(kit, reference))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError.of(problems)
    return pictures


def _read(kit: Kit, reference: Reference) -> Read:
    problems: list[Problem] = []
    sensitivity = None
    try:
        sensitivity = _sensitivity(kit, reference)
    except InputError as error:
        problems += error.problems
    try:
        file = _File(reference.file)
        whole = file.whole
        regions = [(a.region, a.line, "anchor") for a in reference.anchors]
        regions += [(s.region, s.line, f"sample of {s.part!r}") for s in reference.samples]
        levels = []
        for region, line, what in regions:
            level = file.level(region)
            if level is None:
                problems.append(
                    Problem(
                        str(kit.path),
                        line or reference.line,
                        f"reference {reference.id!r}: the {what} holds no pixel of the picture "
                        f"({whole.width} × {whole.height})",
                        "correct its region",
                    )
                )
            else:
                levels.append(level)
    except InputError as error:
        problems += error.problems
    if problems or sensitivity is None:
        raise InputError.of(problems)
    notes: list[Note] = []
    if not whole.grey:
        notes.append(HoldsColour(reference.id, reference.file.name))
    count = len(reference.anchors)
    samples = tuple((s.part, level) for s, level in zip(reference.samples, levels[count:], strict=True))
    return Read(
        reference,
        sensitivity,
        tuple(levels[:count]),
        samples,
        whole.darkest,
        whole.lightest,
        whole.likeness,
        tuple(notes),
    )


@dataclass(frozen=True)
class _Whole:
    """What is read of a grey picture as a whole."""

    width: int
    height: int
    grey: bool
    darkest: float
    lightest: float
    likeness: Likeness


class _File:
    """A picture of which each thing is read once, whoever asks."""

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self.content: str | None = cache.content(path)
        except OSError:
            self.content = None  # opening it will say what is wrong

    @cached_property
    def picture(self) -> Picture:
        return mapped(self.path)

    @property
    def whole(self) -> _Whole:
        whole: _Whole = self._once(("grey picture",), self._read_whole)
        return whole

    def level(self, region: Region) -> Level | None:
        """The level of a region; None where it holds no pixel."""
        level: Level | None = self._once(("grey level", region), lambda: _level(self.picture, region))
        return level

    def _once(self, what: tuple[object, ...], read: Callable[[], Any]) -> Any:
        if self.content is None:
            return read()
        key = cache.key(*what, self.content)
        value = recall(key)
        if value is cache.MISSING:
            value = read()
            keep(key, value)
        return value

    def _read_whole(self) -> _Whole:
        picture = self.picture
        small = picture.reduced(1 << 16)
        seen = np.clip(small[np.isfinite(small[..., 0])], 0.0, 1.0)
        grey = srgb_encode(seen) @ np.array([0.299, 0.587, 0.114])
        darkest, lightest = np.quantile(grey, [0.01, 0.99]) if grey.size else (0.0, 1.0)
        return _Whole(
            picture.width,
            picture.height,
            picture.grey,
            float(darkest),
            float(lightest),
            likeness(picture),
        )


def counted_elsewhere(reads: Sequence[Read], paint: Mapping[str, str]) -> dict[tuple[str, str], str]:
    """By reference and paint, the copy of the same picture that counts for it instead.

    Copies are wrong together, so that for each paint one of them counts: the most trusted, of equals the one
    with most anchors, else the largest, else the first.
    """
    first = copies([read.likeness for read in reads])
    instead = {}
    for original in set(first):
        group = [read for read, one in zip(reads, first, strict=True) if one == original]
        group.sort(
            key=lambda r: (
                -r.reference.trust,
                -len(r.reference.anchors),
                -r.likeness.width * r.likeness.height,
            )
        )
        source_of: dict[str, str] = {}
        for read in group:
            id = read.reference.id
            for key in {paint.get(part, part) for part, _ in read.samples}:
                if source_of.setdefault(key, id) != id:
                    instead[id, key] = source_of[key]
    return instead


def _sensitivity(kit: Kit, reference: Reference) -> Sensitivity:
    response = response_of(reference.response)
    transmittance: Array | None = None
    if reference.filter is not None:
        nm, values = read_curve(reference.filter, "transmittance")
        transmittance = np.interp(FINE, nm, values, left=0.0, right=0.0)
    try:
        return Sensitivity.of(response, reference.light, reference.kind, transmittance)
    except ValueError as error:
        raise InputError(
            Problem(
                str(kit.path),
                reference.line,
                f"reference {reference.id!r}: {error}",
                "name a light of CIE 15 or ISO 7589 or give kelvins, and check its filter",
            )
        ) from error


def _level(picture: Picture, region: Region) -> Level | None:
    from palette.evidence.pictures.regions import pixels

    box, mask = pixels(region, picture.width, picture.height)
    if not mask.any():
        return None
    values = np.asarray(picture.levels(box), dtype=np.float64)[mask]
    values = values[np.isfinite(values)]
    if values.size == 0:
        return None
    deviation = float(values.std() / np.sqrt(max(values.size / _GRAIN, 1.0)))
    end = 0
    if np.mean(values >= TOP) > _CLIPPED:
        end = 1
    elif np.mean(values <= BOTTOM) > _CLIPPED:
        end = -1
    return Level(float(values.mean()), deviation, end)


def grey_picture(
    read: Read,
    paint: Mapping[str, str],
    swatches: SwatchList,
    known: Mapping[str, Uncertain],
    excluded: Container[str] = (),
) -> tuple[GreyPicture, list[Note]]:
    """A reference as a grey picture, its parts merged by paint, without those `excluded`, which count
    elsewhere; with notes on anchors that could not be used."""
    from palette.swatches.kitlists import stated_lab

    reference = read.reference
    anchors: list[AnchorLevel] = []
    notes = list(read.notes)
    measured = {s.id: s.reflectance for s in swatches.swatches}
    for i, (anchor, level) in enumerate(zip(reference.anchors, read.anchors, strict=True), start=1):
        name = f"anchor {i}" + (f" ({anchor.colour.words})" if anchor.colour.words else "")
        if anchor.colour.part is not None:
            colour = known.get(anchor.colour.part)
            if colour is None:
                notes.append(AnchorLeftOut(reference.id, name, anchor.colour.part))
            else:
                key = paint.get(anchor.colour.part, anchor.colour.part)
                anchors.append(_known_anchor(name, level, colour, key))
            continue
        lab = None if anchor.colour.neutral else stated_lab(anchor.colour, swatches)
        curve = measured.get(anchor.colour.swatch) if anchor.colour.swatch is not None else None
        anchors.append(AnchorLevel(name, level, lab, anchor.spread, None, curve))
    levels: dict[str, tuple[Level, ...]] = {}
    marked = {(a.colour.part, a.region) for a in reference.anchors}
    for (part, level), sample in zip(read.samples, reference.samples, strict=True):
        key = paint.get(part, part)
        if key not in excluded:
            levels[key] = (*levels.get(key, ()), level)
        if (part, sample.region) in marked:
            continue  # one light fell on it: one anchor, not two
        if part in known and radius90(known[part].lab, known[part].covariance) < _VAGUE:
            anchors.append(_known_anchor(f"part {part!r}", level, known[part], key))
    return (
        GreyPicture(
            reference.id,
            read.sensitivity,
            tuple(anchors),
            levels,
            reference.uneven,
            reference.trust,
            read.darkest,
            read.lightest,
        ),
        notes,
    )


def _known_anchor(name: str, level: Level, known: Uncertain, paint: str) -> AnchorLevel:
    # of a colour's spread only its lightness counts here, and it counts whole
    spread = 2.5 * float(np.sqrt(max(known.covariance[0, 0], 0.0)))
    return AnchorLevel(name, level, known.lab, spread, paint)
