"""The paints there are for a colour beside a part's own, its shade or highlight."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

from palette.colour.scales import Visibility
from palette.colour.spaces import Array
from palette.paints.choosing.chosen import Chosen
from palette.paints.choosing.proposals import THREES, fitting
from palette.paints.choosing.rank import PartRecipe, preferred
from palette.swatches.model import SwatchList

_HARDLY = Visibility.HARDLY.value
_MIXED = 300  # paints of a long list that are mixed for a tone, as many as for a basket: a rule of thumb


class Shelf:
    """A kit's paints: those on sale, and those of them that are to hand: owned, or bought for its parts."""

    def __init__(self, swatches: SwatchList, tolerance: float, bought: Collection[str] = ()) -> None:
        self.tolerance = tolerance
        self.on_sale = swatches.where([not s.retired for s in swatches.swatches])
        self.to_hand = self.on_sale.where([s.owned is True or s.id in bought for s in self.on_sale.swatches])
        self._owned = {s.id for s in self.on_sale.swatches if s.owned is True}
        self._have = set(self.to_hand.ids)
        self._fitting = {metallic: fitting(self.on_sale, metallic) for metallic in (False, True)}
        self._made: dict[tuple[float, ...], list[Chosen]] = {}

    def nearest(
        self, lab: Array, to_hand: bool, without: Sequence[str] = (), metallic: bool = False
    ) -> list[Chosen]:
        """The nearest paint to hand, or on sale, that suits the part, as a list of one or none."""
        shelf = self._fitting[metallic]
        return self._nearest(shelf, lab, without, self._have if to_hand else None)

    def among(self, ids: Collection[str], lab: Array, without: Sequence[str] = ()) -> Chosen | None:
        """The nearest of these paints that suits a part that is not metallic; None where none does."""
        return next(iter(self._nearest(self._fitting[False], lab, without, ids)), None)

    def _nearest(
        self, shelf: SwatchList, lab: Array, without: Sequence[str], only: Collection[str] | None
    ) -> list[Chosen]:
        if only is not None:
            shelf = shelf.where([id in only for id in shelf.ids])
        if not len(shelf):
            return []
        indices, differences = shelf.nearest(lab, len(without) + 1)
        near = [(shelf.swatches[int(i)], float(off)) for i, off in zip(indices, differences, strict=True)]
        return [
            Chosen(((s.id, 1),), off, s.owned is True, lab=s.lab, to_buy=() if s.owned is True else (s.id,))
            for s, off in near
            if s.id not in without
        ][:1]

    def has(self, chosen: Chosen) -> bool:
        """Whether every paint of it is to hand."""
        return self._have.issuperset(id for id, _ in chosen.recipe)

    def made(self, lab: Array, count: int, to_hand: bool = True) -> list[Chosen]:
        """Mixtures of two paints to hand, or on sale: of the `count` nearest recipes."""
        from palette.paints.mixing import mixes
        from palette.paints.mixing.promising import promising

        shelf = self.to_hand if to_hand else self.on_sale
        key = (*np.asarray(lab).tolist(), count, to_hand)
        if key not in self._made:
            some = promising(lab, shelf, _MIXED)
            recipes = mixes(lab, some, 2, count=count, wide=THREES) if len(some) > 1 else []
            self._made[key] = [
                Chosen(
                    mix.drops,
                    mix.difference,
                    self._owned.issuperset(id for id, _ in mix.drops),
                    mix,
                    lab=mix.lab,
                    to_buy=tuple(id for id, _ in mix.drops if id not in self._owned),
                )
                for mix in recipes
                if len(mix.drops) > 1
            ]
        return self._made[key]

    def pick(self, candidates: Sequence[Chosen], unsure: float) -> Chosen | None:
        """The candidate to take for a colour that is unsure by `unsure` (CIEDE2000), by the one ranking."""
        if not candidates:
            return None
        least = min(c.miss for c in candidates) + min(unsure, _HARDLY)
        recipes = [
            PartRecipe(
                c.recipe,
                c.difference,
                0.0 if c.mix is None else c.mix.expected_error,
                c.miss <= self.tolerance,
                good=c.miss <= least,
            )
            for c in candidates
        ]
        taken = preferred(recipes, self._have)
        return candidates[next(i for i, recipe in enumerate(recipes) if recipe is taken)]
