"""How many independent pixels a grainy sample is worth."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array

_CROP = 96  # pixels across; the correlation of grain shows in that
_SMALL = 1024  # pixels; in fewer, grain is too coarse for the sum over all lags


def inflation(residual: NDArray[np.floating], mask: np.ndarray) -> float:
    """By how much the variance of the mean of a field exceeds that of uncorrelated pixels, at least 1.

    `residual` (h, w) has mean zero over `mask` (h, w). The sum of the field's autocorrelation over all lags,
    cut off at twice the correlation length it gives: the self-consistent window of Madras & Sokal,
    J. Stat. Phys. 50 (1988) 109-186, in two dimensions. In a small region that finds too little, and what
    neighbours have in common says more (see `clumping`).
    """
    height, width = mask.shape
    top, left = max(0, (height - _CROP) // 2), max(0, (width - _CROP) // 2)
    seen = mask[top : top + _CROP, left : left + _CROP]
    count = float(seen.sum())
    if count < 9:
        return 1.0
    field = np.where(seen, residual[top : top + _CROP, left : left + _CROP], 0).astype(np.float32, copy=False)
    field = np.where(seen, field - np.float32(field.sum() / count), np.float32(0))
    variance = float(np.vdot(field, field)) / count
    if variance <= 0:
        return 1.0
    reach_most = max(1, min(seen.shape) // 2)
    pairs = _pairs(seen, reach_most)
    # A lag that no pair has says nothing; one that few have is weighed down by dividing by all.
    sums = np.where(pairs > 0.5, _products(field, reach_most), 0.0) / variance / count
    # Square windows of lags up to each reach, as running sums over both axes.
    window = np.diagonal(sums.cumsum(axis=0).cumsum(axis=1))[1:]
    # Subtracting the mean takes its own variance out of every lag: give it back.
    share = np.diagonal(pairs.cumsum(axis=0).cumsum(axis=1))[1:] / count**2
    total = np.maximum(1.0, window / np.maximum(1 - share, 0.2))
    wide = np.arange(1, reach_most + 1) >= 2 * np.sqrt(total)
    excess = float(total[np.argmax(wide) if wide.any() else -1])
    if count > _SMALL:
        return excess
    excess = max(excess, clumping(neighbours(field, seen), count))
    return excess / (1 - min(excess / count, 0.5))  # the mean took its own variance out of the scatter, too


def neighbours(field: NDArray[np.floating], seen: np.ndarray) -> float:
    """The correlation of pixels side by side in a field (h, w) that is zero where it is not seen."""
    pairs = sum(np.count_nonzero(np.logical_and(*_beside(seen, axis))) for axis in (0, 1))
    products = sum(float(np.vdot(*_beside(field, axis))) for axis in (0, 1))
    return products / max(pairs, 1) / (float(np.vdot(field, field)) / np.count_nonzero(seen))


def _beside(field: np.ndarray, axis: int) -> tuple[np.ndarray, np.ndarray]:
    return (field[1:], field[:-1]) if axis == 0 else (field[:, 1:], field[:, :-1])


def clumping(alike: float, count: float, fitted: int = 1) -> float:
    """The same from the correlation of neighbours alone, at least 1, as it is for blurred white noise.

    A Gaussian blur of sigma pixels gives neighbours the correlation exp(-1 / 4 sigma^2), and leaves one
    independent value to every 4 pi sigma^2 pixels. `alike` is that correlation among what is left of `count`
    values when `fitted` terms, or their mean, were taken away, which takes as much from every correlation.
    """
    most, excess = max(1.0, count / (2 * fitted)), 1.0
    for _ in range(20):
        lost = min(excess * fitted / count, 0.5)
        true = alike * (1 - lost) + lost
        before, excess = excess, most if true >= 1 else min(max(1.0, -np.pi / np.log(max(true, 1e-9))), most)
        if abs(excess - before) < 0.01 * excess:
            break
    return float(excess)


def _products(field: NDArray[np.float32], reach: int) -> Array:
    """Sums of products over all pairs at each lag, those of both signs together (reach + 1, reach + 1)."""
    shape = tuple(_fast(side + reach) for side in field.shape)  # lags up to the reach do not wrap round
    spectrum = np.fft.rfft2(field, shape)
    sums = np.fft.irfft2(spectrum.real**2 + spectrum.imag**2, shape)
    folded = sums[: reach + 1, : reach + 1].copy()
    folded[1:] += sums[: -reach - 1 : -1, : reach + 1]
    folded[:, 1:] += sums[: reach + 1, : -reach - 1 : -1]
    folded[1:, 1:] += sums[: -reach - 1 : -1, : -reach - 1 : -1]
    return np.asarray(folded)


def _pairs(seen: np.ndarray, reach: int) -> Array:
    """How many pairs there are at each lag, those of both signs together (reach + 1, reach + 1)."""
    if not seen.all():
        return _products(seen.astype(np.float32), reach)
    down, across = (side - np.arange(reach + 1.0) for side in seen.shape)
    down[1:] *= 2
    across[1:] *= 2
    return np.asarray(down[:, None] * across[None, :])


def _fast(size: int) -> int:
    """The next size of the form 2^n, 3 * 2^n or 5 * 2^n, which transforms fast."""
    power = 1 << max(0, (size - 1).bit_length())
    return min(s for s in (power, 3 * power // 4, 5 * power // 8) if s >= size)
