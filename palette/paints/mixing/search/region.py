"""Which colours are near enough, as bounds that a mixture's own bounds can be held against."""

from __future__ import annotations

import math
from itertools import product

import numpy as np

from palette.colour.spaces import Array, lab_to_xyz

# The combinations of X, Y and Z (columns), each over its white's, that bounds are kept of.
KEPT = np.array([[1, 0, 0, 1, 0], [0, 1, 0, -1, 1], [0, 0, 1, 0, -1]], dtype=np.float64)


def region(lab: Array, radius: float, white: Array) -> tuple[Array, Array]:
    """Least and most X, Y, Z, X − Y and Y − Z, over the white's, of colours within `radius` of `lab` (3,)."""
    sides = product(*zip(*box(lab, radius), strict=True))
    seen = lab_to_xyz(np.array(list(sides)), white) / white @ KEPT
    return seen.min(axis=0), seen.max(axis=0)


def box(lab: Array, radius: float) -> tuple[Array, Array]:
    """Least and most L*, a* and b* (3,) of colours within `radius` (CIEDE2000) of `lab` (3,).

    CIEDE2000 divides each difference by a weight that depends on both colours. From any bounds of the
    second colour follow bounds of the weights, and from these narrower bounds of the colour; so they are
    narrowed from all colours there are. No colour within the radius is ever left outside.
    """
    lightness, a, b = (float(value) for value in lab)
    chroma = math.hypot(a, b)
    d_l, d_c, d_h, d_a, d_b = 101.0, 1000.0, 2000.0, 1000.0, 1000.0
    stretch_least, stretch_most = 1.0, 1.5
    for _ in range(60 if math.isfinite(radius) else 0):
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
        t = min(1.93, t + 2.41 * swing)  # the greatest T there is, and its greatest slope
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
    least = (max(lightness - d_l, 0.0), a - d_a, b - d_b)
    return np.array(least), np.array((min(lightness + d_l, 101.0), a + d_a, b + d_b))


def _far_from_grey(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + 25.0**7))
