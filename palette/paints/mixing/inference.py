"""From what is known of paints to their absorption and scattering.

What is sought of each paint is `u`: ln K/S and ln S at the 31 wavelengths, 62 numbers, S relative to
that of a strong white. What is known, a masstone and perhaps a let-down, as reflectances or as
CIELAB, is a function of u with a small error. The most probable u under a Gaussian prior is found by
Gauss-Newton, and the curvature there gives its covariance (Laplace's method). All arrays have one row a
paint.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, xyz_to_lab
from palette.colour.spectra import tristimulus
from palette.paints.mixing import law

N = 31
_STEPS = 40
_READING = 0.001  # standard deviation of a reading of reflectance
Rows = NDArray[np.int64] | slice  # (r,) of n paints

_LONGEST = 1.5  # no step moves an entry of u further than this, so that far starts stay stable


@dataclass(frozen=True)
class Gaussian:
    """What is believed of n paints; one row stands for any number of them."""

    mean: Array  # (n, 62)
    covariance: Array  # (n, 62, 62)


@dataclass(frozen=True)
class Seen:
    """One thing known of n paints, to be explained: m numbers of each with their variances."""

    known: Array  # (n, m)
    variance: Array  # (m,) or (n, m)
    predict: Callable[[Array, Rows], tuple[Array, Array]]  # u (r, 62) of rows -> (r, m), slopes (r, m, 62)


def masstone(known: Array, gloss: Array, blur: float = 0.0) -> Seen:
    """Masstones as CIELAB (n, 3) or reflectances (n, 31); `gloss` (n,) is 1 where readings include it.

    `blur` is a standard deviation of ln K/S added to what reflectances leave unsure.
    """
    if known.shape[-1] == N:  # K/S follows at once, and with it how surely each wavelength is known
        k_over_s = law.ratio(known, gloss)
        variance = (_READING / law.log_slope(k_over_s)) ** 2 + blur**2
        return Seen(np.log(k_over_s), variance, lambda u, rows: _straight(u))
    return Seen(known, _variance(known), lambda u, rows: _look(known, *_straight(u), gloss[rows]))


def tint(known: Array, gloss: Array, share: Array, white: Array) -> Seen:
    """Let-downs as CIELAB (n, 3) or reflectances (n, 31): `share` (n,) of the paint in `white` (n, 62)."""

    def predict(u: Array, rows: Rows) -> tuple[Array, Array]:
        return _look(known, *let_down(u, share[rows], white[rows]), gloss[rows])

    return Seen(known, _variance(known), predict)


def _variance(known: Array) -> Array:
    return np.full(known.shape[-1], 0.05**2 if known.shape[-1] == 3 else _READING**2)


def _straight(u: Array) -> tuple[Array, Array]:
    return u[:, :N], np.broadcast_to(np.eye(N, 2 * N), (u.shape[0], N, 2 * N))


def let_down(u: Array, share: Array, white: Array) -> tuple[Array, Array]:
    """ln K/S (n, 31) of `share` (n,) of paints u (n, 62) in whites (n, 62), and slopes (n, 31, 62)."""
    s = share[:, None] * np.exp(u[:, N:])
    k = s * np.exp(u[:, :N])
    white_s = (1 - share)[:, None] * np.exp(white[:, N:])
    all_k, all_s = k + white_s * np.exp(white[:, :N]), s + white_s
    slopes = np.zeros((u.shape[0], N, 2 * N))
    i = np.arange(N)
    slopes[:, i, i] = k / all_k
    slopes[:, i, N + i] = k / all_k - s / all_s
    return np.log(all_k / all_s), slopes


def _look(known: Array, q: Array, slopes: Array, gloss: Array) -> tuple[Array, Array]:
    k_over_s = np.exp(q)
    seen, slope = law.reflectance(k_over_s, gloss), law.log_slope(k_over_s)
    if known.shape[-1] == N:
        return seen, slope[..., None] * slopes
    return lab_of(seen), (lab_slopes(seen) * slope[:, None, :]) @ slopes


def lab_of(reflectance: Array) -> Array:
    """Reflectances (…, 31) to CIELAB D65 (…, 3) by ASTM E308."""
    table, white = tristimulus("D65")
    return xyz_to_lab(reflectance @ table, white)


def lab_slopes(reflectance: Array) -> Array:
    """d CIELAB / d reflectance, (…, 3, 31)."""
    table, white = tristimulus("D65")
    t = np.maximum(reflectance @ table / white, 1e-9)
    slope = np.where(t > (6 / 29) ** 3, t ** (-2 / 3) / 3, (29 / 6) ** 2 / 3)
    f = slope[..., None] * (table / white).T
    return np.stack(
        [116 * f[..., 1, :], 500 * (f[..., 0, :] - f[..., 1, :]), 200 * (f[..., 1, :] - f[..., 2, :])],
        axis=-2,
    )


def most_probable(prior: Gaussian, seen: Sequence[Seen]) -> Gaussian:
    """What to believe of n paints once all of `seen` is known: the most probable u and its spread.

    Rows of the prior, or its only row, belong to the paints.
    """
    known = np.concatenate([s.known for s in seen], axis=1)
    variance = np.concatenate([np.broadcast_to(s.variance, s.known.shape) for s in seen], axis=1)
    u = np.array(np.broadcast_to(prior.mean, (known.shape[0], 2 * N)))
    every = np.arange(len(u))
    rows = every  # those that still move, so that no paint depends on which others are asked for with it
    for _ in range(_STEPS):
        mean = prior.mean if len(prior.mean) == 1 else prior.mean[rows]
        missing, slopes, gain = _gain(prior, u, known, variance, seen, rows)
        pull = missing + np.einsum("nmk,nk->nm", slopes, u[rows] - mean)
        step = mean + np.einsum("nkm,nm->nk", gain, pull) - u[rows]
        size = np.abs(step).max(axis=1)
        u[rows] += step * np.minimum(1.0, _LONGEST / np.maximum(size, 1e-12))[:, None]
        rows = rows[size >= 1e-5]
        if not len(rows):
            break
    _, slopes, gain = _gain(prior, u, known, variance, seen, every)
    covariance = prior.covariance - gain @ (slopes @ prior.covariance)
    return Gaussian(u, (covariance + covariance.transpose(0, 2, 1)) / 2)


def _gain(
    prior: Gaussian, u: Array, known: Array, variance: Array, seen: Sequence[Seen], rows: Rows
) -> tuple[Array, Array, Array]:
    predicted = [s.predict(u[rows], rows) for s in seen]
    missing = known[rows] - np.concatenate([look for look, _ in predicted], axis=1)
    slopes = np.concatenate([slope for _, slope in predicted], axis=1)
    across = slopes @ (prior.covariance if len(prior.covariance) == 1 else prior.covariance[rows])
    inner = across @ slopes.transpose(0, 2, 1)
    i = np.arange(inner.shape[1])
    inner[:, i, i] += variance[rows]
    return missing, slopes, np.linalg.solve(inner, across).transpose(0, 2, 1)
