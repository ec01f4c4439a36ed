"""The likely maps given the anchors: linear-Gaussian around the best one, mixed over scales.

With parameters θ ~ N(μ, P), a map g(θ, reading) into CIELAB and a residual s ξ(colour) that is a Gaussian
process over colour space (near colours are off alike: kriging, as in Rasmussen & Williams, "Gaussian
Processes for Machine Learning", 2006, section 2.7), anchors y = g(θ, x) + s ξ + noise. θ is found by
Gauss-Newton. How hard the picture is (s) and how unevenly lit, nobody says: both are mixed over a grid by
the evidence.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from palette.colour.adaptation import chroma_scale
from palette.colour.spaces import Array

Map = Callable[[Array, Array, Array], Array]  # θ (…, p), linear (n, 3), place (n, 2) -> Lab (…, n, 3)
STEP = 1e-4
# What the variance of residuals takes for its 90 % to fit theirs: their scale is mixed already, and longer
# tails are in that. By made and by real photographs of the halves for choices.
TAIL = 0.95
# How the sd of residuals follows hue (log: a constant, cos and sin of the hue and of twice it), of lightness
# and of a*b*. Sensors part from the eye and renderers cut off in reds and cyans most, in yellow-greens and
# violets least. By made and by real photographs of the halves for choices.
_BY_HUE = np.array([[0.3, 0.0, 0.0, 0.0, 0.0], [-0.1, -0.045, -0.097, 0.3, 0.1]])
_PLAIN = 0.3  # L*, a*, b*: sd over one plain surface; common practice, no source


def jacobian(map_: Map, theta: Array, linear: Array, place: Array) -> tuple[Array, Array]:
    """Lab (n, 3) at θ (p,) and its slopes (n, 3, p)."""
    size = theta.size
    moved = np.concatenate(
        [theta[None] + STEP * np.eye(size), theta[None] - STEP * np.eye(size), theta[None]]
    )
    lab = map_(moved, linear, place)
    return lab[-1], np.moveaxis((lab[:size] - lab[size : 2 * size]) / (2 * STEP), 0, -1)


def reading_slope(map_: Map, theta: Array, linear: Array, place: Array) -> Array:
    """How Lab moves with the reading: (n, 3, 3)."""
    size = np.maximum(np.abs(linear) * 1e-3, 1e-5)
    columns = []
    for axis in range(3):
        shift = np.zeros_like(linear)
        shift[:, axis] = size[:, axis]
        up, down = map_(theta, linear + shift, place), map_(theta, linear - shift, place)
        columns.append((up - down) / (2 * size[:, axis, None]))
    return np.stack(columns, axis=-1)


@dataclass(frozen=True)
class Residual:
    """What a map leaves over, as a Gaussian process over CIELAB; `alike` is the share that neighbours share.

    Flat greys are off by little, whatever else does: `sd` has for lightness, chroma and hue (rows) the sd of
    a grey, what a colour's C* adds by 10 and no further, and what each C* adds, before what hue does to it.
    """

    sd: Array  # (3, 3)
    reach: Array  # (2,): lengths in L*, and in a*b* compressed as CIEDE2000 compresses chroma
    alike: float

    def roots(self, lab: Array) -> Array:
        """Symmetric roots (n, 3, 3) of the local covariance."""
        chroma = np.hypot(lab[:, 1], lab[:, 2])
        cos, sin = (
            np.where(chroma > 1e-9, x / np.maximum(chroma, 1e-9), 0.7) for x in (lab[:, 1], lab[:, 2])
        )
        terms = np.stack([np.ones_like(chroma), np.minimum(chroma / 10, 1), np.minimum(chroma, 130.0)])
        light, along, across = self.sd @ terms
        hue = np.arctan2(lab[:, 2], lab[:, 1])
        waves = np.stack([np.ones_like(hue), np.cos(hue), np.sin(hue), np.cos(2 * hue), np.sin(2 * hue)])
        lighter, stronger = np.exp(terms[1] * (_BY_HUE @ waves))
        light, along, across = light * lighter, along * stronger, across * stronger
        out = np.zeros((len(lab), 3, 3))
        out[:, 0, 0] = light
        out[:, 1, 1] = along * cos**2 + across * sin**2
        out[:, 2, 2] = along * sin**2 + across * cos**2
        out[:, 1, 2] = out[:, 2, 1] = (along - across) * cos * sin
        return out

    def _spot(self, lab: Array) -> Array:
        chroma = np.hypot(lab[:, 1], lab[:, 2])
        shrink = chroma_scale(chroma)
        return np.column_stack([lab[:, 0] / self.reach[0], lab[:, 1:] * shrink[:, None] / self.reach[1]])

    def between(self, a: Array, b: Array) -> Array:
        """Covariance (n, 3, m, 3) shared by colours (n, 3) and other colours (m, 3)."""
        gap = ((self._spot(a)[:, None] - self._spot(b)[None]) ** 2).sum(axis=-1)
        near = self.alike * np.exp(-gap / 2)
        return np.asarray(np.einsum("nij,nm,mkj->nimk", self.roots(a), near, self.roots(b)))

    def own(self, lab: Array) -> Array:
        """Covariance (n, 3, 3) of each colour's residual."""
        root = self.roots(lab)
        return np.asarray(root @ np.swapaxes(root, -1, -2))


