"""What a model of a picture's handling must say to be tried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from palette.colour.spaces import Array
from palette.notes import Note


@dataclass(frozen=True)
class Belief:
    """A normal prior of a model's parameters, and the log of the chance that it is the one that holds."""

    mean: Array  # (p,)
    covariance: Array  # (p, p)
    log_weight: float
    residual: tuple[float, float]  # how far colours lie from its maps: log of the scale, and its sd

    def with_marginal(self, rows: Array, mean: Array, covariance: Array) -> Belief:
        """The belief with the distribution of `rows` (r, p) @ θ put to N(mean, covariance), all else
        following."""
        spread = rows @ self.covariance @ rows.T
        pull = self.covariance @ rows.T @ np.linalg.inv(spread)
        return replace(
            self,
            mean=self.mean + pull @ (mean - rows @ self.mean),
            covariance=self.covariance - pull @ (spread - covariance) @ pull.T,
        )

    def seen(self, which: slice, value: Array, noise: Array) -> Belief:
        """The belief after some parameters (k) were seen to be `value`, give or take `noise` (k, k); its
        weight stands."""
        total = self.covariance[which, which] + noise
        pull = self.covariance[:, which] @ np.linalg.inv(total)
        return replace(
            self,
            mean=self.mean + pull @ (value - self.mean[which]),
            covariance=self.covariance - pull @ self.covariance[which, :],
        )


@dataclass(frozen=True)
class Model:
    """One way a surface's colour may have become a reading, as the map that undoes it.

    `undo(theta (…, p), linear (n, 3), place (n, 2))` gives linear light under D65 (…, n, 3). `gain` is where
    the three log gains stand among the parameters, `fall` where the uneven light does. `beliefs(kind, year,
    anchors)` gives the priors for a kind of reference with so many anchors of known lightness, none where the
    model does not apply; `says(theta, covariance)` what of a fit is worth telling, the uneven light given as
    log exposure from side to side, from top to bottom, and from the middle to the corners.
    `start(mean, seen, want)` is a first guess (p,) at a fit, from the anchors' linear light as seen and as
    wanted (n, 3); `unfaded(theta, linear)` is linear light (…, 3) of the picture before it faded.
    `blotch` is the sd of log light by which a reading may differ from place to place under this model.
    """

    name: str
    undo: Callable[[Array, Array, Array], Array]
    gain: slice
    fall: slice
    beliefs: Callable[[str, int | None, int], tuple[Belief, ...]]
    says: Callable[[Array, Array], tuple[Note, ...]]
    start: Callable[[Array, Array, Array], Array]
    unfaded: Callable[[Array, Array], Array] = lambda theta, linear: linear
    blotch: float = 0.0

    def __reduce__(self) -> tuple[Callable[[str], Model], tuple[str]]:
        return _registered, (self.name,)

    def __content__(self) -> str:
        return self.name


def _registered(name: str) -> Model:
    from palette.evidence.correction.models import models

    return next(model for model in models() if model.name == name)
