"""What is believed of a paint's absorption and scattering, given how its masstone looks.

A masstone tells K/S and nothing of S, on which the paint's strength in a mixture turns. But pigments
are of kinds: dark, chromatic paints are mostly strong and transparent, whites and pastels scatter,
earths lie between. `data/prior.npz` holds some thousand invented paints (`data/make.py` says how they
came about). The prior of one paint is a Gaussian with the mean and spread of those that look like it
(Nadaraya-Watson weights), drawn towards the regression over all of them where few do.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from palette.colour.adaptation import chroma_scale
from palette.colour.spaces import Array
from palette.paints.mixing import law
from palette.paints.mixing.inference import Gaussian, N, lab_of

_NEAR_LAB = 5.0  # width of the weights, about CIEDE2000
_NEAR_RATIO = 0.5  # width of the weights where K/S is measured, root mean square of ln K/S
_REGRESSION = 2.0  # the regression counts as this many paints
_NEIGHBOURS = 300


@dataclass(frozen=True)
class Library:
    u: Array  # (m, 62)
    lab: Array  # (m, 3)
    all: Gaussian  # over the whole library


def _smooth(length: float) -> Array:
    steps = np.arange(N)
    return np.asarray(np.exp(-0.5 * ((steps[:, None] - steps[None, :]) / length) ** 2))


@cache
def _slack() -> Array:
    """What no library knows: variance added to every prior, smooth over the spectrum."""
    slack = np.zeros((2 * N, 2 * N))
    slack[:N, :N] = 0.3**2 * _smooth(6)
    slack[N:, N:] = 0.3**2 + 0.2**2 * _smooth(6)
    return slack + 1e-5 * np.eye(2 * N)


@cache
def library() -> Library:
    """The invented paints that are learnt from."""
    with (
        files("palette.paints.mixing.data").joinpath("prior.npz").open("rb") as stream,
        np.load(stream) as table,
    ):
        mean, directions, scores, rest = (
            table[name].astype(np.float64) for name in ("mean", "directions", "scores", "rest")
        )
    u = mean + scores @ directions
    covariance = np.cov(u.T) + np.diag(rest**2) + _slack()
    return Library(
        u, lab_of(law.reflectance(np.exp(u[:, :N]))), Gaussian(u.mean(axis=0)[None], covariance[None])
    )


def anything() -> Gaussian:
    """The prior of a paint of which nothing is known, as one row."""
    return library().all


def alike(first: Gaussian, lab: Array | None) -> Gaussian:
    """The priors of n paints by what paints that look like them are like.

    `first` is what `anything` and the masstone say together. Likeness is by colour where `lab` (n, 3) is
    given, else by K/S at every wavelength.
    """
    known = library()
    if lab is not None:
        theirs, ours, width = _even(known.lab), _even(lab), _NEAR_LAB
    else:
        theirs, ours, width = known.u[:, :N], first.mean[:, :N], _NEAR_RATIO * N**0.5
    mean, covariance = np.empty_like(first.mean), np.empty_like(first.covariance)
    sizes = (theirs**2).sum(axis=1)
    for start in range(0, len(ours), 64):  # a block of paints at a time keeps the arrays small
        rows = slice(start, min(start + 64, len(ours)))
        square = np.maximum((ours[rows] ** 2).sum(axis=1)[:, None] - 2 * ours[rows] @ theirs.T + sizes, 0.0)
        near = np.argpartition(square, _NEIGHBOURS, axis=1)[:, :_NEIGHBOURS]
        weight = np.exp(-0.5 * np.take_along_axis(square, near, axis=1) / width**2)
        total = weight.sum(axis=1) + _REGRESSION
        u = known.u[near]
        middle = (np.einsum("nk,nkj->nj", weight, u) + _REGRESSION * first.mean[rows]) / total[:, None]
        apart = (u - middle[:, None]) * np.sqrt(weight)[..., None]
        off = first.mean[rows] - middle
        spread = apart.transpose(0, 2, 1) @ apart + _REGRESSION * (
            first.covariance[rows] + off[:, :, None] * off[:, None, :]
        )
        mean[rows], covariance[rows] = middle, spread / total[:, None, None] + _slack()
    return Gaussian(mean, covariance)


def _even(lab: Array) -> Array:
    """CIELAB with chroma drawn in, so that distance is roughly CIEDE2000 (as CMC and DIN99 do)."""
    even = lab.copy()
    even[:, 1:] *= chroma_scale(np.hypot(lab[:, 1], lab[:, 2]))[:, None]
    return even
