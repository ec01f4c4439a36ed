"""From linear light as shot to CIELAB as it was: what the anchors can carry, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_linear, linear_to_lab, srgb_decode, srgb_encode
from palette.pictures.correction import camera
from palette.pictures.correction.posterior import Map, Posterior, Scale, Stray, solve
from palette.pictures.correction.reading import AnchorReading

__all__ = ["AnchorReading", "Correction", "fit"]

_FALLS = (0.1, 0.5, 1.5)
_STRAYS = (0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0)


@dataclass(frozen=True)
class Correction:
    """One picture's correction; `residuals` and `left_out` are CIEDE2000 per anchor, in their order."""

    posterior: Posterior
    undo: Map
    method: str
    notes: tuple[str, ...] = ()
    residuals: Array = field(default_factory=lambda: np.zeros(0))
    left_out: Array = field(default_factory=lambda: np.zeros(0))
    contradicting: tuple[str, ...] = ()

    def apply(self, linear: Array, covariance: Array, centre: Array | None = None) -> tuple[Array, Array]:
        """Linear light (n, 3), its covariance (n, 3, 3) and where it was seen (n, 2), as fractions of the
        picture, to CIELAB (n, 3) and covariance (n, 3, 3)."""
        linear = np.asarray(linear, dtype=np.float64)
        place = np.full((len(linear), 2), 0.5) if centre is None else np.asarray(centre, dtype=np.float64)
        linear, covariance = settle(self.undo, self.posterior.theta, linear, place, np.asarray(covariance))
        return self.posterior.predict(linear, place, covariance)


def settle(
    undo: Map, theta: Array, linear: Array, place: Array, covariance: Array, clipped: Array | None = None
) -> tuple[Array, Array]:
    """Readings (n, 3) and covariances (n, 3, 3) with what a file hides: rounding, channels that ran out.

    A channel at zero was at or below zero before the renderer cut it off. How far below, no surface may
    say that would come out of the map `undo` (to linear light under D65) with less than a fiftieth of its
    strongest channel: the reading is taken as even between the two. A channel at the top was above it.
    """
    level = srgb_encode(np.abs(linear))
    rounding = (srgb_decode(level + 0.25 / 255) - srgb_decode(np.maximum(level - 0.25 / 255, 0))) ** 2
    share = np.zeros_like(linear) if clipped is None else np.asarray(clipped, dtype=np.float64)
    high = np.maximum(share, np.clip((level - 0.985) / 0.01, 0, 1)) * (level > 0.5)
    low = np.maximum(share, np.clip((0.015 - level) / 0.01, 0, 1)) * (level <= 0.5)
    below = np.zeros_like(linear)
    if low.any():
        out = undo(theta, linear, place)
        least = 0.02 * out.max(axis=-1)
        step = 1e-4
        for axis in range(3):
            shift = step * np.eye(3)[axis]
            slope = (undo(theta, linear + shift, place) - out)[:, axis] / step
            below[:, axis] = np.maximum(out[:, axis] - least, 0) / np.maximum(slope, 1e-3)
    moved = linear + 0.1 * high - 0.5 * low * below
    variance = rounding + (0.2 * high) ** 2 + (low * below) ** 2 / 12
    return moved, np.asarray(covariance, dtype=np.float64) + variance[..., None] * np.eye(3)


def spread_covariance(lab: Array, spread: float) -> Array:
    """CIELAB covariance (3, 3) of a colour known to within a CIEDE2000 radius nine times in ten."""
    chroma = float(np.hypot(lab[1], lab[2]))
    s_l = 1 + 0.015 * (lab[0] - 50) ** 2 / np.sqrt(20 + (lab[0] - 50) ** 2)
    sd = spread / 2.5003 * np.array([s_l, 1 + 0.045 * chroma, 1 + 0.015 * chroma])
    cos, sin = (lab[1] / chroma, lab[2] / chroma) if chroma > 1e-9 else (1.0, 0.0)
    turn = np.array([[1, 0, 0], [0, cos, -sin], [0, sin, cos]])
    return np.asarray(turn @ np.diag(sd**2) @ turn.T)


def fit(
    anchors: Sequence[AnchorReading],
    *,
    light: str | float | None = None,
    kind: str = "photograph",
    year: int | None = None,
    scene: Array | None = None,
) -> Correction:
    """Fit the correction of one picture; `scene` is a small linear (h, w, 3) copy of it."""
    prior = camera.prior()
    stray = Stray(prior.stray, prior.reach[:2], float(prior.reach[2]))
    linear = np.array([a.linear for a in anchors], dtype=np.float64).reshape(-1, 3)
    covariance = np.array([a.covariance for a in anchors], dtype=np.float64).reshape(-1, 3, 3)
    clipped = np.array([a.clipped for a in anchors], dtype=np.float64).reshape(-1, 3)
    place = np.array([(0.5, 0.5) if a.centre is None else a.centre for a in anchors]).reshape(-1, 2)
    lab = np.array([(55.0, 0.0, 0.0) if a.lab is None else a.lab for a in anchors]).reshape(-1, 3)
    truth = np.zeros((len(anchors), 3, 3))
    for i, anchor in enumerate(anchors):
        if anchor.lab_covariance is not None:
            truth[i] = anchor.lab_covariance
        else:
            truth[i] = spread_covariance(lab[i], anchor.spread)
        if anchor.lab is None:
            truth[i, 0, 0] += 25.0**2
    scales = []
    for fall, style in product(_FALLS, range(len(prior.mean))):
        factor = np.ones(camera.SIZE)
        factor[camera.FALL] = fall
        mean, parameters = prior.mean[style], prior.covariance[style] * np.outer(factor, factor)
        for size in _STRAYS:
            weight = -0.5 * ((np.log(size) - prior.spread[0]) / prior.spread[1]) ** 2
            scales.append(Scale(size, mean, parameters, float(weight)))
    total = np.logaddexp.reduce([s.log_weight for s in scales])
    scales = [replace(s, log_weight=s.log_weight - float(total)) for s in scales]
    start = prior.mean.mean(axis=0)
    if len(anchors):
        want = np.maximum(lab_to_linear(lab) @ camera.SENSOR.T, 1e-3)
        start[camera.GAIN] = np.median(np.log(want / np.maximum(linear @ camera.SENSOR.T, 1e-3)), axis=0)

    def undo(theta: Array, x: Array, p: Array) -> Array:
        return camera.undo(theta, x, p, prior.follow)

    def map_(theta: Array, x: Array, p: Array) -> Array:
        return linear_to_lab(undo(theta, x, p))

    read, sure = settle(undo, start, linear, place, covariance, clipped)
    posterior = solve(map_, tuple(scales), stray, read, place, sure, lab, truth, start)
    correction = Correction(posterior, undo, f"fitted on {len(anchors)} anchors")
    if not len(anchors):
        return correction
    after, _ = correction.apply(linear, covariance, place)
    off, _ = posterior.left_out()
    return replace(correction, residuals=difference(after, lab), left_out=difference(lab - off, lab))
