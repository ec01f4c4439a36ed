"""CIEDE2000.

Source: Sharma, Wu & Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes,
Supplementary Test Data, and Mathematical Observations", Color Research & Application 30 (2005) 21-30.

The hue terms are worked out from dot and cross products instead of angles, since trigonometric
functions take most of the formula's time: the mean hue is the direction of the sum of the two unit
vectors, and the cosines of its multiples are polynomials in its cosine and sine.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array

_BLOCK = 8192  # pairs at once: the intermediate results stay in the processor's cache

_COS30, _SIN30 = np.cos(np.radians(30)), np.sin(np.radians(30))
_COS6, _SIN6 = np.cos(np.radians(6)), np.sin(np.radians(6))
_COS63, _SIN63 = np.cos(np.radians(63)), np.sin(np.radians(63))


def difference(lab_a: ArrayLike, lab_b: ArrayLike) -> Array:
    """CIEDE2000 between CIELAB colours (…, 3) that broadcast against each other -> (…)."""
    a = np.asarray(lab_a, dtype=np.float64)
    b = np.asarray(lab_b, dtype=np.float64)
    shape = np.broadcast_shapes(a.shape[:-1], b.shape[:-1])
    size = int(np.prod(shape))
    out = np.empty(size)
    if size <= _BLOCK:
        first, second = (np.broadcast_to(x, (*shape, 3)).reshape(-1, 3).T.copy() for x in (a, b))
        out[:] = pairs(first, second)
    elif a.ndim == b.ndim == 3 and a.shape[1] == b.shape[0] == 1:  # everything against everything
        columns, rows = b.shape[1], max(1, _BLOCK // b.shape[1])
        table = out.reshape(shape)
        for start in range(0, len(a), rows):
            some = a[start : start + rows, 0]
            for left in range(0, columns, _BLOCK):
                others = b[0, left : left + _BLOCK]
                first = np.repeat(some.T, len(others), axis=1)
                second = np.tile(others.T, len(some))
                table[start : start + rows, left : left + _BLOCK] = pairs(first, second).reshape(
                    len(some), -1
                )
    else:
        flat = [np.broadcast_to(x, (*shape, 3)).reshape(-1, 3) for x in (a, b)]
        for start in range(0, size, _BLOCK):
            part = slice(start, start + _BLOCK)
            out[part] = pairs(flat[0][part].T.copy(), flat[1][part].T.copy())
    result: Array = out.reshape(shape)[()]
    return result


def pairs(first: Array, second: Array) -> Array:
    """CIEDE2000 of pairs: two contiguous arrays (3, n) of L*, a*, b* -> (n,).

    The result of a pair does not depend on the pairs beside it, to the last bit.
    """
    (l1, a1, b1), (l2, a2, b2) = first, second
    b1_squared, b2_squared = b1 * b1, b2 * b2
    mean = (np.sqrt(a1 * a1 + b1_squared) + np.sqrt(a2 * a2 + b2_squared)) * 0.5
    stretch = 1.5 - 0.5 * _far_from_grey(mean)
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.sqrt(a1 * a1 + b1_squared), np.sqrt(a2 * a2 + b2_squared)
    product = c1 * c2
    dot = a1 * a2 + b1 * b2
    cross = a1 * b2 - a2 * b1

    # ΔH' = 2 √(C1' C2') sin(Δh' / 2), in whichever form keeps its digits
    near = dot >= 0
    dh = np.where(
        near,
        cross / np.sqrt(np.where(near & (product > 0), 0.5 * (product + dot), 1.0)),
        np.copysign(np.sqrt(2 * np.maximum(product - dot, 0.0)), cross),
    )
    # The direction of the mean hue: along the sum of the unit vectors, or across their difference.
    x = np.where(near, a1 * c2 + a2 * c1, 0.0)
    y = np.where(near, b1 * c2 + b2 * c1, 0.0)
    far = np.flatnonzero(~near)
    if far.size:
        sign = np.copysign(1.0, cross[far])
        opposite = np.flatnonzero(np.abs(cross[far]) <= 1e-9 * product[far])
        if opposite.size:  # on the formula's own discontinuity the hue angles decide, as it is written
            i = far[opposite]
            turn = np.degrees(np.arctan2(b2[i], a2[i])) % 360 - np.degrees(np.arctan2(b1[i], a1[i])) % 360
            sign[opposite] = np.where(np.abs(turn) <= 180, np.copysign(1.0, turn), -np.copysign(1.0, turn))
            dh[i] = np.copysign(dh[i], sign[opposite])
        x[far] = sign * (b2[far] * c1[far] - b1[far] * c2[far])
        y[far] = sign * (a1[far] * c2[far] - a2[far] * c1[far])
    length = np.sqrt(x * x + y * y)
    grey = length == 0
    length[grey] = 1.0
    cos1, sin1 = x / length, y / length
    cos2, sin2 = cos1 * cos1 - sin1 * sin1, 2 * cos1 * sin1
    cos3, sin3 = cos1 * cos2 - sin1 * sin2, sin1 * cos2 + cos1 * sin2
    cos4, sin4 = cos2 * cos2 - sin2 * sin2, 2 * cos2 * sin2
    t = (
        1
        - 0.17 * (cos1 * _COS30 + sin1 * _SIN30)
        + 0.24 * cos2
        + 0.32 * (cos3 * _COS6 - sin3 * _SIN6)
        - 0.20 * (cos4 * _COS63 + sin4 * _SIN63)
    )

    l_off = (l1 + l2) * 0.5 - 50
    l_off *= l_off
    c_mean = (c1 + c2) * 0.5
    d_l = (l2 - l1) / (1 + 0.015 * l_off / np.sqrt(20 + l_off))
    d_c = (c2 - c1) / (1 + 0.045 * c_mean)
    d_h = dh / (1 + 0.015 * c_mean * t)
    # The formula takes the mean hue in [0°, 360°) and does not go round from there to 275°.
    from_blue = np.degrees(np.arctan2(sin1, cos1))
    from_blue += np.where(from_blue < 0, 360.0 - 275.0, -275.0)
    from_blue *= 1 / 25
    rotation = -2 * np.sin(np.radians(60) * np.exp(-from_blue * from_blue)) * _far_from_grey(c_mean)
    squares = d_l * d_l + d_c * d_c + d_h * d_h + rotation * d_c * d_h
    return np.asarray(np.sqrt(np.maximum(squares, 0.0)))


def _far_from_grey(chroma: Array) -> Array:
    """√(C⁷ / (C⁷ + 25⁷)); the powers as products, since a general power is slow."""
    squared = chroma * chroma
    seventh = squared * squared
    seventh *= squared
    seventh *= chroma
    return np.asarray(np.sqrt(seventh / (seventh + 25.0**7)))
