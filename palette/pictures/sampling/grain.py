"""How many independent pixels a grainy sample is worth."""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array

_CROP = 384  # pixels across; the correlation of grain shows in that


def inflation(residual: Array, mask: np.ndarray) -> float:
    """By how much the variance of the mean of a field exceeds that of uncorrelated pixels, at least 1.

    `residual` (h, w) has mean zero over `mask` (h, w). The sum of the field's autocorrelation over all lags,
    cut off at twice the correlation length it gives: the self-consistent window of Madras & Sokal,
    J. Stat. Phys. 50 (1988) 109-186, in two dimensions.
    """
    height, width = mask.shape
    top, left = max(0, (height - _CROP) // 2), max(0, (width - _CROP) // 2)
    seen = mask[top : top + _CROP, left : left + _CROP].astype(np.float64)
    field = residual[top : top + _CROP, left : left + _CROP] * seen
    count = seen.sum()
    if count < 9:
        return 1.0
    field = (field - field.sum() / count) * seen
    shape = tuple(2 * side for side in field.shape)
    transform = np.fft.rfft2(field, shape)
    pairs_transform = np.fft.rfft2(seen, shape)
    sums = np.fft.irfft2(np.abs(transform) ** 2, shape)
    pairs = np.fft.irfft2(np.abs(pairs_transform) ** 2, shape)
    variance = sums[0, 0] / count
    if variance <= 0:
        return 1.0
    # A lag that few pairs have is mostly noise; pairs of the whole mask weigh it down to its true share.
    correlation = sums / variance / count
    enough = pairs > 0.5
    correlation = np.where(enough, correlation, 0.0)
    reach_most = max(1, min(seen.shape) // 2)
    total = 1.0
    for reach in range(1, reach_most + 1):
        rows = np.r_[0 : reach + 1, -reach:0]
        window = correlation[np.ix_(rows, rows)]
        # Subtracting the mean takes its own variance out of every lag: give it back.
        share = pairs[np.ix_(rows, rows)].sum() / count**2
        total = max(1.0, float(window.sum()) / max(1 - share, 0.2))
        if reach >= 2 * np.sqrt(total):
            break
    return total
