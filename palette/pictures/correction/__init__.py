"""From linear light as shot to CIELAB as it was: what the anchors can carry, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_linear, linear_to_lab
from palette.pictures.correction.reading import AnchorReading

__all__ = ["AnchorReading", "Correction", "fit"]


@dataclass(frozen=True)
class Correction:
    """One picture's correction; `residuals` and `left_out` are CIEDE2000 per anchor, in their order."""

    gains: Array
    error: Array  # (3, 3) CIELAB
    method: str
    notes: tuple[str, ...] = ()
    residuals: Array = field(default_factory=lambda: np.zeros(0))
    left_out: Array = field(default_factory=lambda: np.zeros(0))
    contradicting: tuple[str, ...] = ()

    def apply(self, linear: Array, covariance: Array, centre: Array | None = None) -> tuple[Array, Array]:
        """Linear light (n, 3), its covariance (n, 3, 3) and where it was seen (n, 2), as fractions of the
        picture, to CIELAB (n, 3) and covariance (n, 3, 3)."""
        scaled = np.asarray(linear, dtype=np.float64) * self.gains
        lab = linear_to_lab(scaled)
        step = 1e-4
        slope = np.stack([(linear_to_lab(scaled + step * axis) - lab) / step for axis in np.eye(3)], axis=-1)
        slope = slope * self.gains
        return lab, slope @ np.asarray(covariance) @ np.swapaxes(slope, -1, -2) + self.error


def fit(
    anchors: Sequence[AnchorReading],
    *,
    light: str | float | None = None,
    kind: str = "photograph",
    year: int | None = None,
    scene: Array | None = None,
) -> Correction:
    """Fit the correction of one picture; `scene` is a small linear (h, w, 3) copy of it."""
    known = [anchor for anchor in anchors if anchor.lab is not None]
    neutral = [anchor for anchor in anchors if anchor.lab is None]
    if known:
        ratio = np.log(
            np.maximum([lab_to_linear(a.lab) for a in known if a.lab is not None], 1e-3)
            / np.maximum([a.linear for a in known], 1e-3)
        )
        gains, error = np.exp(ratio.mean(axis=0)), np.diag([9.0, 16.0, 16.0])
        lab = linear_to_lab(np.array([a.linear for a in known]) * gains)
        residuals = difference(lab, np.array([a.lab for a in known]))
        return Correction(gains, error, f"fitted on {len(known)} anchors", residuals=residuals, left_out=residuals)
    if neutral:
        mean = np.mean([np.log(np.maximum(a.linear, 1e-3)) for a in neutral], axis=0)
        return Correction(
            np.exp(mean.mean() - mean), np.diag([225.0, 25.0, 25.0]), "adapted to a neutral of unknown lightness"
        )
    return Correction(np.ones(3), np.diag([225.0, 400.0, 400.0]), "as shot")
