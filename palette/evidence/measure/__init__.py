"""One colour from the pixels of a region, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.measure.body import Body, Light, body
from palette.evidence.measure.defects import (
    blocking,
    clipping_error,
    clipping_notes,
    rounding_error,
    srgb_slope,
)
from palette.evidence.measure.grain import inflation
from palette.evidence.measure.notes import FewPixels, JpegBlocks, ScreenAveraged
from palette.evidence.measure.screen import descreen, screen_period, settled_weights
from palette.evidence.pictures.blocks import sums
from palette.evidence.pictures.decode import LUMA
from palette.notes import Note

if TYPE_CHECKING:
    from palette.evidence.pictures.decode import Picture
    from palette.kit.model import Region

__all__ = ["Sample", "sample"]

_PIXELS = 1 << 14  # in which the body is looked for: where there are more, means of neighbours stand for them
_FEW = 25  # pixels; below, the scatter within the region says little of the error of its mean
_ASSUMED_NOISE = 0.05  # of the mean, one pixel's, where there are too few to tell


@dataclass(frozen=True)
class Sample:
    """What a region shows, before any correction.

    `linear` (3,) is the body colour of the lit surface in linear light (sRGB primaries), `covariance` (3, 3)
    that of its error, with the spatial correlation of grain counted. `level` is the plain mean of the
    region's encoded levels, 0..1, and `level_sd` the standard error of that mean. `clipped` (3,) is the share
    of pixels at an end of their range in red, green and blue; `centre` the mean pixel position (x, y).
    `notes` say what was left out or makes the sample worse.
    """

    linear: Array
    covariance: Array
    pixels: int
    level: float
    level_sd: float
    clipped: Array
    centre: tuple[float, float]
    notes: tuple[Note, ...] = ()


def sample(picture: Picture, region: Region, kind: str = "photograph") -> Sample:
    """Sample a region of a picture.

    A flat patch gives the plain mean of its pixels in linear light. What departs from that by more than
    its noise is told apart: highlights, other surfaces and dark spots are left out; a shaded surface gives
    the colour of its lit part. In a `print` the halftone screen is taken out first. Transparent pixels are no
    evidence.

    Raises:
        ValueError: the region holds no pixel of the picture.
    """
    from palette.evidence.pictures.regions import pixels

    box, mask = pixels(region, picture.width, picture.height)
    if not mask.any():
        raise ValueError("the region holds no pixel of the picture")
    mask = mask & picture.opaque(box)
    count = int(np.count_nonzero(mask))
    if count == 0:
        raise ValueError("the region is wholly transparent")
    linear, levels = picture.linear(box), picture.levels(box)
    ends = picture.clipped(box)
    if count < mask.size:
        linear[~mask], levels[~mask], ends[~mask] = 0.0, 0.0, False
    clipped = np.array([np.count_nonzero(ends[..., c]) for c in range(3)]) / count
    notes: list[Note] = [*clipping_notes(clipped, linear, ends)]

    weights: np.ndarray = mask
    if kind == "print":
        period = screen_period(linear.mean(axis=-1), mask)
        if period is not None:
            linear = descreen(linear, mask, period)
            weights = settled_weights(mask, period)
            notes.append(ScreenAveraged(period))
    blocks = blocking(levels, mask)
    step = int(np.ceil(np.sqrt(count / _PIXELS)))
    separated = body(*_coarse(linear, weights, ends, step), blocks)
    notes += separated.notes
    if blocks:
        notes.append(JpegBlocks())
    if count < _FEW:
        notes.append(FewPixels(count))

    rows, columns = (float(mask.sum(axis=1 - i) @ np.arange(mask.shape[i])) / count for i in range(2))
    level = float(levels.sum(dtype=np.float64) / count)
    departure = (levels - np.float32(level)) * mask
    level_noise = float(np.sqrt(np.vdot(departure, departure) / count))
    level_spread = inflation(departure, mask)
    rounding = rounding_error(np.full((3, 3), level_noise**2), level_spread, count, picture.stored)
    luma = np.array([1.0, 0.0, 0.0]) if picture.stored.space == "grey" else LUMA
    return Sample(
        linear=separated.linear,
        covariance=_covariance(separated, picture, step)
        + clipping_error(separated.clipped, separated.linear),
        pixels=count,
        level=level,
        level_sd=float(
            np.hypot(
                max(level_noise, _ASSUMED_NOISE * level if count < _FEW else 0.0)
                * np.sqrt(level_spread / count),
                np.sqrt(luma @ rounding @ luma),
            )
        ),
        clipped=clipped,
        centre=(columns + box[0] + 0.5, rows + box[1] + 0.5),
        notes=tuple(notes),
    )


def _coarse(
    linear: Light, weights: np.ndarray, ends: np.ndarray, step: int
) -> tuple[Light, np.ndarray, np.ndarray]:
    """Means of blocks of step × step pixels, their weights and the shares of them that are clipped.

    The error of a mean is the same from such means, grain's correlation counted.
    """
    if step == 1:
        return linear, weights, ends
    weight = sums(weights, step)
    each = np.maximum(weight, np.float32(1e-9))[..., None]
    shares: np.ndarray = sums(ends, step) / each if ends.any() else np.zeros((*weight.shape, 3), dtype=bool)
    light = linear if weights.dtype == bool else linear * weights[..., None]
    return (sums(light, step) / each).astype(np.float32), weight / step**2, shares


def _covariance(separated: Body, picture: Picture, step: int) -> Array:
    """Of the body colour's error: the pixels' scatter about it, shared by as many as are independent,
    the rounding of the file's levels, and what the separation of the body left open. A pixel's noise is
    taken as `step` times that of a mean of step × step."""
    count = max(int(np.count_nonzero(separated.kept)), 1)
    rest = separated.rest.reshape(-1, 3)
    scatter = (rest.T @ rest).astype(np.float64) / count
    if count < _FEW:
        scatter = scatter + np.diag((_ASSUMED_NOISE * separated.linear) ** 2)
    spread = inflation(separated.rest @ np.full(3, 1 / 3, dtype=np.float32), separated.kept)
    slope = srgb_slope(separated.linear)
    to_light = np.outer(slope, slope)
    rounding = rounding_error(step**2 * scatter / to_light, spread, step**2 * count, picture.stored)
    return np.asarray(scatter * spread / count + to_light * rounding + separated.ambiguity)
