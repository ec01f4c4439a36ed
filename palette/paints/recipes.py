"""Every recipe for a colour with the paints of a list: one paint straight, or a few mixed in whole drops.

`mixing.mixes` finds the best few recipes from all paints; who wants to know which paints to buy needs the
best recipe of every set of paints that comes near enough. Most sets are passed over unseen, by the bounds of
`mixing.search`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import DAYLIGHT, Array
from palette.memory import remembered
from palette.paints.choosing.seen import apart, spectra
from palette.paints.choosing.target import Target
from palette.paints.likely import expected, within
from palette.paints.mixing.colourants import Colourants, colourants, with_whites
from palette.paints.mixing.search import searched
from palette.paints.mixing.search import within as near_sets
from palette.swatches.kinds import unmixable
from palette.swatches.model import SwatchList

_SO_GOOD = 2.0  # CIEDE2000 that two paints may differ in and hardly be told apart; common practice, no source
_SHARE = 0.1  # of a difference: nobody sees that one of two misses is so much the larger; likewise
_GUESSED = 0.5  # the same where the colour itself is a guess: what is chosen is to be the best guess, nearly
_STRAIGHT = 64  # paints that are kept as they come for want of nearer ones
_FEW = 300  # mixtures that are kept for a guess


@dataclass(frozen=True, eq=False)
class RecipeSets:
    """m sets of paints, each with its best recipe for one target."""

    paints: NDArray[np.int64]  # (m, p) rows of the list, −1 where a set has fewer than p
    drops: NDArray[np.int64]  # (m, p), 0 likewise
    difference: Array  # (m,), CIEDE2000, predicted
    expected_error: Array  # (m,), CIEDE2000, of that prediction; 0 for a paint straight

    @property
    def expected(self) -> Array:
        """The difference to be expected, CIEDE2000 (m,): predicted, and the error of that."""
        return expected(self.difference, self.expected_error)

    def within(self, tolerance: float) -> NDArray[np.bool_]:
        """Which recipes (m,) should be a match."""
        return np.asarray(within(self.difference, self.expected_error, tolerance))

    def where(self, rows: NDArray[np.bool_] | NDArray[np.int64]) -> RecipeSets:
        """Some of the sets."""
        return RecipeSets(
            self.paints[rows], self.drops[rows], self.difference[rows], self.expected_error[rows]
        )

    def of(self, its: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Which sets take no other paints than `its` (n,)."""
        return np.asarray((its[self.paints] | (self.paints < 0)).all(axis=1))

    def good(self, tolerance: float, unsure: float, guessed: bool) -> NDArray[np.bool_]:
        """Which recipes (m,) are good enough to be taken for a target that is sure to within `unsure`.

        Those that should be a match. Where none should, and for a colour that is `guessed`, those that should
        come as near as any, or hardly look worse, which is little where the colour is sure.
        """
        if not len(self.difference):
            return np.zeros(0, dtype=bool)
        matches = self.within(tolerance)
        if matches.any() and not guessed:
            return matches
        return np.asarray(self.expected <= _as_good_as(float(self.expected.min()), unsure, guessed))


def _as_good_as(least: float, unsure: float, guessed: bool) -> float:
    """How far off a recipe may be expected to be so that it looks hardly worse than one that is `least`
    off."""
    return least + (_GUESSED if guessed else min(max(unsure, _SHARE * least), _SO_GOOD))


