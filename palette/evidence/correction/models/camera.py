"""A camera's or a scanner's rendering undone: tone, uneven light, veil, light and sensor.

A reading goes back through what a camera does, last step first:
the tone curve (one for all channels: a power of the encoded level, and log exposure added at the
shoulder, at the toe and between), the fall of the light over the picture (log exposure: two slopes and a
bowl), the light (gains in a sensor's channels, von Kries), a veil of stray light (one offset a channel) and
the sensor's and the renderer's own way with colours (a 3×3 matrix that leaves greys alone). Which values
are likely, and how they go together (a warm cast goes with a certain matrix), is a normal prior learnt from
published sensitivities, lights and reflectances: tests/benchmarks/photo/learn.py makes prior.npz.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

import numpy as np

from palette.colour.spaces import Array, srgb_decode, srgb_encode
from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.notes import LightFallsOff, LightSlopes, StrayLight
from palette.notes import Note

TONE, FALL, GAIN, VEIL, MATRIX = slice(0, 4), slice(4, 7), slice(7, 10), slice(10, 13), slice(13, 19)
SIZE = 19

# From linear sRGB to the channels in which gains alone do well, rows adding up to 1 so that white stays
# white: what Bradford's are (Lam 1985, as in ICC.1) to the eye, refitted to cameras' renderings by
# tests/benchmarks/photo/learn.py.
SENSOR: Array = np.array([[0.646, 0.286, 0.068], [-0.058, 1.074, -0.016], [-0.006, 0.125, 0.881]])
_BACK: Array = np.asarray(np.linalg.inv(SENSOR), dtype=np.float64)
_LUMA: Array = np.array([0.2126, 0.7152, 0.0722])  # ITU-R BT.709
_DARKEST = 1e-7  # linear light
OFF = [(0, 1), (0, 2), (1, 0), (1, 2), (2, 0), (2, 1)]


def matrix_of(entries: Array) -> Array:
    """Entries beside the diagonal (…, 6), ordered as `OFF`: matrices (…, 3, 3) that leave greys alone."""
    out = np.zeros((*entries.shape[:-1], 3, 3)) + np.eye(3)
    for i, (row, column) in enumerate(OFF):
        out[..., row, column] += entries[..., i]
        out[..., row, row] -= entries[..., i]
    return out


def untone(linear: Array, tone: Array) -> Array:
    """Linear light as decoded (…, 3) to linear light as the lens saw it, by tone (…, 4).

    Of an encoded level e of 0 to 1: decoded e ** exp(t0), times the exponential of -t1 log(1 - 0.95 e²),
    which stretches what a shoulder has pressed together, 2 t2 (1 - e)⁴ for the toe and 4 t3 e (1 - e) for
    what lies between. These four follow tone operators, print-like logistic curves and powers closely,
    which polynomials of e do not where a shoulder is strong.
    """
    size = np.maximum(np.abs(linear), _DARKEST)
    luma = np.maximum(np.abs(linear) @ _LUMA, _DARKEST)[..., None]
    # Half by channel, half by brightness: film and simple curves do the first, which makes colours stronger
    # where they add contrast, and telephones mostly the second, which does not.
    return np.asarray(linear * np.sqrt(_untoned(size, tone) / size * _untoned(luma, tone) / luma))


def _untoned(linear: Array, tone: Array) -> Array:
    level = srgb_encode(linear)
    t0, t1, t2, t3 = (tone[..., i, None] for i in range(4))
    inside = np.clip(level, 1e-6, 1.0)
    rest = 1 - inside
    log = 2 * t2 * rest**4 - t1 * np.log(1 - 0.95 * inside**2) + 4 * t3 * inside * rest
    return np.asarray(srgb_decode(inside ** np.exp(t0) + np.maximum(level - 1, 0.0)) * np.exp(log))


def undo(theta: Array, linear: Array, place: Array, into: Array = SENSOR, back: Array = _BACK) -> Array:
    """Parameters (…, 19), readings (n, 3) at places (n, 2) -> linear light under D65 (…, n, 3).

    `into` (…, 3, 3) leads from the file's numbers to the channels that the gains are of, `back` (3, 3) from
    there to linear sRGB.
    """
    theta = theta[..., None, :]
    light = untone(linear, theta[..., TONE])
    off = place - 0.5
    steps = np.concatenate([off, (off**2).sum(axis=-1, keepdims=True)], axis=-1)
    light = light * np.exp(-(steps * theta[..., FALL]).sum(axis=-1))[..., None]
    gain = theta[..., GAIN]
    sensed = (light @ np.swapaxes(into, -1, -2)) * np.exp(gain) - theta[..., VEIL]
    balanced = sensed @ back.T
    entries = theta[..., MATRIX]
    out = []
    for row in range(3):
        (i, a), (j, b) = [(n, col) for n, (r, col) in enumerate(OFF) if r == row]
        own = balanced[..., row]
        out.append(
            own + entries[..., i] * (balanced[..., a] - own) + entries[..., j] * (balanced[..., b] - own)
        )
    return np.stack(out, axis=-1)


@dataclass(frozen=True)
class Prior:
    """Normal prior of the parameters, what the matrix follows, and how large the residuals of real colours
    are."""

    mean: Array  # (2, 19): developed straight, and with a camera's own look
    covariance: Array  # (2, 19, 19)
    residual: Array  # (3, 3) sd of what the map leaves over, see Residual
    reach: Array  # over how far that is alike: in L*, in compressed a*b*; and its share
    spread: Array  # (2, 2): mean and sd of the log scale of `residual` from picture to picture, by look
    native: Array  # (3, 3): a sensor's own channels, balanced, to linear sRGB
    native_spread: Array  # (6, 6) covariance of what a sensor adds to that, see matrix_of


@cache
def prior() -> Prior:
    with files("palette.evidence.correction.models").joinpath("prior.npz").open("rb") as file:
        table = np.load(file)
        return Prior(**{name: table[name] for name in table.files})


STRAIGHT, LOOK = 0, 1
_GLARE = 0.03  # of a picture with much stray light; common practice, no source
_CHANCES = (2 / 3, 1 / 3)  # of a picture being developed straight or with a look; common practice, no source
# Exposures, lights and balances are more various than the bench's: sd of log gains, together and each.
_MORE = 0.3**2 + 0.15**2 * np.eye(3)


def belief(look: int) -> Belief:
    """The learnt prior of pictures developed straight or with a look of their own."""
    covariance = prior().covariance[look].copy()
    covariance[GAIN, GAIN] += _MORE
    log_scale, sd = prior().spread[look]
    return Belief(prior().mean[look], covariance, float(np.log(_CHANCES[look])), (log_scale, sd))


def plain(belief: Belief) -> Belief:
    """The belief without what a neutral of unknown lightness leaves to guesses, a tone curve and a veil: they
    change colours and cannot be seen. How wide the tone may be stands."""
    mean, covariance = belief.mean.copy(), belief.covariance.copy()
    tone = covariance[TONE, TONE].copy()
    for own in (TONE, VEIL):
        mean[own], covariance[own, :], covariance[:, own] = 0, 0, 0
    covariance[TONE, TONE], covariance[VEIL, VEIL] = tone, 1e-6 * np.eye(3)
    return replace(belief, mean=mean, covariance=covariance)


def veiled(belief: Belief) -> tuple[Belief, ...]:
    """The belief split in three: about half of pictures have next to no veil, as many some, so that mean and
    covariance of the two together stand, and a few have much: a lens against the light or a reflecting glass
    gives a tenth of white and more."""
    rows = np.eye(len(belief.mean))[VEIL]
    mean, spread = belief.mean[VEIL], belief.covariance[VEIL, VEIL]
    none = 0.02 * spread
    some = 2 * spread - none - 2 * np.outer(mean, mean)
    much = 0.05**2 * (0.2 * np.eye(3) + 0.8)
    half = replace(belief, log_weight=belief.log_weight + float(np.log((1 - _GLARE) / 2)))
    # so much of it tells nothing of the exposure or the light, unlike a lens's own
    glare, covariance = belief.mean.copy(), belief.covariance.copy()
    glare[VEIL], covariance[VEIL, :], covariance[:, VEIL] = 0.05, 0, 0
    covariance[VEIL, VEIL] = much
    return (
        half.with_marginal(rows, 0 * mean, none),
        half.with_marginal(rows, 2 * mean, some),
        Belief(glare, covariance, belief.log_weight + float(np.log(_GLARE)), belief.residual),
    )


def start(mean: Array, seen: Array, want: Array) -> Array:
    """A first guess at a fit: the gains that bring most of the anchors' channels where they belong."""
    first = mean.copy()
    first[GAIN] = np.median(np.log(channels(want) / channels(seen)), axis=0)
    return first


