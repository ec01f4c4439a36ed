"""One colour from several witnesses, any of which may be wrong altogether.

A witness is right with a probability known beforehand (its trust and its kind), and then reports the
part's colour within its own covariance; or it is wrong (another paint, a cast nobody corrected, a repaint)
and its colour says nothing of the part's. Every way to split the witnesses into right and wrong is a
hypothesis; each gives a Gaussian for the colour and a probability; the answer is their mixture.
So one odd witness among several neither drags the answer nor vanishes from it, and two that disagree
with nobody to decide between them leave an answer wide enough to hold both.

Sources: Box & Tiao, "A Bayesian approach to some outlier problems", Biometrika 55 (1968) 119-129 (the
two-component model); Press, "Understanding data better with Bayesian and global statistical methods"
(1996, astro-ph/9604126) (its use for measurements that may be bad altogether).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.colour.uncertain import radius90

# Surface colours at large: mean and covariance (CIELAB D65) of the 99 samples of CIE 224:2017.
ANY_LAB: Array = np.array([58.2, 2.3, 7.6])
ANY_COVARIANCE: Array = np.array([[317.0, -81.0, 163.0], [-81.0, 525.0, -47.0], [163.0, -47.0, 673.0]])

# Density of an unrelated colour, per cubic CIELAB unit: that of one colour at large met at another's place,
# the integral of the squared density above, 1 / ((4 pi)^(3/2) sqrt(det C)).
_LOG_STRAY = float(-1.5 * np.log(4 * np.pi) - 0.5 * np.log(np.linalg.det(ANY_COVARIANCE)))

# Two dozen hypotheses usually hold everything; this many keep the search exact up to eight witnesses.
_HYPOTHESES = 256

# Evidence is in conflict when its scatter would come about less often than this if all of it were right.
CONFLICT = 0.01


@dataclass(frozen=True)
class Witness:
    """What one source says of a part: CIELAB (3,), covariance (3, 3), and the chance beforehand that it is
    right at all, 0..1."""

    lab: Array
    covariance: Array
    right: float


@dataclass(frozen=True)
class Verdict:
    """What the witnesses support together.

    `lab` (3,) is the colour least far from the truth in expectation; `radius90` the CIEDE2000 radius around
    it that holds nine tenths of the mixture; `covariance` (3, 3) has the mixture's shape and that radius.
    `weights` are each witness's pull on the colour (they sum to at most 1), `right` the chance that each is
    right after all. `odds` is the chance of scatter this large were all right; `conflict` says it is below
    one in a hundred.
    """

    lab: Array
    covariance: Array
    radius90: float
    weights: tuple[float, ...]
    right: tuple[float, ...]
    conflict: bool
    odds: float


def reconcile(witnesses: Sequence[Witness]) -> Verdict:
    """Weigh one witness or more against each other."""
    covariances = [_regular(w.covariance) for w in witnesses]
    labs = [np.asarray(w.lab, dtype=np.float64) for w in witnesses]
    hypotheses = _hypotheses(labs, covariances, [w.right for w in witnesses])
    share = np.exp([h.log_weight for h in hypotheses])
    share /= share.sum()
    precisions = [np.linalg.inv(c) for c in covariances]
    weights, right = np.zeros(len(labs)), np.zeros(len(labs))
    points, mass = [], []
    for hypothesis, probability in zip(hypotheses, share, strict=True):
        mean, covariance = hypothesis.gaussian()
        for i in hypothesis.members:
            right[i] += probability
            weights[i] += probability * float(np.trace(covariance @ precisions[i])) / 3
        if probability > 1e-5:
            spread = _points() @ np.linalg.cholesky(covariance).T
            points.append(mean + spread)
            mass.append(np.full(len(spread), probability / len(spread)))
    cloud, masses = np.concatenate(points), np.concatenate(mass)
    lab = _median(cloud, masses)
    radius, shape = _radius(lab, cloud, masses)
    odds = scatter_odds(labs, covariances)
    return Verdict(
        lab, shape, radius, tuple(weights.tolist()), tuple(right.tolist()), odds < CONFLICT, odds
    )


def scatter_odds(labs: Sequence[Array], covariances: Sequence[Array]) -> float:
    """The chance that colours (n of (3,)) with these covariances scatter at least as much as they do when
    all report the same colour: Cochran's Q against chi-squared with 3 (n - 1) degrees of freedom."""
    if len(labs) < 2:
        return 1.0
    from scipy.stats import chi2

    precisions = [np.linalg.inv(c) for c in covariances]
    common = np.linalg.solve(sum(precisions), sum(p @ y for p, y in zip(precisions, labs, strict=True)))
    q = sum(float((y - common) @ p @ (y - common)) for p, y in zip(precisions, labs, strict=True))
    return float(chi2.sf(q, 3 * (len(labs) - 1)))


