"""What is wrong with a sample, as notes and in its error: clipped channels, JPEG blocks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.measure.notes import Clipped

if TYPE_CHECKING:
    from palette.evidence.pictures.stored import Stored

_CHANNELS = ("red", "green", "blue")
_WORTH_SAYING = 0.01


def srgb_slope(linear: Array) -> Array:
    """Linear light by which one unit of an sRGB level differs (IEC 61966-2-1), at linear light (…)."""
    return np.asarray(2.4 / 1.055 * np.clip(linear, 0.0031308, 1.0) ** (7 / 12))


def clipping_notes(clipped: Array, linear: np.ndarray, ends: np.ndarray) -> Iterator[Clipped]:
    """One note a channel; `ends` (h, w, 3) marks its clipped pixels in `linear` (h, w, 3)."""
    for c, channel in enumerate(_CHANNELS):
        if clipped[c] >= _WORTH_SAYING:
            bright = linear[..., c][ends[..., c]].mean() > 0.5
            yield Clipped(float(clipped[c]), channel, bool(bright))


def clipping_error(clipped: Array, linear: Array) -> Array:
    """Covariance (3, 3) for what clipping cut off, by the share it was cut from: a third of the value at the
    top of the range; at its bottom a seventh of the strongest channel, which colours outside the range of the
    picture's primaries would need below zero."""
    cut = np.maximum(linear / 3, np.where(linear < 0.2 * linear.max(), linear.max() / 7, 0.0))
    return np.diag((clipped * cut) ** 2)


def rounding_error(scatter: Array, alike: float, count: int, stored: Stored) -> Array:
    """Covariance (3, 3) of the mean of `count` encoded levels that were rounded.

    Rounding is dithered away by noise of a level or more (Widrow & Kollár, Quantization Noise, 2008: the
    error of the mean falls off as exp(-2 pi^2 sigma^2)). JPEG rounds means of blocks, whose noise is less;
    what noise spares of that error differs from block to block. `scatter` (3, 3) is the covariance of the
    pixels' levels; so many of them as `alike` are worth one that is independent.
    """
    step = 1 / (2 ** min(stored.bits, 16) - 1)
    error = np.diag(step**2 / 12 * _undithered(np.diag(scatter) / step**2))
    blocks = stored.blocks
    if blocks is None:
        return error
    apart = np.linalg.inv(blocks.to_rgb)
    noise = np.diag(apart @ scatter @ apart.T)
    shared = _undithered(noise * np.minimum(alike / blocks.areas, 1.0) / blocks.steps**2)
    each = shared + (1 - shared) / np.maximum(count / blocks.areas, 1.0)
    # Before and after that, and where they are averaged for fewer blocks, components are rounded to levels.
    levels = (2 + (blocks.areas > 64)) * step**2 * _undithered(noise / step**2)
    return np.asarray(error + (blocks.to_rgb * (blocks.steps**2 * each + levels) / 12) @ blocks.to_rgb.T)


def _undithered(variance: Array) -> Array:
    """The share of a rounding's error that is left alike by noise of this variance after it, in squares of
    its step; a twelfth is the rounding's own."""
    return np.asarray(np.exp(-4 * np.pi**2 * np.clip(variance - 1 / 12, 0.0, 4.0)))


def blocking(levels: np.ndarray, mask: np.ndarray) -> bool:
    """Whether steps between columns, or rows, eight apart stand out in encoded levels (h, w).

    At some phase of eight the mean step is twice that at the others and visible, the largest not counted: one
    edge in the picture is no block.
    """
    if min(mask.shape) < 24:
        return False
    for axis in (0, 1):
        a, b = _pairs(levels, axis)
        both = np.logical_and(*_pairs(mask, axis))
        steps = (np.abs(b - a) * both).sum(axis=1 - axis) / np.maximum(both.sum(axis=1 - axis), 1)
        by_phase = np.full((-(-len(steps) // 8), 8), np.nan)
        by_phase.flat[: len(steps)] = steps
        seen = np.isfinite(by_phase).sum(axis=0) - 1
        phases = (np.nansum(by_phase, axis=0) - np.nanmax(by_phase, axis=0)) / seen
        rest = float(np.median(phases))
        if phases.max() > 2 * rest and phases.max() - rest > 0.3 / 255:
            return True
    return False


def _pairs(field: np.ndarray, axis: int) -> tuple[np.ndarray, np.ndarray]:
    return (field[:-1], field[1:]) if axis == 0 else (field[:, :-1], field[:, 1:])
