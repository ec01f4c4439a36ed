"""Every way to a colour with the paints of a list: one paint straight, or a few mixed in whole drops.

`mixing.mixes` finds the best few recipes from all paints; who wants to know which paints to buy needs the
best recipe of every set of paints that comes near enough. Most sets are passed over unseen: at every
wavelength a mixture reflects no less than its least and no more than its most reflecting paint (K/S of a
mixture lies between those of its paints), which bounds X, Y, Z and their differences.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_xyz
from palette.colour.spectra import tristimulus
from palette.paints.mixing.colourants import Colourants, colourants
from palette.paints.mixing.search import compositions
from palette.paints.swatches import SwatchList

_KEPT = np.array([[1, 0, 0, 1, 0], [0, 1, 0, -1, 1], [0, 0, 1, 0, -1]], dtype=np.float64)
_BLOCK = 65536  # sets of paints bounded at a time
_RECIPES = 16384  # recipes tried at a time


@dataclass(frozen=True, eq=False)
class Ways:
    """m sets of paints, each with its best recipe for one colour."""

    paints: NDArray[np.int64]  # (m, p) rows of the list, −1 where a set has fewer than p
    drops: NDArray[np.int64]  # (m, p), 0 likewise
    difference: Array  # (m,), CIEDE2000, predicted
    expected_error: Array  # (m,), CIEDE2000, of that prediction; 0 for a paint straight


def ways(
    labs: Array, swatches: SwatchList, farthest: float, max_paints: int = 2, max_drops: int = 12
) -> list[Ways]:
    """The ways to each of `labs` (n, 3): every paint straight, every set of two or more that comes within
    `farthest` (CIEDE2000).

    Retired and clear paints are no way to a colour; metallic and fluorescent ones only straight.
    """
    paints = colourants(swatches)
    shown = [i for i, s in enumerate(swatches.swatches) if not s.retired]
    straight = np.array([i for i in shown if paints.unmixable.get(paints.ids[i]) != "clear"], dtype=np.int64)
    mixed = np.array([i for i in straight if paints.ids[i] not in paints.unmixable], dtype=np.int64)
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
    for p in range(2, min(max_paints, max_drops) + 1):
        sets = np.array(list(combinations(mixed, p)), dtype=np.int64).reshape(-1, p)
        for lab, so_far in zip(labs, found, strict=True):
            so_far.append(_mixed(lab, paints, sets, farthest, max_paints, max_drops))
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
    lab: Array, paints: Colourants, sets: NDArray[np.int64], farthest: float, width: int, max_drops: int
) -> Ways:
    sets = sets[_possible(lab, paints, sets, farthest)]
    p = sets.shape[1]
    recipes = compositions(p, max_drops)
    shares = recipes / recipes.sum(axis=1, keepdims=True)
    off = np.empty(len(sets))
    which = np.empty(len(sets), dtype=np.int64)
    step = max(1, _RECIPES // len(recipes))
    for start in range(0, len(sets), step):
        part = sets[start : start + step]
        made = paints.predict(np.tile(shares, (len(part), 1)), np.repeat(part, len(recipes), axis=0))
        each = difference(lab, made).reshape(len(part), len(recipes))
        which[start : start + step] = each.argmin(axis=1)
        off[start : start + step] = each.min(axis=1)
    near = off <= farthest
    rows, drops = np.full((int(near.sum()), width), -1), np.zeros((int(near.sum()), width), dtype=np.int64)
    rows[:, :p], drops[:, :p] = sets[near], recipes[which[near]]
    error = [paints.expected_error(s, n / n.sum()) for s, n in zip(sets[near], drops[:, :p], strict=True)]
    return Ways(rows, drops, off[near], np.array(error, dtype=np.float64))


def _possible(lab: Array, paints: Colourants, sets: NDArray[np.int64], farthest: float) -> NDArray[np.bool_]:
    """Which sets may reach a colour within `farthest`: their bounds of X, Y, Z, X − Y and Y − Z, each over
    its white's, meet those of all colours that near."""
    table, white = tristimulus("D65")
    rim = _rim(lab, farthest)
    seen = lab_to_xyz(rim, white) / white @ _KEPT
    least, most = seen.min(axis=0) - 1e-6, seen.max(axis=0) + 1e-6
    kept = table / white @ _KEPT
    up, down = np.maximum(kept, 0), np.minimum(kept, 0)
    n = len(paints.ids)
    film = paints.spectra(np.ones((n, 1)), np.arange(n)[:, None])
    ok = np.zeros(len(sets), dtype=bool)
    for start in range(0, len(sets), _BLOCK):
        part = sets[start : start + _BLOCK]
        low, high = film[part[:, 0]], film[part[:, 0]]
        for column in part.T[1:]:
            low, high = np.minimum(low, film[column]), np.maximum(high, film[column])
        reach = (low @ up + high @ down <= most) & (high @ up + low @ down >= least)
        ok[start : start + _BLOCK] = reach.all(axis=1)
    return ok


def _rim(lab: Array, farthest: float) -> Array:
    """Colours a little beyond `farthest` from `lab` in many directions."""
    directions = np.random.default_rng(1).standard_normal((600, 3))
    directions /= np.linalg.norm(directions, axis=1, keepdims=True)
    low, high = np.zeros(len(directions)), np.full(len(directions), 400.0)
    for _ in range(24):
        middle = (low + high) / 2
        inside = difference(lab, lab + directions * middle[:, None]) <= farthest
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return np.asarray(lab + directions * (1.05 * high + 0.01)[:, None])