def channels(linear: Array, into: Array = SENSOR) -> Array:
    """Linear sRGB (n, 3) in the channels of gains, nothing below a thousandth."""
    return np.asarray(np.maximum(linear @ into.T, 1e-3))


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """Any picture may have been developed straight."""
    return veiled(belief(STRAIGHT))


def says(theta: Array, covariance: Array) -> tuple[Note, ...]:
    """Uneven light, across the picture and from its middle to the corners, and veil, where the anchors show
    them beyond doubt."""
    notes: list[Note] = []
    slopes, spread = theta[FALL][:2], covariance[FALL, FALL][:2, :2]
    steep = float(np.hypot(*slopes))
    if steep > 0.1 and slopes @ np.linalg.inv(spread) @ slopes > 9.2:  # 99 % of chi-squared, 2 degrees
        across = bool(abs(slopes[0]) > abs(slopes[1]))
        grows = bool(slopes[0 if across else 1] > 0)
        notes.append(LightSlopes(float(np.expm1(steep)), grows, across))
    corner, sd = theta[FALL][2], np.sqrt(covariance[FALL, FALL][2, 2])
    if corner < -0.1 and -corner > 3 * sd:
        notes.append(LightFallsOff(float(-np.expm1(corner))))
    veil, spread = theta[VEIL], np.diag(covariance)[VEIL]
    if veil.mean() > 0.005 and veil.mean() > 3 * np.sqrt(spread.mean()):
        notes.append(StrayLight(float(veil.mean())))
    return tuple(notes)


MODEL = Model("camera", undo, GAIN, FALL, beliefs, says, start)
