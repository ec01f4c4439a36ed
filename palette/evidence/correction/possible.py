"""What no surface can be: darker than black, lighter than white, or more colourful than surfaces are.

A map that is linear about its best guess runs on beyond that where a channel is nearly empty. The likeliest
colour that a surface can have is then the normal distribution's mean given the limit it oversteps. What is
measured so well that the limit lies far out in its tail is left: fluorescent paint does overstep it.
"""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array
from palette.colour.surfaces import most_chroma

_FAR = 2.5  # sd to the limit from which on a colour is believed
# Pointer's limits say little of near-black and near-white, and a few surfaces pass them: by how much was
# chosen on the tuning half of the bench.
_LIGHTNESS = 25.0, 85.0
_MARGIN = 1.1


def possible(lab: Array, covariance: Array) -> Array:
    """CIELAB (n, 3) with covariances (n, 3, 3), drawn back to what a surface can be."""
    chroma = np.maximum(np.hypot(lab[:, 1], lab[:, 2]), 1e-9)
    outwards = np.column_stack([np.zeros(len(lab)), lab[:, 1:] / chroma[:, None]])
    inside = np.column_stack([np.clip(lab[:, 0], *_LIGHTNESS), lab[:, 1:]])
    lab = _limited(lab, covariance, outwards, _MARGIN * most_chroma(inside))
    for end, most in ((1.0, 100.0), (-1.0, 0.0)):
        lab = _limited(lab, covariance, np.array([end, 0.0, 0.0]), np.full(len(lab), most))
    return lab


def _limited(lab: Array, covariance: Array, axis: Array, most: Array) -> Array:
    """Colours (n, 3) of which no more than `most` (n,) lies along unit vectors `axis` (3,) or (n, 3)."""
    axis = np.broadcast_to(axis, lab.shape)
    pull = np.einsum("nij,nj->ni", covariance, axis)
    variance = np.einsum("ni,ni->n", pull, axis)
    beyond = (lab * axis).sum(axis=1) - most
    back = np.where((beyond > 0) & (beyond**2 < _FAR**2 * variance), beyond / np.maximum(variance, 1e-12), 0)
    return np.asarray(lab - back[:, None] * pull)
