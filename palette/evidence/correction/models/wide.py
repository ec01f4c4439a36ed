"""A wider colour space's numbers whose profile was lost on the way: read as sRGB they are dull.

A matrix brings the colours back before all else; which one is likely is known from the spaces in use.
"""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.models import camera
from palette.evidence.correction.notes import WideNumbers
from palette.notes import Note

MATRIX = slice(camera.SIZE, camera.SIZE + 6)  # its entries beside the diagonal, as camera.OFF
# Linear light of a space to linear sRGB, the entries beside the diagonal: Display P3 (primaries of SMPTE RP
# 431-2), Adobe RGB (1998), ITU-R BT.2020, ProPhoto (ISO 22028-2, its white adapted to D65 by Bradford).
_SPACES = np.array(
    [
        [-0.225, 0.0, -0.042, 0.0, -0.020, -0.079],
        [-0.398, 0.0, 0.0, 0.0, 0.0, -0.043],
        [-0.588, -0.073, -0.125, -0.008, -0.018, -0.101],
        [-0.732, -0.303, -0.229, 0.0, -0.009, -0.153],
    ]
)
_OTHERS = 0.05  # sd by which an entry may be another's; common practice, no source
_CHANCE = 0.04  # that a profile was lost; common practice, no source


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """Parameters (…, 25), readings (n, 3) at places (n, 2) -> linear light under D65 (…, n, 3)."""
    into = camera.SENSOR @ camera.matrix_of(theta[..., MATRIX])
    return camera.undo(theta[..., : camera.SIZE], linear, place, into)


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """Any picture may have lost its profile, with a look or without; only anchors can tell."""
    if not anchors:
        return ()
    out: list[Belief] = []
    for look in (camera.STRAIGHT, camera.LOOK):
        belief = camera.belief(look)
        mean = np.concatenate([belief.mean, _SPACES.mean(axis=0)])
        covariance = np.zeros((mean.size, mean.size))
        covariance[: camera.SIZE, : camera.SIZE] = belief.covariance
        covariance[MATRIX, MATRIX] = np.cov(_SPACES.T) + _OTHERS**2 * np.eye(6)
        weight = belief.log_weight + float(np.log(_CHANCE))
        # much stray light besides is too rare, and could stand for anything
        out += camera.veiled(Belief(mean, covariance, weight, belief.residual))[:2]
    return tuple(out)


def says(theta: Array, covariance: Array) -> tuple[Note, ...]:
    """That the colours were dull, and what a camera's picture has to say."""
    return (WideNumbers(), *camera.says(theta[: camera.SIZE], covariance[: camera.SIZE, : camera.SIZE]))


MODEL = Model("a wide space's numbers", undo, camera.GAIN, camera.FALL, beliefs, says, camera.start)