def recipe_sets(
    targets: Sequence[Target],
    swatches: SwatchList,
    farthest: float,
    max_paints: int = 2,
    max_drops: int = 12,
    mixed: Collection[str] | None = None,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> list[RecipeSets]:
    """The recipes for each of the targets: paints straight, and every set of two or more that is predicted to
    come within `farthest` (CIEDE2000), of all paints or of those whose ids are in `mixed`. Where
    nothing should come so near with the error of the prediction counted, those sets that should come as
    near as the best.

    Retired and clear paints make no colour; metallic and fluorescent ones only straight. Of paints
    straight that are further off than `farthest` only the nearest are kept, of each look, owned or not.
    `progress` is told how many colours of how many are done.
    """
    which = None if mixed is None else tuple(sorted(mixed))
    sets = []
    for done, target in enumerate(targets):
        progress(done, len(targets))
        sets.append(_recipe_sets(target, swatches, farthest, max_paints, max_drops, which))
    return sets


@dataclass(frozen=True, eq=False)
class _Shelf:
    """The paints of a list as recipes are looked for among them."""

    lab: Array  # (n, 3)
    kinds: NDArray[np.str_]  # (n,), '' for what mixes
    straight: NDArray[np.int64]  # rows of what may be used straight
    able: NDArray[np.int64]  # rows of what is sold and mixes
    rows: NDArray[np.int64]  # rows of what is mixed
    groups: tuple[NDArray[np.int64], ...]  # rows by look and owner
    paints: Colourants | None  # of `rows`


@remembered()
def _shelf(swatches: SwatchList, max_paints: int, mixed: tuple[str, ...] | None) -> _Shelf:
    kinds = np.array([unmixable(s) or "" for s in swatches.swatches])
    sold = np.array([not s.retired for s in swatches.swatches], dtype=bool)
    straight = np.flatnonzero(sold & (kinds != "clear"))
    able = np.flatnonzero(sold & (kinds == ""))
    ids, wanted = swatches.ids, frozenset(mixed or ())
    rows = np.array([i for i in able if mixed is None or ids[i] in wanted], dtype=np.int64)
    # only what is mixed is made ready for it: a covariance a paint is dear
    paints = colourants(with_whites(swatches, rows)) if max_paints > 1 and len(rows) > 1 else None
    owned = np.array([s.owned is True for s in swatches.swatches], dtype=bool)
    groups = [
        g
        for g in (
            straight[(kinds[straight] == k) & (owned[straight] == o)]
            for k in np.unique(kinds[straight])
            for o in (True, False)
        )
        if len(g)
    ]
    return _Shelf(swatches.lab, kinds, straight, able, rows, tuple(groups), paints)


def _seen(each: RecipeSets, target: Target, swatches: SwatchList, shelf: _Shelf) -> RecipeSets:
    """Recipes, found in daylight, as far off as they are under the target's own light."""
    if target.light == DAYLIGHT or not len(each.difference):
        return each
    decided = next((s for s in swatches.swatches if s.id == target.stays), None)
    size = (each.paints >= 0).sum(axis=1)
    reflectance = np.zeros((len(size), 31))
    alone = size == 1
    reflectance[alone] = spectra([swatches.swatches[i] for i in each.paints[alone, 0]])
    for p in range(2, each.paints.shape[1] + 1):
        mixed = size == p
        if shelf.paints is not None and mixed.any():
            which = np.searchsorted(shelf.rows, each.paints[mixed, :p])
            shares = each.drops[mixed, :p] / each.drops[mixed, :p].sum(axis=1, keepdims=True)
            reflectance[mixed] = shelf.paints.spectra(shares, which)
    return replace(each, difference=apart(target, reflectance, decided))


@remembered(kept=True)
def _recipe_sets(
    target: Target,
    swatches: SwatchList,
    farthest: float,
    max_paints: int,
    max_drops: int,
    mixed: tuple[str, ...] | None,
) -> RecipeSets:
    """The recipes for one target."""
    shelf = _shelf(swatches, max_paints, mixed)
    far = np.full(len(shelf.lab), np.inf)
    far[shelf.straight] = target.off(shelf.lab[shelf.straight])
    keep = far <= farthest
    for group in shelf.groups:
        keep[group[np.argsort(far[group], kind="stable")[:_STRAIGHT]]] = True
    kept = np.flatnonzero(keep)
    one = np.full((len(kept), max_paints), -1)
    one[:, 0] = kept
    so_far = [RecipeSets(one, (one >= 0).astype(np.int64), far[kept], np.zeros(len(kept)))]
    flakes = target.metallic and far[shelf.kinds == "metallic"].min(initial=np.inf) <= farthest
    if shelf.paints is not None and target.stays is None and not (flakes or target.alone):
        plain = far[shelf.able].min(initial=np.inf)
        so_far += _mixtures(target, shelf.paints, shelf.rows, farthest, plain, max_paints, max_drops)
    return _seen(_joined(so_far), target, swatches, shelf)


def _joined(some: Sequence[RecipeSets]) -> RecipeSets:
    return RecipeSets(
        np.concatenate([w.paints for w in some]),
        np.concatenate([w.drops for w in some]),
        np.concatenate([w.difference for w in some]),
        np.concatenate([w.expected_error for w in some]),
    )


def _mixtures(
    target: Target,
    paints: Colourants,
    rows: NDArray[np.int64],
    farthest: float,
    straight: float,
    width: int,
    max_drops: int,
) -> list[RecipeSets]:
    """The mixtures for a target: `rows` of the list are the `paints`, `straight` is how far the nearest paint
    of its look is off."""
    everything = np.arange(len(rows))
    sizes = range(2, min(width, max_drops) + 1)
    guessed = target.cloud is not None

    def near(farthest: float) -> list[RecipeSets]:
        return [_near(target, paints, everything, rows, p, farthest, width, max_drops) for p in sizes]

    mixtures = near(farthest)
    if guessed:
        joined = _joined(mixtures)
        few = joined.where(np.argsort(joined.expected, kind="stable")[:_FEW])
        return [few.where(few.expected <= straight + _GUESSED)]
    if straight <= farthest or any(each.within(farthest).any() for each in mixtures):
        return mixtures
    least = min(straight, *(float(each.expected.min(initial=np.inf)) for each in mixtures))
    if not any(len(each.difference) for each in mixtures):
        (nearest, *_) = searched(paints, everything, target.lab, width, max_drops, 1, wide=24).recipes
        which, shares = np.array([nearest.which]), np.array([nearest.drops]) / sum(nearest.drops)
        off, error = target.off(paints.predict(shares, which)), paints.expected_errors(which, shares)
        least = min(least, float(expected(off, error)[0]))
    most = _as_good_as(least, target.unsure, False)
    return [each.where(each.expected <= most) for each in near(most)]


def _near(
    target: Target,
    paints: Colourants,
    mixed: NDArray[np.int64],
    rows: NDArray[np.int64],
    p: int,
    farthest: float,
    width: int,
    max_drops: int,
) -> RecipeSets:
    which, recipe, off = near_sets(paints, mixed, target.lab, p, max_drops, farthest)
    used, drops = np.full((len(which), width), -1), np.zeros((len(which), width), dtype=np.int64)
    used[:, :p], drops[:, :p] = rows[which], recipe
    shares = recipe / recipe.sum(axis=1, keepdims=True)
    if target.cloud is not None and len(which):
        off = target.off(paints.predict(shares, which))
    return RecipeSets(used, drops, off, paints.expected_errors(which, shares))
