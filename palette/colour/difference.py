"""CIEDE2000.

Source: Sharma, Wu & Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes,
Supplementary Test Data, and Mathematical Observations", Color Research & Application 30 (2005) 21-30.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array


def difference(lab_a: ArrayLike, lab_b: ArrayLike) -> Array:
    """CIEDE2000 between CIELAB colours (…, 3) that broadcast against each other -> (…)."""
    a = np.asarray(lab_a, dtype=np.float64)
    b = np.asarray(lab_b, dtype=np.float64)
    l1, a1, b1 = a[..., 0], a[..., 1], a[..., 2]
    l2, a2, b2 = b[..., 0], b[..., 1], b[..., 2]
    c_mean7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    g = 0.5 * (1 - np.sqrt(c_mean7 / (c_mean7 + 25.0**7)))
    a1p, a2p = (1 + g) * a1, (1 + g) * a2
    c1p, c2p = np.hypot(a1p, b1), np.hypot(a2p, b2)
    h1p = np.where(c1p == 0, 0.0, np.degrees(np.arctan2(b1, a1p)) % 360)
    h2p = np.where(c2p == 0, 0.0, np.degrees(np.arctan2(b2, a2p)) % 360)
    grey = c1p * c2p == 0

    dh = h2p - h1p
    dh = np.where(dh > 180, dh - 360, np.where(dh < -180, dh + 360, dh))
    dh = np.where(grey, 0.0, dh)
    dl, dc = l2 - l1, c2p - c1p
    dh_big = 2 * np.sqrt(c1p * c2p) * np.sin(np.radians(dh) / 2)

    total = h1p + h2p
    h_mean = np.where(
        grey,
        total,
        np.where(
            np.abs(h1p - h2p) <= 180, total / 2, np.where(total < 360, (total + 360) / 2, (total - 360) / 2)
        ),
    )
    l_mean, c_mean = (l1 + l2) / 2, (c1p + c2p) / 2
    t = (
        1
        - 0.17 * np.cos(np.radians(h_mean - 30))
        + 0.24 * np.cos(np.radians(2 * h_mean))
        + 0.32 * np.cos(np.radians(3 * h_mean + 6))
        - 0.20 * np.cos(np.radians(4 * h_mean - 63))
    )
    d_theta = 30 * np.exp(-(((h_mean - 275) / 25) ** 2))
    c7 = c_mean**7
    r_c = 2 * np.sqrt(c7 / (c7 + 25.0**7))
    s_l = 1 + 0.015 * (l_mean - 50) ** 2 / np.sqrt(20 + (l_mean - 50) ** 2)
    s_c = 1 + 0.045 * c_mean
    s_h = 1 + 0.015 * c_mean * t
    r_t = -np.sin(np.radians(2 * d_theta)) * r_c
    x, y, z = dl / s_l, dc / s_c, dh_big / s_h
    return np.sqrt(np.maximum(x * x + y * y + z * z + r_t * y * z, 0.0))
