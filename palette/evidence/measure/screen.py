"""Halftone screens: found by their spectrum, averaged out in linear light.

A printed tint is dots of full ink on bare paper; its colour is that of the light from many dots together
(Murray & Davies 1936), a mean in linear light. Told from texture by lines in the spectrum.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array

_CROP = 512
_LONGEST = 24.0  # pixels from dot to dot; coarser dots are seen, and marked, one by one
_CONTRAST = 0.02  # of the mean light, the least deviation that dots give
_LINE = 60.0  # a line stands this much above the median power at its own frequency


def screen_period(light: np.ndarray, mask: np.ndarray) -> float | None:
    """Pixels from dot to dot of a halftone in `light` (h, w), or None where there is none."""
    height, width = mask.shape
    top, left = max(0, (height - _CROP) // 2), max(0, (width - _CROP) // 2)
    seen = mask[top : top + _CROP, left : left + _CROP]
    if min(seen.shape) < 12 or seen.sum() < 144:
        return None
    field = light[top : top + _CROP, left : left + _CROP]
    # Shading is smooth beside the coarsest dots: taken away, so that its ends are no lines.
    field = np.where(seen, field - _blurred(field, seen, _LONGEST / 2), 0.0)
    window = np.hanning(seen.shape[0] + 2)[1:-1, None] * np.hanning(seen.shape[1] + 2)[None, 1:-1]
    power = np.abs(np.fft.rfft2(field * window)) ** 2
    frequency = np.hypot(np.fft.fftfreq(seen.shape[0])[:, None], np.fft.rfftfreq(seen.shape[1])[None, :])
    # A line needs three periods within the sample, and may not hide in its slow shading.
    lowest = max(1 / _LONGEST, 3 / min(seen.shape))
    rings = np.digitize(frequency, np.linspace(lowest, 0.72, 13))
    total = power[frequency >= lowest].sum()
    # Parseval, both halves of the spectrum: dots that hardly show are no screen.
    contrast = np.sqrt(2 * total / (seen.size * (window**2).sum())) / max(float(light[mask].mean()), 1e-9)
    if contrast < _CONTRAST:
        return None
    lines = []
    for ring in range(1, 13):
        inside = rings == ring
        if inside.sum() < 8:
            continue
        values = power[inside]
        strong = values > _LINE * max(float(np.median(values)), 1e-12 * total)
        if strong.any() and values[strong].sum() > 0.05 * total:
            weight = values[strong]
            lines.append((float(frequency[inside][strong] @ weight / weight.sum()), float(weight.sum())))
    if not lines or sum(weight for _, weight in lines) < 0.3 * total:
        return None
    return 1 / min(f for f, _ in lines)


def descreen(linear: NDArray[np.float32], mask: np.ndarray, period: float) -> NDArray[np.float32]:
    """`linear` (h, w, 3) blurred within `mask` until dots a `period` apart fade to a thousandth."""
    blurred = np.stack([_blurred(linear[..., c], mask, 0.6 * period) for c in range(3)], axis=-1)
    return np.where(mask[..., None], blurred, 0.0).astype(np.float32)


def _blurred(field: np.ndarray, mask: np.ndarray, sigma: float) -> Array:
    """A Gaussian blur of `field` (h, w) that looks at nothing outside `mask`."""
    from scipy.ndimage import gaussian_filter

    weight = gaussian_filter(mask.astype(np.float64), sigma, mode="constant")
    light = gaussian_filter(np.where(mask, field, 0.0), sigma, mode="constant")
    return np.asarray(light / np.maximum(weight, 1e-9))


def settled_weights(mask: np.ndarray, period: float) -> Array:
    """Weights (h, w) that fall off over one period towards the edge: a dot cut in half hardly counts."""
    from scipy.ndimage import distance_transform_edt

    inside = distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1]
    return np.asarray(np.minimum(inside / period, 1.0))
