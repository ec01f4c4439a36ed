"""One colour from the pixels of a region, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import Array

if TYPE_CHECKING:
    from palette.kit.model import Region
    from palette.pictures.decode import Picture


@dataclass(frozen=True)
class Sample:
    """What a region shows."""

    linear: Array  # (3,) linear light, sRGB primaries: the lit surface's body colour
    covariance: Array  # (3, 3) of that
    pixels: int
    level: float  # plain mean encoded level of the region, 0..1
    level_sd: float  # standard error of that mean
    clipped: Array  # (3,) share of pixels clipped in red, green, blue
    centre: tuple[float, float]  # pixels
    notes: tuple[str, ...] = ()


def sample(picture: Picture, region: Region, kind: str = "photograph") -> Sample:
    """Sample a region of a picture.

    Raises:
        ValueError: the region holds no pixel of the picture.
    """
    from palette.pictures.regions import pixels

    box, mask = pixels(region, picture.width, picture.height)
    count = int(mask.sum())
    if count == 0:
        raise ValueError("the region holds no pixel of the picture")
    linear = np.asarray(picture.linear(box), dtype=np.float64)[mask]
    levels = np.asarray(picture.levels(box), dtype=np.float64)[mask]
    rows, columns = np.nonzero(mask)
    covariance = np.cov(linear.T, bias=True) / count + np.diag((0.002 + 0.01 * linear.mean(axis=0)) ** 2)
    return Sample(
        linear.mean(axis=0),
        covariance,
        count,
        float(levels.mean()),
        float(levels.std() / np.sqrt(count)),
        np.asarray(picture.clipped(box))[mask].mean(axis=0),
        (float(columns.mean() + box[0] + 0.5), float(rows.mean() + box[1] + 0.5)),
    )
