"""Of a very long list, the paints that are worth mixing for one colour.

What the mixing model knows of a paint is large and takes time to work out, and pairs grow with the square of
their number. So of more than `MIXED` paints those are kept that come nearest to the colour when mixed, by the
plainest law there is, with one of a few paints spread over the whole list. That law only ranks; what the
paints give is then worked out by the model.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palette.colour.spaces import Array, lab_to_xyz, xyz_to_lab
from palette.paints.mixing.colourants import with_whites
from palette.swatches.kinds import unmixable
from palette.swatches.model import SwatchList

MIXED = 1000  # paints
QUICK = 500  # the same for a quick answer
_PARTNERS = 24
_SHARES = (0.25, 0.5, 0.75)
_DARKEST = 1e-4  # of the reflectance that K/S is worked out from
_CELL = 0.25  # of L*, a* and b*; less than anybody sees
_ROWS = 8192  # at a time


def promising(lab: ArrayLike, swatches: SwatchList, most: int = MIXED) -> SwatchList:
    """The `most` paints of a list that come nearest to a colour, CIELAB D65 (3,), when mixed with one other,
    as far as a quick look tells, with the whites of their let-downs; the list itself where no more than that
    can be mixed. What is not mixed, such as a metallic paint, is left out.
    """
    able = np.array([i for i, s in enumerate(swatches.swatches) if unmixable(s) is None], dtype=np.int64)
    if len(able) <= most:
        return swatches
    target = np.asarray(lab, dtype=np.float64)
    have = swatches.lab[able]
    ratio = _ratio(have)
    partners = ratio[_spread(have, target)]
    near = np.concatenate(
        [_nearest(ratio[at : at + _ROWS], partners, target) for at in range(0, len(ratio), _ROWS)]
    )
    near = np.minimum(near, ((have - target) ** 2).sum(axis=1))
    order = np.argsort(near, kind="stable")
    twin = _seen_before(have[order])  # two that nobody can tell apart mix alike: others come first
    order = np.concatenate([order[~twin], order[twin]])[:most]
    return with_whites(swatches, np.sort(able[order]).tolist())


def named(swatches: SwatchList, ids: Iterable[str]) -> SwatchList:
    """Of a very long list the paints of some ids, and the whites that theirs were let down in; a shorter list
    as it is, since all of it is made ready for mixing anyway."""
    if len(swatches) <= MIXED:
        return swatches
    wanted = set(ids)
    return with_whites(swatches, [i for i, id in enumerate(swatches.ids) if id in wanted])


def _seen_before(lab: Array) -> NDArray[np.bool_]:
    """Which colours (n,) stand in the same cell of a fine grid as one before them."""
    cell = np.round(lab / _CELL).astype(np.int64) @ np.array([1, 1 << 20, 1 << 40])
    _, first = np.unique(cell, return_index=True)
    before = np.ones(len(lab), dtype=bool)
    before[first] = False
    return before


def _ratio(lab: Array) -> Array:
    """K/S (n, 3) of colours, as if X, Y and Z were three wavelengths (Kubelka and Munk's infinite layer)."""
    reflectance = np.clip(lab_to_xyz(lab) / _white(), _DARKEST, 1.0)
    return np.asarray((1 - reflectance) ** 2 / (2 * reflectance))


def _white() -> Array:
    return lab_to_xyz(np.array([100.0, 0.0, 0.0]))


def _nearest(ratio: Array, partners: Array, target: Array) -> Array:
    """The square of the least CIE 1976 difference (n,) that mixtures with any of the partners come to."""
    least = np.full(len(ratio), np.inf)
    for partner in partners:
        for share in _SHARES:
            mixed = share * ratio + (1 - share) * partner
            reflectance = 1 + mixed - np.sqrt(mixed * (mixed + 2))
            off = ((xyz_to_lab(reflectance * _white()) - target) ** 2).sum(axis=1)
            np.minimum(least, off, out=least)
    return least


def _spread(lab: Array, target: Array) -> NDArray[np.int64]:
    """Rows of a few colours spread over all: the one nearest to the target, then always the farthest from
    those taken."""
    off = ((lab - target) ** 2).sum(axis=1)
    rows = [int(off.argmin())]
    apart = np.full(len(lab), np.inf)
    while len(rows) < _PARTNERS:
        np.minimum(apart, ((lab - lab[rows[-1]]) ** 2).sum(axis=1), out=apart)
        rows.append(int(apart.argmax()))
    return np.array(rows, dtype=np.int64)
