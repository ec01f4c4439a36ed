"""From a colour to the reflectances it may have.

Infinitely many reflectances share one CIELAB colour. What a surface does to a blue-heavy emulsion or
under a lamp depends on which of them it has, so the answer here is a family: samples of the
reflectance given the colour, and their mean.

The prior is a mixture of Gaussians over the logit of the reflectance, in the ten leading directions
of variation of some five thousand measured and made surfaces (`tests/benchmarks/grey/learn.py` names the
sets). A
colour is a condition on it: each component is bent to meet the colour exactly (Gauss-Newton on the
constraint, ASTM E308 weights under D65), weighed by its density on the surface of reflectances that
have that colour (Laplace's method), and sampled along that surface.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array, xyz_to_lab
from palette.colour.spectra import lab_to_reflectance_targets, tristimulus

SAMPLES = 48  # reflectances drawn for a colour unless asked otherwise
_STEPS = 7


@dataclass(frozen=True)
class Prior:
    """The mixture: logit reflectance = mean + directions @ c, c from `weight` × N(`centre`, `covariance`)."""

    mean: Array  # (31,)
    directions: Array  # (31, q)
    weight: Array  # (k,)
    centre: Array  # (k, q)
    covariance: Array  # (k, q, q)
    rest: Array  # (31,) standard deviation of what the directions leave out, in logit


@dataclass(frozen=True)
class Recovered:
    """Reflectances 0..1 at 400…700 nm for n colours.

    `samples` are equally likely draws; `mean` is their mean, so it has the same XYZ. `error` is the
    CIEDE2000 between the colour asked for and the mean's colour: not small only for colours that no
    surface can have.
    """

    mean: Array  # (n, 31)
    samples: Array  # (n, s, 31)
    error: Array  # (n,)

    @property
    def deviation(self) -> Array:
        """(n, 31) standard deviation of the reflectance at each wavelength."""
        return np.asarray(self.samples.std(axis=1))

    @property
    def covariance(self) -> Array:
        """(n, 31, 31)"""
        centred = self.samples - self.samples.mean(axis=1, keepdims=True)
        return np.asarray(np.einsum("nsi,nsj->nij", centred, centred) / self.samples.shape[1])


@cache
def prior() -> Prior:
    """The prior shipped in `data/recovery.npz`."""
    with files("palette.colour.data").joinpath("recovery.npz").open("rb") as stream, np.load(stream) as table:
        return Prior(**{name: table[name].astype(np.float64) for name in table.files})


def recover(lab: ArrayLike, samples: int = SAMPLES) -> Recovered:
    """Reflectances for colours (n, 3) or (3,), CIELAB D65.

    The draws are fixed (no chance in them), so equal colours get equal answers in any company.

    Raises:
        ValueError: `lab` is not (…, 3) or not finite.
    """
    lab = np.atleast_2d(np.asarray(lab, dtype=np.float64))
    if lab.ndim != 2 or lab.shape[1] != 3 or not np.all(np.isfinite(lab)):
        raise ValueError("colours are n rows of three finite numbers")
    if len(lab) == 0:
        return Recovered(np.zeros((0, 31)), np.zeros((0, samples, 31)), np.zeros(0))
    blocks = [_recover(lab[i : i + 512], samples) for i in range(0, len(lab), 512)]
    drawn = np.concatenate(blocks)
    mean = drawn.mean(axis=1)
    table, white = tristimulus("D65")
    from palette.colour.difference import difference

    return Recovered(mean, drawn, difference(lab, xyz_to_lab(mean @ table, white)))


def _recover(lab: Array, samples: int) -> Array:
    """Draws (n, samples, 31)."""
    p = prior()
    n, k, q = len(lab), len(p.weight), p.directions.shape[1]
    target = _compress(lab_to_reflectance_targets(lab))

    # the likeliest point of each component that has the colour
    point = np.broadcast_to(p.centre, (n, k, q))
    covariance = np.broadcast_to(p.covariance, (n, k, q, q))
    centre = point
    for _ in range(_STEPS):
        point = _step(point, centre, covariance, target[:, None])
    value, slope = _response(point)
    away = point - p.centre
    inverse = np.linalg.inv(p.covariance)
    density = -0.5 * np.einsum("nki,kij,nkj->nk", away, inverse, away)
    _, stretch = np.linalg.slogdet(np.einsum("nkai,kij,nkbj->nkab", slope, p.covariance, slope))
    miss = np.abs(value - target[:, None]).max(axis=-1)
    score = np.log(p.weight) + density - 0.5 * stretch - 50.0 * np.maximum(miss - 0.002, 0.0)
    share = np.exp(score - score.max(axis=1, keepdims=True))
    share /= share.sum(axis=1, keepdims=True)

    # draws: components in proportion, then along the surface of equal colour
    ladder = (np.arange(samples) + 0.5) / samples
    chosen = (np.cumsum(share, axis=1)[:, None, :] < ladder[:, None]).sum(axis=2).clip(0, k - 1)
    rows = np.arange(n)[:, None]
    normal, leftover = _normals(samples, q)
    start = point[rows, chosen]
    spread = p.covariance[chosen]
    jump = np.einsum("nsij,sj->nsi", np.linalg.cholesky(p.covariance)[chosen], normal)
    gain_slope = slope[rows, chosen]
    projected = spread @ gain_slope.swapaxes(-1, -2)
    small = gain_slope @ projected
    jump -= np.einsum(
        "nsia,nsa->nsi", projected, np.linalg.solve(_safe(small), (gain_slope @ jump[..., None]))[..., 0]
    )
    rest = leftover * p.rest
    drawn = start + jump
    for _ in range(3):
        drawn = _step(drawn, drawn, spread, target[:, None], rest)
    reflectance = _sigmoid(p.mean + drawn @ p.directions.T + rest)
    return _settle(reflectance, lab)


def _step(point: Array, centre: Array, covariance: Array, target: Array, rest: Array | float = 0.0) -> Array:
    """One Gauss-Newton step: the point nearest to `centre` (Mahalanobis) on the linearised constraint."""
    value, slope = _response(point, rest)
    projected = covariance @ slope.swapaxes(-1, -2)
    small = _safe(slope @ projected)
    wanted = target - value + np.einsum("...ai,...i->...a", slope, point - centre)
    step = np.einsum("...ia,...a->...i", projected, np.linalg.solve(small, wanted[..., None])[..., 0])
    goal = centre + step
    move = goal - point
    size = np.sqrt(np.einsum("...i,...i->...", move, move))[..., None]
    return np.asarray(point + move * np.minimum(1.0, 6.0 / np.maximum(size, 1e-12)))


def _safe(small: Array) -> Array:
    return np.asarray(small + 1e-9 * np.eye(3))


def _response(point: Array, rest: Array | float = 0.0) -> tuple[Array, Array]:
    """The compressed XYZ (…, 3) of coefficients (…, q) and its slope (…, 3, q)."""
    p = prior()
    table, _ = tristimulus("D65")
    reflectance = _sigmoid(p.mean + point @ p.directions.T + rest)
    xyz = reflectance @ table
    by_logit = reflectance * (1 - reflectance)
    slope = by_logit @ _products(p.directions, table)
    slope = slope.reshape(*xyz.shape, -1) * _compress_slope(xyz)[..., None]
    return _compress(xyz), slope


def _products(directions: Array, table: Array) -> Array:
    """(31, 3 q): weight times direction, so that the slope is one matrix product."""
    return np.asarray((table[:, :, None] * directions[:, None, :]).reshape(len(table), -1))


def _sigmoid(z: Array) -> Array:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(z, -12.0, 12.0))))


# The constraint is met on cube roots, nearly CIELAB, where Newton's steps are well scaled.
def _compress(xyz: Array) -> Array:
    white = tristimulus("D65")[1]
    return np.asarray(np.cbrt(np.maximum(xyz / white, 0.0) + 1e-3))


def _compress_slope(xyz: Array) -> Array:
    white = tristimulus("D65")[1]
    return np.asarray((np.maximum(xyz / white, 0.0) + 1e-3) ** (-2 / 3) / 3 / white)


def _settle(reflectance: Array, lab: Array) -> Array:
    """Remove what little error is left: a smooth addition in the weights' own directions, kept in 0..1."""
    table, _ = tristimulus("D65")
    goal = lab_to_reflectance_targets(lab)[:, None]
    nearest, least = reflectance, np.full(reflectance.shape[:2], np.inf)
    for _ in range(7):  # two will do, but for colours at the edge of what a surface can have
        missing = goal - reflectance @ table
        miss = np.abs(missing).max(axis=-1)
        nearer = miss < least  # past the edge a step can lead away
        nearest, least = np.where(nearer[..., None], reflectance, nearest), np.minimum(miss, least)
        unsettled = miss > 1e-9
        if not unsettled.any():
            break
        rough = reflectance[unsettled]
        room = rough * (1 - rough)
        gram = np.einsum("wa,nw,wb->nab", table, room, table, optimize=True)
        gram += 1e-12 * np.eye(3)
        amount = np.linalg.solve(gram, missing[unsettled][..., None])[..., 0]
        reflectance = reflectance.copy()
        reflectance[unsettled] = np.clip(rough + room * (amount @ table.T), 0.0, 1.0)
    return np.asarray(nearest)


@cache
def _normals(samples: int, q: int) -> tuple[Array, Array]:
    """Fixed, well-spread standard normals (samples, q), and smooth ones (samples, 31) for the rest.

    The spread is an additive recurrence on the generalised golden ratio (Roberts 2018).
    """
    from statistics import NormalDist  # scipy.special would take longer to load than the whole recovery

    ratio = 1.5
    for _ in range(40):
        ratio = (1 + ratio) ** (1 / (q + 1))
    points = (0.5 + np.arange(1, samples + 1)[:, None] * ratio ** -np.arange(1.0, q + 1)) % 1.0
    normal = np.vectorize(NormalDist().inv_cdf)(np.clip(points, 1e-6, 1 - 1e-6))
    rough = np.random.default_rng(1964).standard_normal((samples, 31))
    kernel = np.exp(-0.5 * ((np.arange(31)[:, None] - np.arange(31)) / 1.5) ** 2)
    smooth = rough @ kernel
    return np.asarray(normal), np.asarray(smooth / np.sqrt((kernel**2).sum(axis=0)))
