"""What an anchor measured, before anything is corrected."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from palette.colour.spaces import Array


@dataclass(frozen=True)
class AnchorReading:
    """A surface of known colour as the picture shows it.

    `linear` (3,) and `covariance` (3, 3) of that mean are linear light, sRGB primaries. `lab` (3,) is the
    true CIELAB D65, or None for a neutral of unknown lightness. What is unsure about it is `lab_covariance`
    (3, 3) where that is known, else `spread`, the CIEDE2000 radius that holds the truth nine times in ten.
    `centre` is (x / width, y / height) in the picture, `clipped` (3,) the share of clipped pixels.
    """

    name: str
    linear: Array
    covariance: Array
    lab: Array | None
    lab_covariance: Array | None = None
    spread: float = 1.0
    centre: tuple[float, float] | None = None
    clipped: Array = field(default_factory=lambda: np.zeros(3))
