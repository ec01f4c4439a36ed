"""From one white to another, and to spaces in which equal steps look about equal.

Sources: Lam 1985 for Bradford, as ICC.1:2022 annex E gives it; DIN 6176:2001 (DIN99).
"""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
_CHROMA = 0.045  # by which CIEDE2000, CIE94 and DIN99 let a difference of chroma count less, a unit of C*


def bradford(white: Array, to: Array) -> Array:
    """The matrix (3, 3) that takes XYZ seen under one white (3,) to the other, linearly."""
    gain = (BRADFORD @ to) / (BRADFORD @ white)
    return np.asarray(np.linalg.solve(BRADFORD, gain[:, None] * BRADFORD))


def adapted(xyz: Array, white: Array, to: Array) -> Array:
    """XYZ (…, 3) seen under one white carried to another by the Bradford transform."""
    return np.asarray(xyz @ bradford(white, to).T)


def chroma_scale(chroma: Array) -> Array:
    """By what a* and b* of a chroma (…) are multiplied so that distance is roughly CIEDE2000's:
    ln(1 + kC) / kC."""
    scaled = _CHROMA * np.maximum(chroma, 1e-9)
    return np.asarray(np.log1p(scaled) / scaled)


def din99(lab: Array) -> Array:
    """DIN 6176:2001 coordinates (L99, a99, b99) of CIELAB (n, 3), with k_E = k_CH = 1."""
    turn = np.radians(16)
    e = lab[:, 1] * np.cos(turn) + lab[:, 2] * np.sin(turn)
    f = 0.7 * (lab[:, 2] * np.cos(turn) - lab[:, 1] * np.sin(turn))
    scale = chroma_scale(np.hypot(e, f))
    return np.stack([105.51 * np.log1p(0.0158 * lab[:, 0]), scale * e, scale * f], axis=1)
