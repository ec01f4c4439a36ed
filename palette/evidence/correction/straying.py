"""Where photographs stray from strong colours on the whole, once a few anchors have corrected them.

No sensor has the negative lobe that the eye's red has in sRGB, and a renderer cuts off what lies outside of
it: cyans come out bluer, greens duller, whatever the camera. A correction leaves that to its residual, since
anchors may show it; where a colour is known beforehand, as a test print's is, it can be foretold.
"""

from __future__ import annotations

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array

# By hue angle, every 30° from 0: how much lighter (L*), stronger (C*) and farther on in hue (CIELAB units) a
# colour of C* 30 is read than it is; twice as much from C* 60 on. `python -m tests.benchmarks.photo.straying`
# prints it, from made photographs of the tuning half, six patches of a chart being anchors.
_BY_HUE = np.array(
    [
        [0.4, -0.7, 0.1], [0.4, 0.2, -1.9], [0.3, -0.1, 0.5], [0.3, -0.9, 0.6], [0.1, 0.6, -0.1],
        [-0.1, -5.1, 0.0], [-0.1, -4.2, 2.2], [-0.5, -3.5, 6.3], [-0.3, -0.9, 8.0], [-0.5, 2.1, 1.8],
        [-0.2, -0.2, -0.5], [0.0, 1.1, 0.7],
    ]
)  # fmt: skip
_UNIT, _STRONGEST = 30.0, 60.0  # C*
_ALIKE = (
    8.0  # CIEDE2000 about which an anchor shows what a camera makes of a colour; common practice, no source
)


def between_hues(hue: Array) -> Array:
    """Hue angles (n,) in degrees as shares (n, 12) of the two multiples of 30° beside them."""
    place = np.asarray(hue, dtype=np.float64) % 360 / 30
    away = np.abs(place[:, None] - np.arange(12))
    return np.asarray(np.maximum(1 - np.minimum(away, 12 - away), 0.0))


def size(chroma: Array) -> Array:
    """How much (n,) colours of some chroma (n,) stray, as a share of those of C* 30."""
    return np.asarray(np.minimum(chroma, _STRONGEST) / _UNIT)


def straying(lab: Array, anchors: Array | None = None) -> Array:
    """By how much (n, 3), in CIELAB, photographs on the whole show colours (n, 3) otherwise than they are.

    `anchors` (m, 3) are the colours by which a photograph was corrected: near one of them nothing strays.
    """
    chroma, hue = np.hypot(lab[:, 1], lab[:, 2]), np.arctan2(lab[:, 2], lab[:, 1])
    light, along, across = (between_hues(np.degrees(hue)) @ _BY_HUE * size(chroma)[:, None]).T
    cos, sin = np.cos(hue), np.sin(hue)
    off = np.column_stack([light, along * cos - across * sin, along * sin + across * cos])
    if anchors is None or not len(anchors):
        return off
    nearest = difference(lab[:, None], anchors[None]).min(axis=1)
    return np.asarray(off * (1 - np.exp(-((nearest / _ALIKE) ** 2)))[:, None])
