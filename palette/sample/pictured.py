"""From picture files to the colours in them, and their paints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem
from palette.evidence.pictures.decode import Linear, Picture, open_picture
from palette.paints.match import Found, matched
from palette.sample.clusters import clusters
from palette.swatches.asked import Asked
from palette.swatches.model import SwatchList

PIXELS = 1 << 17  # of a reduced picture: noise is averaged, and the surfaces of a subject are still there
PAINTS = 5
FULL_LIGHT = "Each colour is that of the surface in full light; most of its pixels are darker."


@dataclass(frozen=True)
class View:
    """A picture that was sampled: what it is, small, and which colour each pixel is of (-1: none)."""

    file: Path
    width: int
    height: int
    profile: str
    small: Linear  # (h, w, 3), linear light
    labels: NDArray[np.int32]


@dataclass(frozen=True)
class Sampled:
    found: tuple[Found, ...]  # largest share first
    reason: str  # why so many
    views: tuple[View, ...]
    notes: tuple[str, ...]


def sample(images: Sequence[Path], count: int | None, swatches: SwatchList | None) -> Sampled:
    """The colours of pictures taken together, each with its nearest paints.

    Raises:
        InputError: with a problem for every picture that cannot be read, or holds no opaque pixel.
    """
    pictures: list[Picture] = []
    smalls: list[Linear] = []
    problems: list[Problem] = []
    notes: list[str] = []
    for path in images:
        try:
            picture = open_picture(path)
            smalls.append(picture.reduced(PIXELS))
        except InputError as error:
            problems.extend(error.problems)
            continue
        pictures.append(picture)
        notes += [f"{path}: {note}" for note in picture.notes]
    if problems:
        raise InputError.of(problems)
    try:
        result = clusters(smalls, count)
    except ValueError:
        raise InputError(
            Problem(str(images[0]), None, "is transparent all over", "give a picture with something in it")
        ) from None
    found = matched(
        [Asked("", colour.lab) for colour in result.colours],
        swatches,
        PAINTS,
        [colour.share for colour in result.colours],
    )
    views = tuple(
        View(picture.file, picture.width, picture.height, picture.profile, small, labels)
        for picture, small, labels in zip(pictures, smalls, result.labels, strict=True)
    )
    return Sampled(tuple(found), result.reason, views, tuple(notes))
