"""All regions of one picture in one go, remembered by the picture's content."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.kit.model import Region
from palette.pictures.cache import content, key, remember
from palette.pictures.decode import open_picture
from palette.pictures.regions import holds
from palette.pictures.sampling import Sample, sample

_SCENE_PIXELS = 1 << 15


@dataclass(frozen=True)
class Sampled:
    """One picture's samples in the order of the regions asked for; where one holds no pixel, the reason."""

    width: int
    height: int
    grey: bool  # the picture holds no colour
    samples: tuple[Sample | str, ...]
    whole: tuple[bool, ...]  # whether each region lies inside the picture entirely
    scene: NDArray[np.float32] | None  # a small copy in linear light (h, w, 3)
    notes: tuple[str, ...]


def sample_all(path: Path, regions: Sequence[Region], kind: str, scene: bool) -> Sampled:
    """Sample every region of a picture, and with `scene` keep a small copy of it.

    Raises:
        InputError: the picture cannot be read.
    """
    try:
        digest = content(path)
    except OSError:
        digest = ""
    if not digest:
        return _sample_all(path, regions, kind, scene)  # which says what is wrong with the file
    return remember(
        key("samples", digest, tuple(regions), kind, scene), lambda: _sample_all(path, regions, kind, scene)
    )


def _sample_all(path: Path, regions: Sequence[Region], kind: str, scene: bool) -> Sampled:
    picture = open_picture(path)
    samples: list[Sample | str] = []
    for region in regions:
        try:
            samples.append(sample(picture, region, kind=kind))
        except InputError:
            raise
        except ValueError as error:
            samples.append(str(error))
    return Sampled(
        picture.width,
        picture.height,
        picture.grey,
        tuple(samples),
        tuple(holds(region, picture.width, picture.height) for region in regions),
        picture.reduced(_SCENE_PIXELS) if scene else None,
        picture.notes,
    )