def block_diagonal(blocks: Array) -> Array:
    """(n, 3, 3) -> (3n, 3n)."""
    n = len(blocks)
    out = np.zeros((n, 3, n, 3))
    out[np.arange(n), :, np.arange(n)] = blocks
    return out.reshape(3 * n, 3 * n)


@dataclass(frozen=True)
class Scale:
    """One guess at what nobody states: how large the residual is, and the parameters' prior that goes with
    it."""

    residual: float
    mean: Array  # (p,) of the prior
    covariance: Array  # (p, p) of the prior
    log_weight: float


@dataclass(frozen=True)
class Posterior:
    """The maps that the anchors leave likely; every component of the mixture shares one linearisation."""

    map: Map
    residual: Residual
    theta: Array  # where it is linearised (p,)
    lab: Array  # anchors' true colours (n, 3)
    slopes: Array  # (3n, p)
    gap: Array  # (3n,) anchors less what the map with θ = 0 would say, linearised
    noise: Array  # (n, 3, 3)
    all_scales: tuple[Scale, ...]
    scales: tuple[Scale, ...]  # those that the evidence leaves
    weights: Array  # of the scales, sum 1
    inverses: Array  # (k, 3n, 3n): of the anchors' covariance, by scale
    log_evidence: float

    def predict(
        self, linear: Array, place: Array, covariance: Array, widened: float = 1.0
    ) -> tuple[Array, Array]:
        """Readings (n, 3) at places (n, 2), with covariance (n, 3, 3) -> Lab (n, 3), covariance (n, 3, 3)."""
        base, slope = jacobian(self.map, self.theta, linear, place)
        n = len(linear)
        shared = self.residual.between(base, self.lab).reshape(n, 3, -1)
        reach = np.concatenate([slope.reshape(n, 3, -1), shared], axis=-1)
        shift, spread, scatter = self._summed
        lab = base + reach @ shift
        total = reach @ spread @ np.swapaxes(reach, -1, -2) + TAIL * scatter * self.residual.own(base)
        read = reading_slope(self.map, self.theta, linear, place)
        total = widened * total + read @ covariance @ np.swapaxes(read, -1, -2)
        return lab, (total + np.swapaxes(total, -1, -2)) / 2

    @cached_property
    def _summed(self) -> tuple[Array, Array, float]:
        """All scales at once, since every prediction is linear in how it hangs on the parameters and on the
        anchors' residuals: what both add to the map (q,), their covariance (q, q) and the mean variance of
        the residual."""
        p, m = len(self.theta), len(self.gap)
        shifts, spreads = [], []
        for scale, inverse in zip(self.scales, self.inverses, strict=True):
            cross = np.concatenate([scale.covariance @ self.slopes.T, scale.residual**2 * np.eye(m)])
            shift = cross @ (inverse @ (self.gap - self.slopes @ scale.mean))
            shift[:p] += scale.mean - self.theta
            spread = -cross @ inverse @ cross.T
            spread[:p, :p] += scale.covariance
            shifts.append(shift)
            spreads.append(spread)
        mean = self.weights @ np.array(shifts)
        off = np.array(shifts) - mean
        total = np.tensordot(self.weights, np.array(spreads), axes=1) + (self.weights[:, None] * off).T @ off
        return mean, total, float(self.weights @ [scale.residual**2 for scale in self.scales])

    def left_out(self) -> tuple[Array, Array]:
        """What each anchor is off by when the others predict it (n, 3), and its covariance (n, 3, 3)."""
        n, k, at = len(self.lab), len(self.scales), np.arange(len(self.lab))
        means = np.array([scale.mean for scale in self.scales])
        pull = (self.inverses @ (self.gap - means @ self.slopes.T)[..., None]).reshape(k, n, 3)
        blocks = np.linalg.inv(self.inverses.reshape(k, n, 3, n, 3)[:, at, :, at, :])  # (n, k, 3, 3)
        off = np.einsum("k,nkij,knj->ni", self.weights, blocks, pull)
        spread = np.einsum("k,nkij->nij", self.weights, blocks)
        return off, spread


