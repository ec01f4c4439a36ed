"""What is believed of a paint before anything is known of it."""

from __future__ import annotations

from functools import cache

import numpy as np

from palette.paints.mixing.inference import N, Prior


@cache
def prior() -> Prior:
    """Smooth ln K/S; scattering that falls as absorption wins."""
    nm = np.arange(N)
    gap = nm[:, None] - nm[None, :]
    q = 2.2**2 * np.exp(-np.abs(gap) / 20) * np.exp(-((gap / 12) ** 2)) + 1.5**2 + 1e-6 * np.eye(N)
    # ln S = -0.35 × mean ln-ratio above the white's − 0.08 × the rest, and what that leaves unsaid
    mean_q = np.full(N, -0.7)
    average = np.full((N, N), 1 / N)
    slope = -0.35 * average - 0.08 * (np.eye(N) - average)
    mean_s = slope @ (mean_q + 5.0)
    s = slope @ q @ slope.T + 0.6**2 + 0.3**2 * np.exp(-((gap / 10) ** 2)) + 1e-6 * np.eye(N)
    cross = slope @ q
    return Prior(np.concatenate([mean_q, mean_s]), np.block([[q, cross.T], [cross, s]]))
