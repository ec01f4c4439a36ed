"""One colour from several sources, any of which may be wrong altogether.

A source is right with a probability known beforehand (its trust and its kind), and then reports the
part's colour within its own covariance; or it is wrong (another paint, a cast nobody corrected, a repaint)
and its colour says nothing of the part's. Every way to split the sources into right and wrong is a
hypothesis; each gives a Gaussian for the colour and a probability; the answer is their mixture.
So one odd source among several neither drags the answer nor vanishes from it, and two that disagree
with nobody to decide between them leave an answer wide enough to hold both.

Sources: Box & Tiao, "A Bayesian approach to some outlier problems", Biometrika 55 (1968) 119-129 (the
two-component model); Press, "Understanding data better with Bayesian and global statistical methods"
(1996, astro-ph/9604126) (its use for measurements that may be bad altogether).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.colour.uncertain import _normal_points, radius90
from palette.memory import remembered

# Surface colours at large: mean and covariance (CIELAB D65) of the 99 samples of CIE 224:2017.
ANY_LAB: Array = np.array([58.2, 2.3, 7.6])
ANY_COVARIANCE: Array = np.array([[317.0, -81.0, 163.0], [-81.0, 525.0, -47.0], [163.0, -47.0, 673.0]])

# Density of an unrelated colour, per cubic CIELAB unit: that of one colour at large met at another's place,
# the integral of the squared density above, 1 / ((4 pi)^(3/2) sqrt(det C)).
_LOG_UNRELATED = float(-1.5 * np.log(4 * np.pi) - 0.5 * np.log(np.linalg.det(ANY_COVARIANCE)))

# Exact up to eight sources; beyond, what falls away is next to impossible.
_HYPOTHESES = 256

# Two hypotheses whose colours differ by less than nineteen in twenty such differences cannot be told apart
# (chi-squared, 3 degrees of freedom).
_ALIKE = 7.81

# Evidence is in conflict when its scatter would come about less often than this if all of it were right.
CONFLICT = 0.01


@dataclass(frozen=True)
class Observation:
    """What one source says of a part: CIELAB (3,), covariance (3, 3), the chance beforehand that it is
    right at all (above 0, up to 1), and the share of its variance in L*, a* and b* that it has in common with
    others of its kind: pictures err alike where a surface looks otherwise to every camera than to the eye.
    What they have in common does not average out, and does not set them apart either. `log_gap` is the
    logarithm by which its density, spread over directions of which it knows nothing, falls short of an
    unrelated colour's: what it cannot know must not count against its being right."""

    lab: Array
    covariance: Array
    right: float
    common: tuple[float, float, float] = (0.0, 0.0, 0.0)
    log_gap: float = 0.0


@dataclass(frozen=True)
class Estimate:
    """What the sources support together.

    `lab` (3,) is the colour of the likeliest split into right and wrong; `radius90` the CIEDE2000 radius
    around it that holds nine tenths of the mixture; `covariance` (3, 3) has its shape and that radius.
    `weights` are each source's pull on the colour (they sum to at most 1), `right` the chance that each is
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


@remembered(kept=True)
def reconcile(observations: Sequence[Observation]) -> Estimate:
    """Weigh one source or more against each other."""
    labs = np.array([w.lab for w in observations], dtype=np.float64)
    covariances = np.array([_regular(w.covariance) for w in observations])
    chances = np.array([w.right for w in observations], dtype=np.float64)
    log_gap = np.array([w.log_gap for w in observations])
    common = np.array([w.common for w in observations], dtype=np.float64)
    hypotheses = _hypotheses(labs, covariances, chances, log_gap, np.sqrt(common))
    share, means, spreads = hypotheses.share, hypotheses.means, hypotheses.covariances
    right = share @ hypotheses.members
    pull = np.trace(spreads[:, None] @ np.linalg.inv(covariances)[None], axis1=2, axis2=3) / 3
    pull = hypotheses.members * pull
    weights = share @ pull
    # The variance of a mean of correlated readings: what they have in common does not average out.
    alike = 1 + (np.sqrt(pull)[..., None] * np.sqrt(common)).sum(axis=1) ** 2 - pull @ common
    spreads = _scaled(spreads, np.sqrt(alike))
    told = hypotheses.members.any(axis=1)
    lab = _told(share[told], means[told], spreads[told])
    radius, shape = _reach(lab, share, means, spreads)
    odds = scatter_odds(labs, covariances)
    return Estimate(lab, shape, radius, tuple(weights.tolist()), tuple(right.tolist()), odds < CONFLICT, odds)


def scatter_odds(labs: ArrayLike, covariances: ArrayLike) -> float:
    """The chance that colours (n, 3) with these covariances (n, 3, 3) scatter at least as much as they do
    when all report the same colour: Cochran's Q against chi-squared with 3 (n - 1) degrees of freedom."""
    labs = np.asarray(labs, dtype=np.float64)
    if len(labs) < 2:
        return 1.0
    from scipy.special import chdtrc

    precisions = np.linalg.inv(np.asarray(covariances, dtype=np.float64))
    common = np.linalg.solve(precisions.sum(axis=0), np.einsum("nij,nj->i", precisions, labs))
    off = labs - common
    return float(chdtrc(3 * (len(labs) - 1), np.einsum("ni,nij,nj->", off, precisions, off)))


