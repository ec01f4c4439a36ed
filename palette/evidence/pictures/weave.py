"""Gate weave: film does not stand quite alike in the gate from frame to frame; the whole picture shifts."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Plane = NDArray[np.float32]
Shift = tuple[float, float]  # pixels down and to the right

MOST = 0.01  # of the longer side: film moves by less; a camera that pans soon moves by more
_CROP = 768  # pixels a side that are looked at, in the middle: the shift is the same everywhere
_CLEAR = 1.5  # times what noise alone would give
_LEAST = 0.03  # pixels; less is not worth resampling for


def shift_between(one: Plane, other: Plane) -> Shift | None:
    """By how much `other` (h, w) shows the picture of `one` shifted; (0, 0) where it does not, or where
    nothing tells; None where it is more than weave.

    Least squares on the gradient, from coarse to fine (Lucas & Kanade, Proc. 7th International Joint
    Conference on Artificial Intelligence (1981) 674-679), only along directions in which the picture has
    more slopes than its noise.
    """
    from scipy.ndimage import gaussian_filter

    most = MOST * max(one.shape)
    middle = tuple(slice(max(0, (side - _CROP) // 2), (side + _CROP) // 2) for side in one.shape)
    one, other = one[middle], other[middle]
    shift, axes, error = np.zeros(2), np.eye(2), np.full(2, np.inf)
    for sigma in (max(2.0, most / 2), 2.0, 1.0, 1.0):
        still = gaussian_filter(one, sigma)
        rim = int(np.ceil(2 * sigma + most))
        inside = np.s_[rim:-rim, rim:-rim]
        if min(one.shape) <= 4 * rim:
            continue
        change = gaussian_filter(moved(other, (-shift[0], -shift[1])), sigma) - still
        slopes = np.stack([slope[inside].ravel() for slope in np.gradient(still)])
        left = change[inside].ravel() - np.median(change[inside])
        strength, axes = np.linalg.eigh(slopes @ slopes.T)
        along = axes.T @ slopes
        step = -(along @ left) / np.maximum(strength, 1e-9)
        rest = left + step @ along
        variance = max(np.median(np.abs(rest)) / 0.6745, 1e-4) ** 2
        # Of white noise blurred by sigma the slopes have half the variance by sigma squared, and rest has the
        # noise of two frames; 4 pi sigma squared of its pixels err together.
        noise = rest.size * variance / (4 * sigma**2)
        error = np.sqrt(variance * 4 * np.pi * sigma**2 / np.maximum(strength, 1e-9))
        shift = shift + axes @ np.where(strength > _CLEAR * noise, step, 0.0)
        if np.abs(shift).max() > 2 * most:
            return None
    if np.abs(shift).max() > most:
        return None
    # What is not clear of its own error is not worth resampling for either.
    told = np.abs(axes.T @ shift) > np.maximum(_LEAST, 3 * error)
    return (float(shift[0]), float(shift[1])) if told.any() else (0.0, 0.0)


def moved(values: NDArray[Any], shift: Shift) -> NDArray[Any]:
    """Values (h, w, …) shifted down and to the right, by cubic convolution (Keys, IEEE Trans. Acoustics,
    Speech, and Signal Processing 29 (1981) 1153-1160); what comes in at an edge repeats it."""
    for axis, by in enumerate(shift):
        if by == 0:
            continue
        whole = int(np.floor(-by))
        t = -by - whole
        weights = (
            ((2 - t) * t - 1) * t / 2,
            ((3 * t - 5) * t * t + 2) / 2,
            ((4 - 3 * t) * t + 1) * t / 2,
            (t - 1) * t * t / 2,
        )
        side = values.shape[axis]
        places = (np.clip(np.arange(side) + whole + k - 1, 0, side - 1) for k in range(4))
        values = sum(
            np.take(values, place, axis) * values.dtype.type(weight)
            for place, weight in zip(places, weights, strict=True)
        )
    return values
