"""From picture files to the colours in them, and their paints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.evidence.pictures.decode import Linear, Picture, open_picture
from palette.evidence.pictures.notes import OfPicture
from palette.evidence.pictures.regions import Box, Mask, pixels
from palette.kit.model import Polygon, Rect, Region
from palette.notes import Note
from palette.paints.match import MatchedColour, matched
from palette.sample.clusters import Clusters, clusters
from palette.sample.light import cast, corrected, neutral
from palette.sample.notes import CastAllOver
from palette.swatches.asked import Asked
from palette.swatches.model import SwatchList

PIXELS = 200_000  # of a reduced picture: noise is averaged, and the surfaces of a subject are still there
_FINEST = 16 * PIXELS  # the most pixels of a whole picture, where a small place in it is asked for
PAINTS = 5
FULL_LIGHT = "Each colour is that of the surface in full light; most of its pixels are darker."
_FRAME = 0.02  # of the shorter side: the strip along a picture's edge
_SIDE = 0.4  # of a side, which a background has at least of three of them


@dataclass(frozen=True)
class Places:
    """Places in pictures, one for each or one for all: the subject, and a neutral surface."""

    within: Sequence[Region] = ()
    neutral: Sequence[Region] = ()
    white: bool = True  # what the neutral is; else a grey of unknown lightness

    @staticmethod
    def of(places: Sequence[Region], number: int) -> Region | None:
        """The place in picture `number`."""
        return None if not places else places[number if len(places) > 1 else 0]


@dataclass(frozen=True)
class ClusteredPicture:
    """A picture that was sampled: what it is, small, and which colour each pixel is of (-1: none)."""

    file: Path
    width: int
    height: int
    profile: str
    small: Linear  # (h, w, 3), linear light
    labels: NDArray[np.int32]


@dataclass(frozen=True)
class PictureColours:
    colours: tuple[MatchedColour, ...]  # largest share first
    reason: Note  # why so many
    pictures: tuple[ClusteredPicture, ...]
    notes: tuple[Note, ...]
    background: tuple[bool, ...] = field(default=())  # of each colour, whether it runs along the edge


def sample(
    images: Sequence[Path],
    count: int | None,
    swatches: SwatchList | None,
    places: Places | None = None,
    background: bool = True,
) -> PictureColours:
    """The colours of pictures taken together, each with its nearest paints.

    `background` False leaves out what runs along most of a picture's edge.

    Raises:
        InputError: with a problem for every picture that cannot be read, or holds no opaque pixel, or
            does not hold a place.
    """
    places = places or Places()
    pictures: list[Picture] = []
    smalls: list[Linear] = []
    problems: list[Problem] = []
    notes: list[Note] = []
    for number, path in enumerate(images):
        try:
            picture = open_picture(path)
            smalls.append(_small(picture, places, number))
        except InputError as error:
            problems.extend(error.problems)
            continue
        pictures.append(picture)
        notes += [OfPicture(str(path), note) for note in picture.notes]
    if problems:
        raise InputError.of(problems)
    tint = "" if places.neutral else cast(smalls)
    if tint:
        notes.append(CastAllOver(tuple(str(path) for path in images), tint))
    try:
        result = clusters(smalls, count)
    except ValueError:
        raise InputError(
            Problem(str(images[0]), None, "is transparent all over", "give a picture with something in it")
        ) from None
    cut = places.within and background  # a place that was asked for is the subject to its edge
    behind = (False,) * len(result.colours) if cut else _behind(result)
    if not background and any(behind) and not all(behind):
        result = clusters(
            [_without(small, own, behind) for small, own in zip(smalls, result.labels, strict=True)], count
        )
        behind = (False,) * len(result.colours)
    colours = matched(
        [Asked("", colour.lab) for colour in result.colours],
        swatches,
        PAINTS,
        [colour.share for colour in result.colours],
    )
    clustered = tuple(
        ClusteredPicture(picture.file, picture.width, picture.height, picture.profile, small, labels)
        for picture, small, labels in zip(pictures, smalls, result.labels, strict=True)
    )
    return PictureColours(tuple(colours), result.reason, clustered, tuple(notes), behind)


def _small(picture: Picture, places: Places, number: int) -> Linear:
    """A picture reduced, or the part of it that is asked for: NaN outside, and corrected."""
    within, known = Places.of(places.within, number), Places.of(places.neutral, number)
    small = picture.reduced(PIXELS) if within is None else _part(picture, within)
    return small if known is None else corrected(small, neutral(picture, known, places.white))


def _part(picture: Picture, within: Region) -> Linear:
    box, mask = pixels(within, picture.width, picture.height)
    if not mask.any():
        size = f"{picture.width} × {picture.height} pixels"
        raise InputError(
            Problem(str(picture.file), None, "has no pixel in the place given with --within", f"it is {size}")
        )
    share = mask.size / (picture.width * picture.height)
    whole = picture.reduced(int(min(PIXELS / share, _FINEST)))
    height, width = whole.shape[:2]
    box, mask = _scaled(within, width, height, width / picture.width, height / picture.height)
    part = whole[box[1] : box[3], box[0] : box[2]].copy()
    part[~mask] = np.nan
    return part


def _scaled(region: Region, width: int, height: int, x: float, y: float) -> tuple[Box, Mask]:
    """A rectangle's or polygon's pixels in a picture that was scaled by x and y; one at least."""
    if isinstance(region, Rect):
        region = Rect(region.x * x, region.y * y, region.width * x, region.height * y)
        left, top = (min(int(at), side - 1) for at, side in ((region.x, width), (region.y, height)))
    else:
        assert isinstance(region, Polygon)
        region = Polygon(tuple((px * x, py * y) for px, py in region.points))
        left, top = (
            min(int(at), side - 1) for at, side in zip(region.points[0], (width, height), strict=True)
        )
    box, mask = pixels(region, width, height)
    if mask.any():
        return box, mask
    left, top = max(left, 0), max(top, 0)
    return (left, top, left + 1, top + 1), np.ones((1, 1), dtype=bool)


def _behind(result: Clusters) -> tuple[bool, ...]:
    """Of each colour, whether it lies behind the subject: it takes much of three sides or more of a picture,
    and more of the pictures' edge than of their middle."""
    number = len(result.colours)
    edge, middle = np.zeros(number), np.zeros(number)
    round_it = np.zeros(number, dtype=bool)
    for labels in result.labels:
        height, width = labels.shape
        strip = max(1, round(_FRAME * min(height, width)))
        sides = [
            _counts(side, number)
            for side in (labels[:strip], labels[-strip:], labels[:, :strip], labels[:, -strip:])
        ]
        edge += sum(sides)
        round_it |= sum(side >= _SIDE * max(side.sum(), 1) for side in sides) >= 3
        middle += _counts(
            labels[height // 4 : -(height // 4) or None, width // 4 : -(width // 4) or None], number
        )
    along, across = (n / max(n.sum(), 1) for n in (edge, middle))
    return tuple(bool(v) for v in round_it & (along > across))


def _counts(labels: NDArray[np.int32], number: int) -> Array:
    return np.bincount(labels[labels >= 0], minlength=number).astype(np.float64)


def _without(small: Linear, labels: NDArray[np.int32], behind: Sequence[bool]) -> Linear:
    return np.where(np.isin(labels, np.flatnonzero(behind))[..., None], np.float32(np.nan), small)