def solve(
    map_: Map,
    scales: tuple[Scale, ...],
    residual: Residual,
    linear: Array,
    place: Array,
    covariance: Array,
    lab: Array,
    lab_covariance: Array,
    tied: Array,
    start: Array,
    rounds: int = 15,
) -> Posterior:
    """Anchors (n readings, their truths) -> what maps are likely.

    `linear` (n, 3), `place` (n, 2), `covariance` (n, 3, 3) of the readings, `lab` (n, 3) and
    `lab_covariance` (n, 3, 3) of the truths; `tied` (n, n) whether two lie on one plain surface; `start` (p,)
    a first guess. Scales that the evidence leaves less than a ten-thousandth are dropped on the way. Anchors
    that no map explains would send θ anywhere: it stays within six sd of what some scale believes.
    """
    n = len(linear)
    every = scales
    sds = np.sqrt([np.diag(scale.covariance) for scale in scales])
    limit = np.maximum(1.5 * sds.max(axis=0), 0.05)
    lowest = np.min([scale.mean - 6 * sd for scale, sd in zip(scales, sds, strict=True)], axis=0)
    highest = np.max([scale.mean + 6 * sd for scale, sd in zip(scales, sds, strict=True)], axis=0)
    theta = np.clip(start, lowest, highest)
    shared = residual.between(lab, lab)
    shared[np.arange(n), :, np.arange(n)] = residual.own(lab)
    common = np.zeros((n, 3, n, 3))
    for i, j in np.argwhere(tied & ~np.eye(n, dtype=bool)):
        # one colour, however little is known of it, but for what a plain surface varies by
        either = min(lab_covariance[i], lab_covariance[j], key=np.trace)
        own = min(_PLAIN**2, 0.5 * float(np.linalg.eigvalsh(either)[0]))
        common[i, :, j] = either - own * np.eye(3)
        shared[i, :, j] = residual.own(lab[[i]])[0]
    shared = shared.reshape(3 * n, 3 * n)
    one_colour = common.reshape(3 * n, 3 * n)
    for turn in range(rounds):
        base, slope = jacobian(map_, theta, linear, place)
        read = reading_slope(map_, theta, linear, place)
        noise = lab_covariance + read @ covariance @ np.swapaxes(read, -1, -2)
        slopes = slope.reshape(3 * n, slope.shape[-1])
        gap = (lab - base).ravel() + slopes @ theta
        sizes = np.array([scale.residual**2 for scale in scales])[:, None, None]
        priors = np.array([scale.covariance for scale in scales])
        means = np.array([scale.mean for scale in scales])
        total = slopes @ priors @ slopes.T
        total += sizes * shared
        total += block_diagonal(noise) + one_colour
        off = gap - means @ slopes.T
        pull = np.linalg.solve(total, off[..., None])[..., 0]
        evidence = (
            np.array([scale.log_weight for scale in scales])
            - 0.5 * (off * pull).sum(axis=1)
            - 0.5 * np.linalg.slogdet(total)[1]
            - 1.5 * n * np.log(2 * np.pi)
        )
        log_evidence = float(np.logaddexp.reduce(evidence))
        weights = np.exp(evidence - log_evidence)
        thetas = means + (priors @ (slopes.T @ pull.T).T[..., None])[..., 0]
        step = weights @ thetas - theta
        size = np.abs(step / limit).max()
        if turn == rounds - 1 or size < 0.02:
            break
        theta = np.clip(theta + step * min(1.0, 1 / size), lowest, highest)
        if turn >= 2:
            scales = tuple(s for s, w in zip(scales, weights, strict=True) if w > 1e-4)
    inverses = np.linalg.inv(total)
    return Posterior(
        map_, residual, theta, lab, slopes, gap, noise, every, scales, weights, inverses, log_evidence
    )
