"""A faded print or slide: each dye layer has lost a share of its density, and the base has taken a stain.

Fading scales a layer's density and a stain adds to it (Wilhelm & Brower, "The Permanence and Care of Color
Photographs", 1993, from memory), so linear light v in a layer's channel came from v ** power: a power of 2
is a layer that has kept half of its density. The stain is taken off first, a gain in each layer's channel.
A layer's own channel is taken to be that of its complement: cyan in red, magenta in green, yellow in blue.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.models import camera
from palette.evidence.correction.notes import DyesFaded, LayerLost
from palette.notes import Note

POWER = slice(camera.SIZE, camera.SIZE + 3)  # logs
STAIN = slice(camera.SIZE + 3, camera.SIZE + 6)  # log light that the base takes away
_LAYERS = ("cyan", "magenta", "yellow")
_MOST = 4.0  # log power at which a layer is as good as gone: nothing is restored further
# Share, log power, and its sd for the layers together and for each: faded a little, and badly, when one layer
# may be all but gone. Common practice, no source.
_FADES = ((0.7, 0.2, 0.18, 0.25), (0.3, 0.8, 0.4, 0.9))
_STAIN = 0.15, 0.25  # log light, mean and sd; common practice, no source
# The range of log light that nine tenths of a picture fill, and by how much (log) that differs from picture
# to picture and from layer to layer. Common practice, no source.
_RANGE, _RANGES_ALIKE, _RANGES_APART = 3.0, 0.4, 0.25
# What the brightest of a picture is below white in each layer (log light), and its sd. Common practice, no
# source.
_BRIGHT, _BRIGHT_SD = 0.2, 0.4
# A layer that surely keeps less than this has faded: inks differ by as much from dyes that have
# not. Common practice, no source.
_WHOLE = 0.85
BEYOND = (
    0.35  # a layer with less of its density than this is called beyond restoring; common practice, no source
)


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """Parameters (…, 25), readings (n, 3) at places (n, 2) -> linear light under D65 (…, n, 3)."""
    return camera.undo(theta[..., : camera.SIZE], restored(theta, linear), place)


def restored(theta: Array, linear: Array) -> Array:
    """Parameters (…, 25) and linear light (n, 3) of a faded picture -> of the unfaded one (…, n, 3)."""
    power = np.exp(np.clip(theta[..., None, POWER], -0.4, _MOST))
    clean = np.maximum(np.abs(linear), 1e-5) * np.exp(theta[..., None, STAIN])
    clean = np.minimum(clean, np.exp(4 / power))  # nothing is fifty times as light as white
    return np.asarray(np.copysign(clean**power, linear))


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """How likely it is that dyes have faded, a little or badly; chances are common practice, no source."""
    chance = {"print": 0.65, "photograph": 0.05, "artwork": 0.1}.get(kind, 0.0)
    old = kind in ("photograph", "frame") and year is not None and year < 1990
    if old:
        chance = 0.4  # a slide, a negative or a film of that age
    dated = kind == "print" or old
    if not chance or (anchors < 2 and not dated) or (anchors == 1 and kind != "print"):
        return ()  # one anchor cannot tell a layer's loss from the light
    belief = camera.belief(camera.STRAIGHT)
    odds = float(np.log(chance / (1 - chance)))
    out = []
    for share, lost, together, each in _FADES:
        mean = np.concatenate([belief.mean, [lost] * 3, [_STAIN[0]] * 3])
        covariance = np.zeros((mean.size, mean.size))
        covariance[: camera.SIZE, : camera.SIZE] = belief.covariance
        covariance[POWER, POWER] = each**2 * np.eye(3) + together**2
        covariance[STAIN, STAIN] = _STAIN[1] ** 2 * np.eye(3)
        # A scanner's own balance stretches what gains are likely.
        covariance[camera.GAIN, camera.GAIN] += 0.2**2 * np.eye(3)
        out.append(Belief(mean, covariance, odds + float(np.log(share)), belief.residual))
    return tuple(out)


def in_scene(belief: Belief, scene: Array) -> Belief:
    """A belief, of any model, after a look at how far each layer's light ranges in a small picture (h, w, 3).

    A layer that has lost density ranges less, in the same proportion; in a picture that has not faded all
    three range about alike. What is brightest in a layer is near the stained white.
    """
    log = np.log(np.maximum(scene.reshape(-1, 3), 0.003))
    low, high, top = np.quantile(log, [0.05, 0.95, 0.98], axis=0)
    gap = np.log(_RANGE / np.maximum(high - low, 0.02))
    noise = _RANGES_ALIKE**2 + _RANGES_APART**2 * np.eye(3)
    faded = belief.mean.size > camera.SIZE
    mean, total = (belief.mean[POWER], belief.covariance[POWER, POWER] + noise) if faded else (0.0, noise)
    gap = gap - mean
    odds = -0.5 * gap @ np.linalg.solve(total, gap) - 0.5 * np.linalg.slogdet(total)[1]
    belief = replace(belief, log_weight=belief.log_weight + float(odds))
    if not faded:
        return belief
    belief = belief.seen(POWER, mean + gap, noise)
    power = np.exp(belief.mean[POWER])
    return belief.seen(STAIN, -_BRIGHT / power - top, np.diag((_BRIGHT_SD / power) ** 2 + 0.03**2))


def start(mean: Array, seen: Array, want: Array) -> Array:
    """A first guess at a fit: each layer's power by the spread of the anchors' logs."""
    first = mean.copy()
    seen, want = np.log(camera.channels(seen)), np.log(camera.channels(want))
    wide = want.std(axis=0)
    if len(seen) > 1 and wide.min() > 0.2:
        off = seen - seen.mean(axis=0)
        slope = (off * (want - want.mean(axis=0))).sum(axis=0) / wide**2 / len(seen)
        first[POWER] = np.where(slope > 0.01, -np.log(np.clip(slope, 0.01, 1.5)), first[POWER])
    power = np.exp(first[POWER])
    off = np.median(want - power * seen, axis=0)
    first[STAIN] = np.clip((off - mean[camera.GAIN]) / power, -0.5, 0.8)
    first[camera.GAIN] = off - power * first[STAIN]
    return first


def says(theta: Array, covariance: Array) -> tuple[Note, ...]:
    """How much of each layer is left, where one surely is less than whole, and which is beyond restoring."""
    camera_says = camera.says(theta[: camera.SIZE], covariance[: camera.SIZE, : camera.SIZE])
    kept = np.exp(-theta[POWER])
    most = kept * np.exp(1.645 * np.sqrt(np.diag(covariance)[POWER]))  # nineteen times in twenty it is less
    if most.min() > _WHOLE:
        return camera_says
    layers = tuple(zip(_LAYERS, np.minimum(kept, 1.0).tolist(), strict=True))
    notes: list[Note] = [DyesFaded(layers)]
    notes += [LayerLost(layer, 1 / k) for layer, k in layers if k < BEYOND]
    return (*notes, *camera_says)


# No print fades evenly: 0.01 of density. Restoring a layer multiplies it. Common practice, no source.
MODEL = Model("faded dyes", undo, camera.GAIN, camera.FALL, beliefs, says, start, restored, 0.01 * np.log(10))
