"""A colour that came from evidence: a mean and a 3×3 covariance in CIELAB."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.memory import remembered


@dataclass(frozen=True)
class Uncertain:
    """CIELAB D65 mean (3,) and covariance (3, 3)."""

    lab: Array
    covariance: Array

    @property
    def radius90(self) -> float:
        return radius90(self.lab, self.covariance)


@cache
def _normal_points(count: int = 4096) -> Array:
    """Fixed standard normal points (count, 3), made symmetric and exactly white, so answers repeat."""
    half = np.random.default_rng(20150).standard_normal((count // 2, 3))
    points = np.concatenate([half, -half])
    root = np.linalg.cholesky(np.linalg.inv(np.cov(points.T, bias=True)))
    return np.asarray(points @ root)


@remembered()
def radius90(lab: Array, covariance: Array, share: float = 0.9) -> float:
    """The CIEDE2000 radius around `lab` that holds `share` of N(lab, covariance)."""
    values, vectors = np.linalg.eigh(np.asarray(covariance, dtype=np.float64))
    spread = _normal_points() * np.sqrt(np.maximum(values, 0.0)) @ vectors.T
    return float(np.quantile(difference(lab, np.asarray(lab, dtype=np.float64) + spread), share))