@dataclass(frozen=True)
class _Hypotheses:
    """Ways to split the sources, likeliest first."""

    share: Array  # (h,) probabilities, adding up to 1
    members: Array  # (h, n) 1 where a source is taken as right
    means: Array  # (h, 3)
    covariances: Array  # (h, 3, 3)


def _scaled(covariances: Array, by: Array) -> Array:
    """Covariances (h, 3, 3) with each axis's standard deviation times `by` (h, 3)."""
    return np.asarray(covariances * by[:, :, None] * by[:, None, :])


def _hypotheses(labs: Array, covariances: Array, chances: Array, log_gap: Array, alike: Array) -> _Hypotheses:
    """Every likely split: source by source, the most precise first, keeping the best few at each step.

    `alike` (n, 3) are the roots of the shares that sources have in common: of two of one width, the
    variance of the difference is 1 - c times that of independent ones.
    """
    count = len(labs)
    log = np.zeros(1)
    members = np.zeros((1, count))
    precision = np.zeros((1, 3, 3))
    pull = np.zeros((1, 3))
    with np.errstate(divide="ignore"):
        log_right, log_wrong = np.log(chances), np.log1p(-chances)
    for i in np.argsort(np.linalg.slogdet(covariances)[1], kind="stable"):
        own = np.linalg.inv(covariances[i])
        believed = members.any(axis=1)
        fit = np.full(len(log), _LOG_UNRELATED)  # the first believed may be of any colour
        if believed.any():
            shared = alike[i] * (members[believed] @ alike) / members[believed].sum(axis=1, keepdims=True)
            total = _scaled(np.linalg.inv(precision[believed]) + covariances[i], np.sqrt(1 - shared))
            off = labs[i] - np.linalg.solve(precision[believed], pull[believed][..., None])[..., 0]
            square = np.einsum("hi,hi->h", off, np.linalg.solve(total, off[..., None])[..., 0])
            fit[believed] = -0.5 * (square + np.linalg.slogdet(total)[1] + 3 * np.log(2 * np.pi)) + log_gap[i]
        believing = members.copy()
        believing[:, i] = 1
        # Disbelief first: where two hypotheses tie, the one that believes the earlier source wins.
        log = np.concatenate([log + log_wrong[i] + _LOG_UNRELATED, log + log_right[i] + fit])
        members = np.concatenate([members, believing])
        precision = np.concatenate([precision, precision + own])
        pull = np.concatenate([pull, pull + own @ labs[i]])
        best = np.argsort(-log, kind="stable")[:_HYPOTHESES]
        best = best[np.isfinite(log[best])]
        log, members, precision, pull = log[best] - log[best[0]], members[best], precision[best], pull[best]
    share = np.exp(log)
    # Where a hypothesis leaves more open than surfaces are at large, it is they that bound it.
    root = np.linalg.cholesky(ANY_COVARIANCE)
    vague = np.linalg.eigvalsh(root.T @ precision @ root)[:, 0] < 1
    any_precision = np.linalg.inv(ANY_COVARIANCE)
    precision = precision + vague[:, None, None] * any_precision
    pull = pull + vague[:, None] * (any_precision @ ANY_LAB)
    spreads = np.asarray(np.linalg.inv(precision), dtype=np.float64)
    means = np.asarray(np.einsum("hij,hj->hi", spreads, pull), dtype=np.float64)
    return _Hypotheses(share / share.sum(), members, means, spreads)


def _regular(covariance: Array) -> Array:
    """A symmetric covariance no narrower than 0.05 in any direction: nothing is known better than that."""
    values, vectors = np.linalg.eigh((np.asarray(covariance) + np.asarray(covariance).T) / 2)
    return np.asarray(vectors * np.maximum(values, 0.05**2) @ vectors.T)


def _told(share: Array, means: Array, spreads: Array) -> Array:
    """The colour of the likeliest hypothesis that believes any source, averaged with those like it.

    Not the mean of all: between two colours that exclude each other lies one that nobody reports.
    """
    off = means - means[0]
    # By the narrower of the two: a vague hypothesis is near everything and says nothing.
    narrower = np.where(
        (np.linalg.slogdet(spreads)[1] < np.linalg.slogdet(spreads[0])[1])[:, None, None], spreads, spreads[0]
    )
    square = np.einsum("hi,hi->h", off, np.linalg.solve(2 * narrower, off[..., None])[..., 0])
    like = square < _ALIKE
    return np.asarray(np.average(means[like], axis=0, weights=share[like]))


def _reach(lab: Array, share: Array, means: Array, spreads: Array) -> tuple[float, Array]:
    """The radius around `lab` that holds nine tenths of the mixture, and a covariance of that radius and of
    the shape of what lies within."""
    told = share > 1e-5
    roots = np.linalg.cholesky(spreads[told])
    cloud = (means[told][:, None] + _normal_points() @ np.swapaxes(roots, 1, 2)).reshape(-1, 3)
    mass = np.repeat(share[told] / len(_normal_points()), len(_normal_points()))
    far = difference(lab, cloud)
    order = np.argsort(far)
    radius = float(np.interp(0.9, np.cumsum(mass[order]) / mass.sum(), far[order]))
    near = far <= radius
    off = cloud[near] - lab
    shape = (off * mass[near, None]).T @ off / mass[near].sum()
    for _ in range(4):
        shape = shape * (radius / max(radius90(lab, shape), 1e-9)) ** 2
    return radius, shape