@dataclass(frozen=True)
class _Hypothesis:
    log_weight: float
    members: tuple[int, ...]  # the witnesses taken as right
    precision: Array  # (3, 3), zero while there are none
    pull: Array  # precision @ mean

    def gaussian(self) -> tuple[Array, Array]:
        if not self.members:
            return ANY_LAB, ANY_COVARIANCE
        covariance = np.linalg.inv(self.precision)
        return covariance @ self.pull, (covariance + covariance.T) / 2


def _hypotheses(labs: list[Array], covariances: list[Array], right: list[float]) -> list[_Hypothesis]:
    """The likeliest ways to split the witnesses, most precise witness first, pruned to the best few."""
    found = [_Hypothesis(0.0, (), np.zeros((3, 3)), np.zeros(3))]
    for i in sorted(range(len(labs)), key=lambda i: float(np.linalg.slogdet(covariances[i])[1])):
        precision = np.linalg.inv(covariances[i])
        grown = []
        for h in found:
            if right[i] < 1:
                wrong = h.log_weight + np.log1p(-right[i]) + _LOG_STRAY
                grown.append(_Hypothesis(wrong, h.members, h.precision, h.pull))
            if right[i] > 0:
                fit = _LOG_STRAY  # the first to speak may say anything
                if h.members:
                    mean, covariance = h.gaussian()
                    total = covariance + covariances[i]
                    off = labs[i] - mean
                    fit = -0.5 * (
                        float(off @ np.linalg.solve(total, off))
                        + float(np.linalg.slogdet(total)[1])
                        + 3 * np.log(2 * np.pi)
                    )
                grown.append(
                    _Hypothesis(
                        h.log_weight + np.log(right[i]) + fit,
                        (*h.members, i),
                        h.precision + precision,
                        h.pull + precision @ labs[i],
                    )
                )
        grown.sort(key=lambda h: -h.log_weight)
        best = grown[0].log_weight
        found = [
            _Hypothesis(h.log_weight - best, h.members, h.precision, h.pull) for h in grown[:_HYPOTHESES]
        ]
    return found


def _points() -> Array:
    from palette.colour.uncertain import _normal_points

    return _normal_points()


def _regular(covariance: Array) -> Array:
    """A symmetric covariance no narrower than 0.05 in any direction: nothing is known better than that."""
    values, vectors = np.linalg.eigh((np.asarray(covariance) + np.asarray(covariance).T) / 2)
    return np.asarray(vectors * np.maximum(values, 0.05**2) @ vectors.T)


def _median(cloud: Array, mass: Array) -> Array:
    """The geometric median of a weighted cloud (n, 3) by Weiszfeld's steps, from the best of its mass.

    Distances are CIELAB's; for one Gaussian it is the mean. Between two far colours it keeps to the likelier.
    """
    lab = np.average(cloud, axis=0, weights=mass)
    for _ in range(200):
        pull = mass / np.maximum(np.linalg.norm(cloud - lab, axis=1), 1e-6)
        new = pull @ cloud / pull.sum()
        if np.linalg.norm(new - lab) < 1e-4:
            return np.asarray(new)
        lab = new
    return np.asarray(lab)


def _radius(lab: Array, cloud: Array, mass: Array) -> tuple[float, Array]:
    """The radius around `lab` that holds nine tenths of the cloud, and a covariance of that radius and of
    the shape of what lies within."""
    far = difference(lab, cloud)
    order = np.argsort(far)
    radius = float(np.interp(0.9, np.cumsum(mass[order]), far[order]))
    near = far <= radius
    off = cloud[near] - lab
    shape = (off * mass[near, None]).T @ off / mass[near].sum()
    for _ in range(4):
        shape = shape * (radius / max(radius90(lab, shape), 1e-9)) ** 2
    return radius, shape
