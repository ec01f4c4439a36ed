"""What people wrote or saw, as factors on a colour: never a veto."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from palette.colour.spaces import Array
from palette.kit.model import Hint, Kit

_SURELY = 0.95  # the most that any testimony is believed
_LIGHTER = 0.9  # how often "lighter than", read off a picture, is right
_LIGHTER_NOISE = 2.0  # L*: how close two lightnesses may be told apart


def hint_factor(hint: Hint, lab: Array, typical: Array) -> Array:
    """How much likelier the words are for each colour (n, 3) than for a surface at random, (n,).

    With probability `trust` the words are true, of a region that is wider the less they are trusted;
    otherwise they say nothing. `typical` (m, 3) are surfaces at random.

    Raises:
        palette.colour.spoken.UnknownWords
    """
    from palette.colour.spoken import parse

    region = parse(hint.words)
    trust = min(max(hint.trust, 0.0), 1.0)
    covariance = region.covariance / max(trust, 0.2)
    precision = np.linalg.inv(covariance)

    def density(colours: Array) -> Array:
        off = colours - region.lab
        return np.asarray(np.exp(-0.5 * np.einsum("ni,ij,nj->n", off, precision, off)))

    truth = trust * _SURELY
    return np.asarray(truth * density(lab) / max(float(density(typical).mean()), 1e-12) + 1 - truth)


def lighter_factor(lightness: Array, other: Array, weight: Array, lighter: bool) -> Array:
    """How a part's being lighter (or darker) than another weighs on its lightness (n,), as (n,) factors.

    The other's lightness is `other` (m,) with weights (m,) that sum to 1.
    """
    from scipy.special import ndtr

    order = np.argsort(other)
    points = np.linspace(-5.0, 110.0, 231)
    below = np.interp(points, other[order], np.cumsum(weight[order]), left=0.0, right=1.0)
    kernel = ndtr((points[:, None] - points[None, :]) / _LIGHTER_NOISE)  # P(noisy x above y)
    mass = np.diff(below, prepend=0.0)
    chance = np.interp(lightness, points, kernel @ mass)
    if not lighter:
        chance = 1 - chance
    return np.asarray(_LIGHTER * chance + (1 - _LIGHTER) * 0.5)


def combined(factors: Sequence[Array], count: int) -> Array:
    """The product of factors (n,), 1 where there are none."""
    total = np.ones(count)
    for factor in factors:
        total = total * factor
    return total


def relations(kit: Kit, paint: Mapping[str, str]) -> list[tuple[str, str]]:
    """(lighter, darker) pairs of paints, as the parts' `than` tables say."""
    return [
        (paint[part.id], paint[than.lighter])
        for part in kit.parts
        for than in part.thans
        if than.lighter in paint and paint[part.id] != paint[than.lighter]
    ]
