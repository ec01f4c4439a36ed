"""Recipes that really differ, and what a third paint buys.

Of the nearest recipes most are the same paints with a drop more or less, or have one drop of a third paint
that nobody would see. A painter who wants to choose wants to see other paints.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from numpy.typing import ArrayLike

from palette.paints.likely import expected
from palette.paints.mixing import TOLD_APART, among, mixes
from palette.swatches.mix import Mix
from palette.swatches.model import SwatchList

_MORE = 12  # recipes looked at for each that is asked for
_PAIRS = 60  # the same of two paints, where too few of those differ …
_NO_FURTHER = 3.0  # … and these are hardly further off than the best, CIEDE2000; common practice, no source


def differing(
    lab: ArrayLike,
    swatches: SwatchList,
    max_paints: int = 3,
    max_drops: int = 12,
    count: int = 5,
    surest: bool = False,
) -> list[Mix]:
    """As `mixes`, but of the nearest recipes those of other paints, and none with a paint that brings it no
    nearer by what could be seen. The first is that of `mixes`, whatever it is. Where too few differ, recipes
    of other pairs further off do. Where there are none either, the nearest of the others make up the count,
    those last that come no nearer by one of their paints. The surest of all that were looked at is among
    them.

    Raises:
        InputError: as `mixes`.
    """
    recipes = mixes(lab, swatches, max_paints, max_drops, count * _MORE, surest)
    kept, idle = _kept(recipes, lab, swatches, max_drops, count)
    if len(kept) < count and max_paints > 1:
        have = {mix.drops for mix in recipes}
        pairs = mixes(lab, swatches, 2, max_drops, count * _PAIRS, surest)
        most = recipes[0].difference + _NO_FURTHER if recipes else 0.0
        recipes += [mix for mix in pairs if mix.drops not in have and mix.difference <= most]
        kept, idle = _kept(recipes, lab, swatches, max_drops, count)
    likeliest = surest_of(recipes)
    if count > 1 and likeliest is not None and (rank := recipes.index(likeliest)) not in kept:
        kept = [*kept[: count - 1], rank]
    rest = [rank for rank in range(len(recipes)) if rank not in kept]
    others = sorted(rest, key=lambda rank: _paints(recipes[rank]) in idle)
    return [recipes[rank] for rank in sorted([*kept, *others[: count - len(kept)]])]


def _kept(
    recipes: Sequence[Mix], lab: ArrayLike, swatches: SwatchList, max_drops: int, count: int
) -> tuple[list[int], set[frozenset[str]]]:
    """The places of at most `count` recipes that differ, and the paints of those of which one is idle: it
    brings a recipe no nearer at all."""
    kept: list[int] = []
    seen: set[frozenset[str]] = set()
    idle: set[frozenset[str]] = set()
    for rank, mix in enumerate(recipes):
        used = _paints(mix)
        if len(kept) == count or used in seen:
            continue
        seen.add(used)
        simpler = fewer(mix, lab, swatches, max_drops) if kept else None
        if simpler is None or simpler.mix.difference - mix.difference >= TOLD_APART:
            kept.append(rank)
        elif simpler.mix.difference <= mix.difference:
            idle.add(used)
    return kept, idle


def apart(recipes: Sequence[Mix]) -> list[list[Mix]]:
    """Recipes by their paints, in order: each group's first is its best, and the others are of the same
    paints in other drops."""
    groups: dict[frozenset[str], list[Mix]] = {}
    for mix in recipes:
        groups.setdefault(_paints(mix), []).append(mix)
    return list(groups.values())


def surest_of(recipes: Sequence[Mix]) -> Mix | None:
    """The recipe that should come nearest once it is mixed, the error of its prediction counted, too."""
    return min(recipes, key=lambda mix: float(expected(mix.difference, mix.expected_error)), default=None)


def _paints(mix: Mix) -> frozenset[str]:
    return frozenset(id for id, _ in mix.drops)


@dataclass(frozen=True)
class Fewer:
    """A recipe of three paints or more, without one of them."""

    without: str  # the id that can best be missed
    mix: Mix  # the nearest of the others


def fewer(mix: Mix, lab: ArrayLike, swatches: SwatchList, max_drops: int = 12) -> Fewer | None:
    """The nearest recipe of all but one paint of a recipe for `lab` (3,); None where it has two or less."""
    used = [id for id, _ in mix.drops]
    if len(used) < 3:
        return None
    simpler = [
        Fewer(without, among(lab, swatches, [id for id in used if id != without], max_drops))
        for without in reversed(used)
    ]
    return min(simpler, key=lambda one: one.mix.difference)
