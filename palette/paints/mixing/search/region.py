"""Which colours are near enough, as bounds that a mixture's own bounds can be held against."""

from __future__ import annotations

import math
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, lab_to_xyz

# The combinations of X, Y and Z (columns), each over its white's, that bounds are kept of.
KEPT = np.array([[1, 0, 0, 1, 0], [0, 1, 0, -1, 1], [0, 0, 1, 0, -1]], dtype=np.float64)

_LOST = 1e-6
_BLOCK = 8192  # colours at a time, so that the arrays stay in the processor's cache


def region(lab: Array, radius: float, white: Array) -> tuple[Array, Array]:
    """Least and most X, Y, Z, X − Y and Y − Z, over the white's, of colours within `radius` of `lab` (3,)."""
    least, most, _ = box(lab, radius)
    sides = product(*zip(least, most, strict=True))
    seen = lab_to_xyz(np.array(list(sides)), white) / white @ KEPT
    return seen.min(axis=0), seen.max(axis=0)


class Weights(NamedTuple):
    """What CIEDE2000 weighs differences in hue by, for all colours within a radius."""

    t: float  # the most that T is
    twist: float  # the most that the rotation term takes off, times the differences in chroma and hue


def box(lab: Array, radius: float) -> tuple[Array, Array, Weights]:
    """Least and most L*, a* and b* (3,) of colours within `radius` (CIEDE2000) of `lab` (3,); and what holds
    of their weights.

    CIEDE2000 divides each difference by a weight that depends on both colours. From any bounds of the
    second colour follow bounds of the weights, and from these narrower bounds of the colour; so they are
    narrowed from all colours there are. No colour within the radius is ever left outside.
    """
    lightness, a, b = (float(value) for value in lab)
    chroma = math.hypot(a, b)
    d_l, d_c, d_h, d_a, d_b = 101.0, 1000.0, 2000.0, 1000.0, 1000.0
    stretch_least, stretch_most = 1.0, 1.5
    t, twist = 1.93, math.sqrt(3)  # the greatest there are
    for _ in range(60 if math.isfinite(radius) else 0):
        before = d_l, d_a, d_b, stretch_least, stretch_most
        mean = [
            max(lightness - d_l / 2, lightness / 2) - 50,
            min(lightness + d_l, 101) / 2 + lightness / 2 - 50,
        ]
        farthest = max(x * x for x in mean)
        d_l = min(d_l, radius * (1 + 0.015 * farthest / math.sqrt(20 + farthest)))

        low, high = math.hypot(a * stretch_least, b), math.hypot(a * stretch_most, b)
        mean_chroma = high + d_c / 2
        hues = [math.atan2(b, a * stretch) for stretch in (stretch_least, stretch_most)]
        other = max(low - d_c, 0.0)
        turn = math.pi
        if 4 * low * other > d_h * d_h:
            turn = 2 * math.asin(d_h / (2 * math.sqrt(low * other)))
        swing = abs(hues[1] - hues[0]) + turn / 2
        t = 1 + sum(
            weight * math.cos(n * hues[0] - math.radians(shift))
            for n, weight, shift in ((1, -0.17, 30), (2, 0.24, 0), (3, 0.32, -6), (4, -0.20, 63))
        )
        t = min(1.93, t + 2.41 * swing)  # of T the greatest slope
        from_blue = abs((math.degrees(hues[0]) - 275 + 180) % 360 - 180)
        nearest = max(from_blue - math.degrees(swing), 0.0) / 25
        twist = 2 * math.sin(math.radians(60) * math.exp(-nearest * nearest)) * _far_from_grey(mean_chroma)
        across = radius / math.sqrt(1 - twist * twist / 4)  # x² + y² + R x y ≤ r², so |x| ≤ r / √(1 − R²/4)
        d_c = min(d_c, across * (1 + 0.045 * mean_chroma))
        d_h = min(d_h, across * (1 + 0.015 * mean_chroma * t))

        # along the hue of the target, and across it
        both = math.hypot(d_c, d_h)
        d_a, d_b = min(d_a, both / stretch_least), min(d_b, both)
        if low > 0:
            radial, tangential = d_c + d_h * d_h / (2 * low), d_h * math.sqrt(1 + d_c / low)
            cosine = abs(a) * stretch_most / high
            sine = abs(b) / low
            d_a = min(d_a, (cosine * radial + sine * tangential) / stretch_least)
            d_b = min(d_b, sine * radial + cosine * tangential)
        reach = math.hypot(d_a, d_b) / 2
        stretch_least = max(stretch_least, 1.5 - 0.5 * _far_from_grey(chroma + reach))
        stretch_most = min(stretch_most, 1.5 - 0.5 * _far_from_grey(max(chroma - reach, chroma / 2)))
        if max(map(_moved, before, (d_l, d_a, d_b, stretch_least, stretch_most))) < 1e-4:
            break
    least = (max(lightness - d_l, 0.0), a - d_a, b - d_b)
    most = (min(lightness + d_l, 101.0), a + d_a, b + d_b)
    return np.array(least), np.array(most), Weights(t, twist)


def _moved(before: float, after: float) -> float:
    return abs(after - before)


def at_least(lab: Array, colours: NDArray[np.float32], weights: Weights) -> NDArray[np.float32]:
    """The square of what colours (3, m) differ from `lab` (3,) by at the least, in single precision:
    CIEDE2000 but for the mean hue, which takes most of its time and which `weights` stand in for."""
    squares = np.empty(colours.shape[1], np.float32)
    lightness, a, b = (np.float32(value) for value in lab)
    chroma, t, twist = np.float32(np.hypot(a, b)), np.float32(weights.t), np.float32(weights.twist)
    for start in range(0, len(squares), _BLOCK):
        l2, a2, b2 = colours[:, start : start + _BLOCK]
        b_squared = b2 * b2
        stretch = 1.5 - 0.5 * _all_far_from_grey((np.sqrt(a2 * a2 + b_squared) + chroma) * 0.5)
        a1, a2 = a * stretch, a2 * stretch
        c1, c2 = np.sqrt(a1 * a1 + b * b), np.sqrt(a2 * a2 + b_squared)
        product, both = c1 * c2, (c1 + c2) * 0.5
        off = ((l2 + lightness) * 0.5 - 50) ** 2
        d_l = (l2 - lightness) / (1 + 0.015 * off / np.sqrt(20 + off))
        d_c = (c2 - c1) / (1 + 0.045 * both)
        # a small difference of large numbers: less what single precision may lose of them
        hue = np.maximum(2 * (product * (1 - _LOST) - a1 * a2 - b * b2), 0)
        d_h = np.sqrt(hue) / (1 + 0.015 * both * t)  # at the least
        # the rotation lessens the sum where chroma and hue differ in one sense, most at twist / 2 of chroma
        along = (a1 * b2 - a2 * b) * d_c >= -_LOST * product * np.abs(d_c)
        d_c = np.abs(d_c)
        d_h = np.where(along, np.maximum(d_h, twist / 2 * d_c), d_h)
        squares[start : start + _BLOCK] = d_l * d_l + d_c * d_c + d_h * (d_h - along * (twist * d_c))
    return squares


def _all_far_from_grey(chroma: NDArray[np.float32]) -> NDArray[np.float32]:
    squared = chroma * chroma
    seventh = squared * squared * squared * chroma
    return np.asarray(np.sqrt(seventh / (seventh + 25.0**7)))


def _far_from_grey(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + 25.0**7))
