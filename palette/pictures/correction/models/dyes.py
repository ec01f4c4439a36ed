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
_MOST = 4.0  # log power at which a layer is as good as gone: nothing is restored further
# Share, log power, and its sd for the layers together and for each: faded a little, and badly, when one layer
# may be all but gone. Common practice, no source.
_FADES = ((0.7, 0.2, 0.18, 0.25), (0.3, 0.8, 0.4, 0.9))
BEYOND = (
    0.35  # a layer with less of its density than this is called beyond restoring; common practice, no source
)


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """Parameters (…, 22), readings (n, 3) at places (n, 2) -> linear light under D65 (…, n, 3)."""
    return camera.undo_straight(theta[..., : camera.SIZE], restored(theta, linear), place)


def restored(theta: Array, linear: Array) -> Array:
    """Parameters (…, 22) and linear light (n, 3) of a faded picture -> of the unfaded one (…, n, 3)."""
    power = np.exp(np.clip(theta[..., None, POWER], -0.4, _MOST))
    return np.asarray(np.copysign(np.maximum(np.abs(linear), 1e-5) ** power, linear))


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """How likely it is that dyes have faded, a little or badly; chances are common practice, no source."""
    chance = {"print": 0.5, "photograph": 0.05, "artwork": 0.1}.get(kind, 0.0)
    old = kind in ("photograph", "frame") and year is not None and year < 1990
    if old:
        chance = 0.25  # a slide, a negative or a film of that age
    dated = kind == "print" or old
    if not chance or (anchors < 2 and not dated) or (anchors == 1 and kind != "print"):
        return ()  # one anchor cannot tell a layer's loss from the light
    belief = camera.belief(camera.STRAIGHT)
    odds = float(np.log(chance / (1 - chance)))
    out = []
    for share, lost, together, each in _FADES:
        mean = np.concatenate([belief.mean, [lost] * 3])
        covariance = np.zeros((mean.size, mean.size))
        covariance[: camera.SIZE, : camera.SIZE] = belief.covariance
        covariance[POWER, POWER] = each**2 * np.eye(3) + together**2
        # Stains and a scanner's own balance stretch what gains are likely.
        covariance[camera.GAIN, camera.GAIN] += 0.2**2 * np.eye(3)
        out.append(Belief(mean, covariance, odds + float(np.log(share))))
    return tuple(out)


def start(mean: Array, seen: Array, want: Array) -> Array:
    """A first guess at a fit: each layer's power by the spread of the anchors' logs (n, 3)."""
    first = mean.copy()
    seen, want = np.log(seen), np.log(want)
    wide = want.std(axis=0)
    if len(seen) > 1 and wide.min() > 0.2:
        off = seen - seen.mean(axis=0)
        slope = (off * (want - want.mean(axis=0))).sum(axis=0) / wide**2 / len(seen)
        first[POWER] = np.where(slope > 0.01, -np.log(np.clip(slope, 0.01, 1.5)), first[POWER])
    first[camera.GAIN] = np.median(want - np.exp(first[POWER]) * seen, axis=0)
    return first


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
MODEL = Model("faded dyes", undo, camera.GAIN, camera.FALL, beliefs, says, start, restored, 0.01 * np.log(10))
