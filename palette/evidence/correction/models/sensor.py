"""The sensor's own channels: a raw file developed without the camera's matrix, balanced or not.

The light's gains are taken in these channels; from there a matrix leads to linear sRGB, the middle of what
the tuning half's cameras want (tests/benchmarks/photo/learn.py), and each sensor's own way after it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.models import camera
from palette.evidence.correction.notes import SensorChannels
from palette.notes import Note

_CHANCE = 0.03  # that a picture is so, and as much that its numbers are linear; common practice, no source
# What a balance for daylight would have added to the log gains, where there was none, and its sd: sensors see
# about half as much red as green, and two thirds of blue. Common practice, no source.
_UNBALANCED, _UNBALANCED_SD = np.array([0.7, 0.0, 0.4]), 0.2


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """Parameters (…, 19), readings (n, 3) at places (n, 2) -> linear light under D65 (…, n, 3)."""
    return camera.undo(theta, linear, place, np.eye(3), camera.prior().native)


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """Rare, straight, balanced as often as not, and only where anchors of known lightness can tell."""
    if not anchors:
        return ()
    belief = camera.belief(camera.STRAIGHT)
    covariance = belief.covariance.copy()
    covariance[camera.MATRIX, camera.MATRIX] = camera.prior().native_spread
    balanced = replace(belief, covariance=covariance, log_weight=float(np.log(_CHANCE / 2)))
    mean, covariance = belief.mean.copy(), covariance.copy()
    mean[camera.GAIN] += _UNBALANCED
    covariance[camera.GAIN, camera.GAIN] += _UNBALANCED_SD**2 * np.eye(3)
    return balanced, replace(balanced, mean=mean, covariance=covariance)


def start(mean: Array, seen: Array, want: Array) -> Array:
    """A first guess at a fit: the gains that bring most of the anchors' channels where they belong."""
    first = mean.copy()
    back = np.asarray(np.linalg.inv(camera.prior().native), dtype=np.float64)
    wanted = camera.channels(want, back)
    first[camera.GAIN] = np.median(np.log(wanted / camera.channels(seen, np.eye(3))), axis=0)
    return first


def says(theta: Array, covariance: Array) -> tuple[Note, ...]:
    """That the colours were a sensor's, and what a camera's picture has to say."""
    return (SensorChannels(), *camera.says(theta, covariance))


MODEL = Model("a sensor's channels", undo, camera.GAIN, camera.FALL, beliefs, says, start)
