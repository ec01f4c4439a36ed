"""Words for colours, after the ISCC-NBS system: a modifier and a hue, "dark greyish green".

A colour's name is that of the nearest of the 267 ISCC-NBS centroid colours in CIELAB, but where people
agree on the basic hue of colours round about, names of that hue come nearer. So "very dark blue" stays
blue although CIELAB bends its blues towards violet. How far a vote reaches and how much it moves were
chosen by cross-validation on the learnt part of the survey; `python -m tests.benchmarks.names` reports on
the other part.

Source: Kelly & Judd, "Color: Universal Language and Dictionary of Names", NBS Special Publication 440
(1976), from memory; the centroid colours confirmed against the dictionary in Debian's
libcolor-library-perl. Those that lie outside sRGB, or contradict their names, are our own
(`data/iscc_nbs.csv` marks them). The votes (`data/survey.csv`) are of the survey whose results matplotlib
ships (XKCD_COLORS, public domain).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palette.colour.spaces import Array
from palette.colour.tables import rows

_NEUTRALS = ("black", "dark grey", "medium grey", "light grey", "white")
_NO_HUE = 2.0  # C*; ISCC-NBS ends its neutrals at Munsell chroma 0.5 or so (from memory)

_REACH = 4.0  # CIELAB: how far one vote of the survey reaches
_PULL = 80.0  # CIELAB: how much nearer a name comes where all agree on its hue
_DOUBT = 1.0  # votes that no hue gets


def name(lab: ArrayLike) -> str:
    """The ISCC-NBS name of one CIELAB D65 colour (3,), in British spelling: 'dark greyish green'."""
    return names(np.asarray(lab, dtype=np.float64).reshape(1, 3))[0]


def names(lab: ArrayLike) -> list[str]:
    """The ISCC-NBS names of CIELAB D65 colours (n, 3)."""
    flat = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
    known = _centroids()[0]
    return [
        known[i]
        for start in range(0, len(flat), 4096)
        for i in np.argmin(_far(flat[start : start + 4096]), 1)
    ]


def nearest_names(lab: ArrayLike, count: int) -> list[str]:
    """The `count` ISCC-NBS names nearest to one CIELAB D65 colour (3,), nearest first."""
    known = _centroids()[0]
    return [known[i] for i in np.argsort(_far(np.asarray(lab, dtype=np.float64).reshape(1, 3))[0])[:count]]


def basic_hue(name: str) -> str:
    """The last word of a name, violet being a purple: 'purplish red' is a red."""
    last = name.rsplit(" ", 1)[-1]
    return "purple" if last == "violet" else last


def _far(lab: Array) -> Array:
    """How far each name (267 columns) is from CIELAB colours (n, 3), less what the votes take off."""
    _, centroids, neutral = _centroids()
    voted, votes = _votes()
    far = np.linalg.norm(lab[:, None, :] - centroids, axis=-1)
    weight = np.exp(-np.sum((lab[:, None, :] - voted) ** 2, axis=-1) / (2 * _REACH**2))
    share = (weight @ votes) / (weight.sum(axis=1, keepdims=True) + _DOUBT)
    far = far - _PULL * share**2
    # So near grey no hue is seen, whichever centroid's lightness lies nearer.
    grey = np.hypot(lab[:, 1], lab[:, 2]) < _NO_HUE
    far[np.ix_(grey, ~neutral)] = np.inf
    return np.asarray(far)


@cache
def _centroids() -> tuple[list[str], Array, NDArray[np.bool_]]:
    table = rows("iscc_nbs.csv")
    known = [row[0] for row in table]
    return known, np.array([row[1:4] for row in table], dtype=np.float64), np.isin(known, _NEUTRALS)


@cache
def _votes() -> tuple[Array, Array]:
    """The survey's colours (m, 3), and for each name whether its hue is what people said, (m, 267)."""
    table = rows("survey.csv")
    said = np.array([row[1] for row in table])
    hue = np.array([basic_hue(known) for known in _centroids()[0]])
    return np.array([row[2:5] for row in table], dtype=np.float64), (said[:, None] == hue).astype(np.float64)
