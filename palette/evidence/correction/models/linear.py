"""The sensor's own channels as linear numbers, which a reader takes for sRGB's: very dark, and dull."""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array, srgb_encode
from palette.evidence.correction.model import Model
from palette.evidence.correction.models import camera, sensor


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """As of the sensor's channels, the file's numbers being light."""
    return sensor.undo(theta, np.copysign(srgb_encode(np.abs(linear)), linear), place)


def start(mean: Array, seen: Array, want: Array) -> Array:
    """As of the sensor's channels."""
    return sensor.start(mean, srgb_encode(np.maximum(seen, 0.0)), want)


MODEL = Model(
    "a sensor's linear channels", undo, camera.GAIN, camera.FALL, sensor.beliefs, sensor.says, start
)
