"""Recipes that really differ, and what a third paint buys.

Of the nearest recipes most are the same paints with a drop more or less, or have one drop of a third paint
that nobody would see. A painter who wants to choose wants to see other paints.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from palette.paints.mixing import TOLD_APART, among, mixes
from palette.swatches.mix import Mix
from palette.swatches.model import SwatchList

_MORE = 12  # recipes looked at for each that is asked for


def differing(
    lab: ArrayLike,
    swatches: SwatchList,
    max_paints: int = 3,
    max_drops: int = 12,
    count: int = 5,
    surest: bool = False,
) -> list[Mix]:
    """As `mixes`, but of the nearest recipes those of other paints, and none with a paint that brings it no
    nearer by what could be seen. The first is that of `mixes`, whatever it is. Where too few differ the
    nearest of the others make up the count, those last that come no nearer by one of their paints.

    Raises:
        InputError: as `mixes`.
    """
    recipes = mixes(lab, swatches, max_paints, max_drops, count * _MORE, surest)
    kept: list[int] = []
    seen: set[frozenset[str]] = set()
    idle: set[frozenset[str]] = set()  # paints of which one brings a recipe no nearer at all
    sets = [frozenset(id for id, _ in mix.drops) for mix in recipes]
    for rank, (mix, used) in enumerate(zip(recipes, sets, strict=True)):
        if len(kept) == count or used in seen:
            continue
        seen.add(used)
        simpler = fewer(mix, lab, swatches, max_drops) if kept else None
        if simpler is None or simpler.mix.difference - mix.difference >= TOLD_APART:
            kept.append(rank)
        elif simpler.mix.difference <= mix.difference:
            idle.add(used)
    others = sorted((rank for rank in range(len(sets)) if rank not in kept), key=lambda r: sets[r] in idle)
    return [recipes[rank] for rank in sorted([*kept, *others[: count - len(kept)]])]


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
