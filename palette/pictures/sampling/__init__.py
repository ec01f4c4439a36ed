"""One colour from the pixels of a region, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import Array, srgb_encode
from palette.pictures.sampling.body import SEVERAL, Body, body
from palette.pictures.sampling.defects import blocking, clipping_error, clipping_notes
from palette.pictures.sampling.grain import inflation
from palette.pictures.sampling.screen import descreen, screen_period, settled_weights

if TYPE_CHECKING:
    from palette.kit.model import Region
    from palette.pictures.decode import Picture

__all__ = ["SEVERAL", "Sample", "sample"]

_FEW = 25  # pixels; below, the scatter within the region says little of the error of its mean
_ASSUMED_NOISE = 0.05  # of the mean, one pixel's, where there are too few to tell


@dataclass(frozen=True)
class Sample:
    """What a region shows, before any correction.

    `linear` (3,) is the body colour of the lit surface in linear light (sRGB primaries), `covariance` (3, 3)
    that of its error, with the spatial correlation of grain counted. `level` is the plain mean of the
    region's encoded levels, 0..1, and `level_sd` the standard error of that mean. `clipped` (3,) is the share
    of pixels at an end of their range in red, green and blue; `centre` the mean pixel position (x, y).
    `notes` say in words what was left out or makes the sample worse.
    """

    linear: Array
    covariance: Array
    pixels: int
    level: float
    level_sd: float
    clipped: Array
    centre: tuple[float, float]
    notes: tuple[str, ...] = ()


def sample(picture: Picture, region: Region, kind: str = "photograph") -> Sample:
    """Sample a region of a picture.

    A flat patch gives the plain mean of its pixels in linear light. What departs from that by more than
    its noise is told apart: highlights, other surfaces and dark spots are left out; a shaded surface gives
    the colour of its lit part. In a `print` the halftone screen is taken out first. Transparent pixels are no
    evidence.

    Raises:
        ValueError: the region holds no pixel of the picture.
    """
    from palette.pictures.regions import pixels

    box, mask = pixels(region, picture.width, picture.height)
    if not mask.any():
        raise ValueError("the region holds no pixel of the picture")
    mask = mask & picture.opaque(box)
    count = int(mask.sum())
    if count == 0:
        raise ValueError("the region is wholly transparent")
    linear = np.asarray(picture.linear(box), dtype=np.float64)
    linear[~mask] = 0.0
    levels = np.where(mask, np.asarray(picture.levels(box), dtype=np.float64), 0.0)
    ends = picture.clipped(box) & mask[..., None]
    clipped = np.count_nonzero(ends, axis=(0, 1)) / count
    notes = list(clipping_notes(clipped, linear, ends))

    weights = mask.astype(np.float64)
    if kind == "print":
        period = screen_period(linear.mean(axis=-1), mask)
        if period is not None:
            linear = descreen(linear, mask, period)
            weights = settled_weights(mask, period)
            notes.append(f"the halftone screen ({period:.1f} pixels from dot to dot) was averaged out")
    blocks = blocking(levels, mask)
    found = body(linear, weights, ends, blocks)
    notes += found.notes
    if blocks:
        notes.append("JPEG blocks show in this sample")
    if count < _FEW:
        notes.append(f"only {count} pixel{'s' if count > 1 else ''}; a larger area would say more")

    rows, columns = np.nonzero(mask)
    level = float(levels.sum() / count)
    level_noise = float(np.sqrt(((levels - level) ** 2 * mask).sum() / count))
    return Sample(
        linear=found.linear,
        covariance=_covariance(found, linear, mask, picture)
        + clipping_error(ends[found.kept].mean(axis=0), found.linear),
        pixels=count,
        level=level,
        level_sd=float(
            np.hypot(
                max(level_noise, _ASSUMED_NOISE * level if count < _FEW else 0.0)
                * np.sqrt(inflation(levels - level, mask) / count),
                _rounding(level_noise, picture.bits, picture.stored.scalable),
            )
        ),
        clipped=clipped,
        centre=(float(columns.mean()) + box[0] + 0.5, float(rows.mean()) + box[1] + 0.5),
        notes=tuple(notes),
    )


def _covariance(found: Body, linear: Array, mask: np.ndarray, picture: Picture) -> Array:
    """Of the body colour's error: the pixels' scatter about it, shared by as many as are independent,
    the rounding of the file's levels, and what the separation of the body left open."""
    kept = mask & found.kept
    rest = (linear - found.model)[kept]
    count = len(rest)
    scatter = rest.T @ rest / max(count, 1)
    if count < _FEW:
        scatter = scatter + np.diag((_ASSUMED_NOISE * found.linear) ** 2)
    worth = inflation((linear - found.model) @ np.full(3, 1 / 3), kept) / max(count, 1)
    encoded = srgb_encode(np.clip(found.linear, 1e-4, 1.0))
    slope = 2.4 / 1.055 * ((encoded + 0.055) / 1.055) ** 1.4  # d linear / d encoded, IEC 61966-2-1
    noise = np.sqrt(np.maximum(np.diag(scatter), 0.0)) / slope
    rounding = slope * np.array([_rounding(float(n), picture.bits, picture.stored.scalable) for n in noise])
    return np.asarray(scatter * worth + np.diag(rounding**2) + found.ambiguity)


def _rounding(noise: float, bits: int, jpeg: bool) -> float:
    """Standard error of a mean of encoded levels that were rounded.

    Rounding to `bits` is dithered away by noise of a level or more (Widrow & Kollár, Quantization Noise,
    2008: the error of the mean falls off as exp(-2 pi^2 sigma^2)). JPEG rounds means of 8 × 8 blocks, at
    usual qualities to about two levels of red, green or blue; a block's mean has an eighth of the noise.
    """
    step = 1 / (2 ** min(bits, 16) - 1)
    errors = [(step, noise)] + ([(2 / 255, noise / 8)] if jpeg else [])
    return float(np.sqrt(sum(s**2 / 12 * np.exp(-4 * np.pi**2 * min(n / s, 2.0) ** 2) for s, n in errors)))
