"""How far off a recipe may be expected to be, and whether that is a match: the one place that says "within".

What is predicted counts, and so does the error of the prediction: a recipe that is predicted to be 2.9 off
and may miss that by 8 is no match. With all of the error counted, nine in ten of those called a match are
one, and parts come nearer to their colours (`python -m tests.benchmarks.choosing`).
"""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array

DOUBT = 1.0  # the share of a prediction's error that counts


def expected(difference: float | Array, error: float | Array) -> Array:
    """The CIEDE2000 by which recipes may be expected to be off, of the `difference` that is predicted and the
    `error` of that prediction; shapes as they broadcast."""
    return np.hypot(difference, DOUBT * np.asarray(error))


def within(difference: float | Array, error: float | Array, tolerance: float) -> np.bool_ | np.ndarray:
    """Whether recipes are a match: expected to be no further off than the tolerance."""
    return expected(difference, error) <= tolerance
