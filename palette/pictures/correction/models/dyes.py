"""A faded print or slide: each dye layer has lost a share of its density, and the base has taken a stain.

Fading scales a layer's density and a stain adds to it (Wilhelm & Brower, "The Permanence and Care of Color
Photographs", 1993, from memory), so linear light v in a layer's channel came from v ** power: a power of 2
is a layer that has kept half of its density. The stain is a gain, which the camera's model after it has.
A layer's own channel is taken to be that of its complement: cyan in red, magenta in green, yellow in blue.
"""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array
from palette.pictures.correction.model import Belief, Model
from palette.pictures.correction.models import camera

POWER = slice(camera.SIZE, camera.SIZE + 3)  # logs
_LAYERS = ("cyan", "magenta", "yellow")
BEYOND = (
    0.35  # a layer with less of its density than this is called beyond restoring; common practice, no source
)


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """Parameters (…, 22), readings (n, 3) at places (n, 2) -> linear light under D65 (…, n, 3)."""
    power = np.exp(np.clip(theta[..., None, POWER], -1.5, 2.0))
    restored = np.maximum(np.abs(linear), 1e-5) ** power
    return camera.undo_straight(theta[..., : camera.SIZE], np.copysign(restored, linear), place)


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """How likely it is that dyes have faded; the chances are common practice, no source."""
    chance = {"print": 0.5, "photograph": 0.05, "artwork": 0.1}.get(kind, 0.0)
    if kind == "photograph" and year is not None and year < 1990:
        chance = 0.25  # a slide or negative of that age
    if not chance or (anchors < 2 and kind != "print"):
        return ()  # one anchor cannot tell a layer's loss from the light
    belief = camera.belief(camera.STRAIGHT)
    mean = np.concatenate([belief.mean, [0.2, 0.2, 0.2]])
    covariance = np.zeros((mean.size, mean.size))
    covariance[: camera.SIZE, : camera.SIZE] = belief.covariance
    covariance[POWER, POWER] = 0.25**2 * (np.eye(3) + 0.5)
    # Stains and a scanner's own balance stretch what gains are likely.
    covariance[camera.GAIN, camera.GAIN] += 0.2**2 * np.eye(3)
    return (Belief(mean, covariance, float(np.log(chance / (1 - chance)))),)


def says(theta: Array, covariance: Array) -> tuple[str, ...]:
    """How much of each layer is left, and which is beyond restoring."""
    kept = np.exp(-theta[POWER])
    notes = [
        "the dyes have faded: "
        + ", ".join(
            f"the {layer} layer keeps {min(100 * k, 100):.0f} %"
            for layer, k in zip(_LAYERS, kept, strict=True)
        )
        + " of its density; restored layer by layer"
    ]
    notes += [
        f"the {layer} layer has lost too much to be restored: its noise grows {1 / k:.1f} times, so colours "
        "are wide"
        for layer, k in zip(_LAYERS, kept, strict=True)
        if k < BEYOND
    ]
    return (*notes, *camera.says(theta[: camera.SIZE], covariance[: camera.SIZE, : camera.SIZE]))


# No print fades evenly: 0.01 of density. Restoring a layer multiplies it. Common practice, no source.
MODEL = Model("faded dyes", undo, camera.GAIN, camera.FALL, beliefs, says, blotch=0.01 * np.log(10))
