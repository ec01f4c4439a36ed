"""What goes on the brush for a colour: which of several recipes to take."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from palette.paints.likely import expected


@dataclass(frozen=True)
class PartRecipe:
    """How one part is painted."""

    drops: tuple[tuple[str, int], ...]  # (swatch id, count), most first; one paint alone is straight
    difference: float  # CIEDE2000, predicted
    expected_error: float  # of that prediction, CIEDE2000; 0 for a paint straight
    within: bool  # the tolerance, with the error of the prediction counted (`paints.likely`)
    look: str = ""  # what it looks like where the part is to look otherwise: metallic | fluorescent | plain
    good: bool = True  # that nothing on sale should come nearer by so much that it would be told apart

    @property
    def expected(self) -> float:
        """The difference to be expected, CIEDE2000: predicted, and the error of that."""
        return float(expected(self.difference, self.expected_error))


def preferred(candidates: Sequence[PartRecipe], have: Collection[str]) -> PartRecipe:
    """The recipe to take, by the one ranking that there is.

    First those that should be a match, with the error of a prediction counted, then those that should come as
    near as anything on sale, then the rest. Of the first two those go first that take the fewest pots beside
    those that somebody will `have`, then paints straight before mixtures, then the nearest to be expected; of
    the rest the nearest.
    """

    def key(recipe: PartRecipe) -> tuple[float, ...]:
        pots, mixture = sum(id not in have for id, _ in recipe.drops), len(recipe.drops) > 1
        if recipe.within:
            return 0, pots, mixture, recipe.expected
        return (1, pots, mixture, recipe.expected) if recipe.good else (2, recipe.expected)

    return min(candidates, key=key)
