"""What an anchor measured, before anything is corrected, and what a reading is worth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from palette.colour.spaces import Array, srgb_decode, srgb_encode

# The least that a surface has of each channel of linear sRGB: a share of its strongest channel and, since
# sRGB's red lies far from greens, of its green. Three in four of the tuning half's surfaces that have next to
# no red have more.
_LEAST, _BY_GREEN = 0.04, np.array([-0.26, 0.0, 0.0])


@dataclass(frozen=True)
class AnchorReading:
    """A surface of known colour as the picture shows it.

    `linear` (3,) and `covariance` (3, 3) of that mean are linear light, sRGB primaries. `lab` (3,) is the
    true CIELAB D65, or None for a neutral of unknown lightness. What is unsure about it is `lab_covariance`
    (3, 3) where that is known, else `spread`, the CIEDE2000 radius that holds the truth nine times in ten.
    `centre` is (x / width, y / height) in the picture, `clipped` (3,) the share of clipped pixels.
    Anchors that name one `surface` have one colour, known or not, and tell how the light falls over it.
    """

    name: str
    linear: Array
    covariance: Array
    lab: Array | None
    lab_covariance: Array | None = None
    spread: float = 1.0
    centre: tuple[float, float] | None = None
    clipped: Array = field(default_factory=lambda: np.zeros(3))
    surface: str = ""


def anchor_covariance(anchor: AnchorReading, lab: Array) -> Array:
    """CIELAB covariance (3, 3) of an anchor's truth, `lab` (3,)."""
    if anchor.lab_covariance is not None:
        return np.array(anchor.lab_covariance, dtype=np.float64)
    return spread_covariance(lab, anchor.spread)


def spread_covariance(lab: Array, spread: float) -> Array:
    """CIELAB covariance (3, 3) of a colour known to within a CIEDE2000 radius nine times in ten.

    2.5003 sd hold nine tenths of a normal distribution in three dimensions; the axes are CIEDE2000's weights
    S_L, S_C and S_H without its hue terms.
    """
    chroma = float(np.hypot(lab[1], lab[2]))
    s_l = 1 + 0.015 * (lab[0] - 50) ** 2 / np.sqrt(20 + (lab[0] - 50) ** 2)
    sd = spread / 2.5003 * np.array([s_l, 1 + 0.045 * chroma, 1 + 0.015 * chroma])
    cos, sin = (lab[1] / chroma, lab[2] / chroma) if chroma > 1e-9 else (1.0, 0.0)
    turn = np.array([[1, 0, 0], [0, cos, -sin], [0, sin, cos]])
    return np.asarray(turn @ np.diag(sd**2) @ turn.T)


def settle(
    undo: Callable[[Array, Array, Array], Array], theta: Array, linear: Array, place: Array, covariance: Array
) -> tuple[Array, Array]:
    """Readings (n, 3) and covariances (n, 3, 3) with what a file hides: rounding, channels that ran out.

    A channel at zero was at or below zero before the renderer cut it off. How far below, no surface may
    say that would come out of the map `undo` (to linear light under D65) with less of it than surfaces have:
    the reading is taken to lie about the middle between the two. A channel at the top was above it.
    """
    high, low, rounding = _ends(linear, np.zeros_like(linear))
    below = np.zeros_like(linear)
    if low.any():
        out = undo(theta, linear, place)
        least = out.max(axis=-1, keepdims=True) * _LEAST + out[..., 1:2] * _BY_GREEN
        step = 1e-4
        for axis in range(3):
            shift = step * np.eye(3)[axis]
            slope = (undo(theta, linear + shift, place) - out)[:, axis] / step
            below[:, axis] = np.maximum(out[:, axis] - least[:, axis], 0) / np.maximum(slope, 1e-3)
    moved = linear + 0.1 * high - 0.6 * low * below
    variance = rounding + (0.2 * high) ** 2 + (low * below) ** 2 / 6
    return moved, np.asarray(covariance, dtype=np.float64) + variance[..., None] * np.eye(3)


def settle_anchors(linear: Array, covariance: Array, clipped: Array) -> tuple[Array, Array]:
    """The same for anchors, whose truth and share of clipped pixels (n, 3) are known: a clipped channel is
    left where it stands and believed to within what a renderer cuts off (the strongest channel's twelfth
    at the bottom, a fifth of the range at the top)."""
    high, low, rounding = _ends(linear, clipped)
    variance = rounding + (0.2 * high) ** 2 + (low * linear.max(axis=-1, keepdims=True) / 12) ** 2
    return linear + 0.1 * high, covariance + variance[..., None] * np.eye(3)


def _ends(linear: Array, clipped: Array) -> tuple[Array, Array, Array]:
    """How far each channel is at the top and at the bottom, 0..1, and the variance of its rounding."""
    level = srgb_encode(np.abs(linear))
    rounding = (srgb_decode(level + 0.25 / 255) - srgb_decode(np.maximum(level - 0.25 / 255, 0))) ** 2
    high = np.maximum(clipped, np.clip((level - 0.985) / 0.01, 0, 1)) * (level > 0.5)
    low = np.maximum(clipped, np.clip((0.03 - level) / 0.025, 0, 1)) * (level <= 0.5)
    return high, low, rounding
