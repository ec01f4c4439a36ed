"""What is wrong with a sample, in words and in its error: clipped channels, JPEG blocks."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from palette.colour.spaces import Array

_CHANNELS = ("red", "green", "blue")
_WORTH_SAYING = 0.01


def srgb_slope(linear: Array) -> Array:
    """Linear light by which one unit of an sRGB level differs (IEC 61966-2-1), at linear light (…)."""
    return np.asarray(2.4 / 1.055 * np.clip(linear, 0.0031308, 1.0) ** (7 / 12))


def clipping_notes(clipped: Array, linear: np.ndarray, ends: np.ndarray) -> Iterator[str]:
    """One note a channel; `ends` (h, w, 3) marks its clipped pixels in `linear` (h, w, 3)."""
    for c, channel in enumerate(_CHANNELS):
        if clipped[c] >= _WORTH_SAYING:
            bright = linear[..., c][ends[..., c]].mean() > 0.5
            yield f"{clipped[c] * 100:.0f} % of this sample is clipped in {channel}" + (
                "" if bright else " (black)"
            )


def clipping_error(clipped: Array, linear: Array) -> Array:
    """Covariance (3, 3) for what clipping cut off, by the share it was cut from: a third of the value at the
    top of the range; at its bottom a seventh of the strongest channel, which colours outside the range of the
    picture's primaries would need below zero."""
    cut = np.maximum(linear / 3, np.where(linear < 0.2 * linear.max(), linear.max() / 7, 0.0))
    return np.diag((clipped * cut) ** 2)


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
