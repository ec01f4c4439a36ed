"""Colours for small scales: lighter and greyer, as the air between makes a large thing seen from afar.

A model at 1:72 held at arm's length looks as large as its original from some fifty metres off. Common
practice, no source: modellers let colours down by about a twentieth at 1:24, a tenth at 1:48 and a seventh
at 1:72. The share here grows with the scale as a haze does, 1 − exp(−N / 456), which is a tenth at 1:48,
and every colour moves by it towards a pale neutral grey, so that whites go a little darker too.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array

HAZE = np.array([80.0, 0.0, 0.0])
_LENGTH = 456.0
_MOST = 0.3  # beyond this a colour would no longer be recognised


def share(scale: float) -> float:
    """How far colours move towards the haze, 0..1, at 1:`scale`."""
    return min(float(1 - np.exp(-scale / _LENGTH)), _MOST)


def lightened(lab: ArrayLike, scale: float) -> Array:
    """CIELAB (…, 3) as it is painted at 1:`scale`."""
    colour = np.asarray(lab, dtype=np.float64)
    return np.asarray(colour + share(scale) * (HAZE - colour))


def rule(scale: float) -> str:
    """What is done, in words to print."""
    return (
        f"Scale effect at 1:{scale:g}: every colour to paint lies {100 * share(scale):.0f} % of the way from "
        f"the original’s to a pale neutral grey (L* {HAZE[0]:.0f}), lighter and greyer, as through air. "
        "Common practice, no source."
    )
