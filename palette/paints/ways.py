"""Every way to a colour with the paints of a list: one paint straight, or a few mixed in whole drops.

`mixing.mixes` finds the best few recipes from all paints; who wants to know which paints to buy needs the
best recipe of every set of paints that comes near enough. Most sets are passed over unseen, by the bounds of
`mixing.search`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.paints.mixing.colourants import Colourants, colourants
from palette.paints.mixing.search import within
from palette.swatches.model import SwatchList


@dataclass(frozen=True, eq=False)
class Ways:
    """m sets of paints, each with its best recipe for one colour."""

    paints: NDArray[np.int64]  # (m, p) rows of the list, −1 where a set has fewer than p
    drops: NDArray[np.int64]  # (m, p), 0 likewise
    difference: Array  # (m,), CIEDE2000, predicted
    expected_error: Array  # (m,), CIEDE2000, of that prediction; 0 for a paint straight


def ways(
    labs: Array,
    swatches: SwatchList,
    farthest: float,
    max_paints: int = 2,
    max_drops: int = 12,
    mixed: Collection[str] | None = None,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> list[Ways]:
    """The ways to each of `labs` (n, 3): every paint straight, every set of two or more that comes within
    `farthest` (CIEDE2000), of all paints or of those whose ids are in `mixed`.

    Retired and clear paints are no way to a colour; metallic and fluorescent ones only straight.
    `progress` is told how many colours of how many are done.
    """
    paints = colourants(swatches)
    shown = [i for i, s in enumerate(swatches.swatches) if not s.retired]
    straight = np.array([i for i in shown if paints.unmixable.get(paints.ids[i]) != "clear"], dtype=np.int64)
    able = [i for i in straight if paints.ids[i] not in paints.unmixable]
    mixing = np.array([i for i in able if mixed is None or paints.ids[i] in mixed], dtype=np.int64)
    found: list[list[Ways]] = []
    for lab in labs:
        one = np.full((len(straight), max_paints), -1)
        one[:, 0] = straight
        found.append(
            [
                Ways(
                    one,
                    (one >= 0).astype(np.int64),
                    difference(lab, paints.lab[straight]),
                    np.zeros(len(one)),
                )
            ]
        )
    for done, (lab, so_far) in enumerate(zip(labs, found, strict=True)):
        progress(done, len(labs))
        for p in range(2, min(max_paints, max_drops) + 1):
            so_far.append(_mixed(lab, paints, mixing, p, farthest, max_paints, max_drops))
    return [
        Ways(
            np.concatenate([w.paints for w in each]),
            np.concatenate([w.drops for w in each]),
            np.concatenate([w.difference for w in each]),
            np.concatenate([w.expected_error for w in each]),
        )
        for each in found
    ]


def _mixed(
    lab: Array,
    paints: Colourants,
    mixed: NDArray[np.int64],
    p: int,
    farthest: float,
    width: int,
    max_drops: int,
) -> Ways:
    which, recipe, off = within(paints, mixed, lab, p, max_drops, farthest)
    rows, drops = np.full((len(which), width), -1), np.zeros((len(which), width), dtype=np.int64)
    rows[:, :p], drops[:, :p] = which, recipe
    error = paints.expected_errors(which, recipe / recipe.sum(axis=1, keepdims=True))
    return Ways(rows, drops, off, error)
