"""What goes on the brush for a colour: a paint to hand before one to buy, a match before what is no match.

Every candidate is weighed by its miss: the CIEDE2000 by which it is off, together with the error that the
prediction of a mixture may be expected to have. Of those within the kit's tolerance those go first of which
the fewest pots are to be bought, then paints before mixtures, then the nearest. Where none is, the smallest
miss decides, unless one to hand misses by so little more that it would hardly be seen, nor be told apart
given how sure the colour is.

A clear coat is no colour, and metal flakes are for metallic parts: those take a metallic paint where one is a
match, and other parts take neither these nor a fluorescent paint while there is any other. What the maker
decided on stays.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from palette.colour.scales import Visibility
from palette.colour.spaces import Array
from palette.evidence.combine.model import PartColour, Scheme
from palette.paints.choosing.proposals import INFERRED, fitting, likeliest
from palette.paints.choosing.rank import WEIGHED, rank
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.swatches.mix import Mix

Recipe: TypeAlias = tuple[tuple[str, int], ...]  # (swatch id, drops)

_HARDLY = Visibility.HARDLY.value
_SAME = 0.05  # CIEDE2000: the paint itself


@dataclass(frozen=True)
class Odds:
    """What a grey inference leaves of one part: `lightness` its 90 % interval of L*, `likely` (swatch id,
    probability) likeliest first, `draws` (n, 3) CIELAB colours at large where there are any."""

    lightness: tuple[float, float]
    likely: tuple[tuple[str, float], ...]
    draws: Array | None = None


@dataclass(frozen=True)
class Chosen:
    """One paint (`mix` None) or a mixture. `odds` is the probability of a paint chosen by the odds."""

    recipe: Recipe
    difference: float  # CIEDE2000, predicted
    owned: bool
    mix: Mix | None = None
    odds: float | None = None

    @property
    def miss(self) -> float:
        """The CIEDE2000 by which it may be expected to be off."""
        return self.difference if self.mix is None else expected_miss(self.mix)


def expected_miss(mix: Mix) -> float:
    """The CIEDE2000 by which a mixture may be expected to be off, its prediction's error included."""
    return float(np.hypot(mix.difference, mix.expected_error))


class Shelf:
    """A kit's paints: those on sale, and those of them that are to hand."""

    def __init__(self, swatches: SwatchList, tolerance: float) -> None:
        self.tolerance = tolerance
        self.on_sale = swatches.where([not s.retired for s in swatches.swatches])
        self.to_hand = self.on_sale.where([s.owned is True for s in self.on_sale.swatches])
        self._owned, self._sold = set(self.to_hand.ids), set(self.on_sale.ids)
        self._fitting = {metallic: fitting(self.on_sale, metallic) for metallic in (False, True)}
        self._made: dict[tuple[float, ...], list[Chosen]] = {}

    def nearest(
        self, lab: Array, to_hand: bool, without: Sequence[str] = (), metallic: bool = False
    ) -> list[Chosen]:
        """The nearest paint to hand, or on sale, that suits the part, as a list of one or none."""
        shelf = self._fitting[metallic]
        if without or to_hand:
            shelf = shelf.where(
                [id not in without and (id in self._owned or not to_hand) for id in shelf.ids]
            )
        if not len(shelf):
            return []
        indices, differences = shelf.nearest(lab, 1)
        return [self.paint(shelf.swatches[int(indices[0])].id, float(differences[0]))]

    def sells(self, id: str) -> bool:
        """Whether a reader can buy it."""
        return id in self._sold

    def suited(self, metallic: bool) -> SwatchList:
        """The paints that a reader can buy and that suit a part that is metallic or is not."""
        return self._fitting[metallic]

    def flakes(self, lab: Array) -> list[Chosen]:
        """The nearest metallic paints that are a match, to hand and on sale."""
        from palette.swatches.kinds import unmixable

        found = []
        for shelf in (self.to_hand, self.on_sale):
            metal = shelf.where([unmixable(swatch) == "metallic" for swatch in shelf.swatches])
            if len(metal):
                indices, differences = metal.nearest(lab, 1)
                found.append(self.paint(metal.swatches[int(indices[0])].id, float(differences[0])))
        return [paint for paint in found if paint.miss <= self.tolerance]

    def paint(self, id: str, difference: float) -> Chosen:
        return Chosen(((id, 1),), difference, id in self._owned)

    def mixtures(self, mixes: Sequence[Mix]) -> list[Chosen]:
        """Those of the mixes that are mixtures of paints on sale."""
        return [
            Chosen(mix.drops, mix.difference, self._owned.issuperset(id for id, _ in mix.drops), mix)
            for mix in mixes
            if len(mix.drops) > 1 and self._sold.issuperset(id for id, _ in mix.drops)
        ]

    def made(self, lab: Array, count: int = WEIGHED, to_hand: bool = True) -> list[Chosen]:
        """Mixtures of two paints to hand, or on sale: of the `count` nearest recipes."""
        from palette.paints.mixing import mixes

        shelf = self.to_hand if to_hand else self.on_sale
        key = (*np.asarray(lab).tolist(), count, to_hand)
        if key not in self._made:
            found = mixes(lab, shelf, max_paints=2, count=count) if len(shelf) > 1 else []
            self._made[key] = self.mixtures(found)
        return self._made[key]

    def _pots(self, candidate: Chosen) -> int:
        """How many of its paints are to be bought."""
        return sum(id not in self._owned for id, _ in candidate.recipe)

    def pick(self, candidates: Sequence[Chosen], unsure: float) -> Chosen | None:
        """The candidate to take for a colour that is unsure by `unsure` (CIEDE2000)."""
        matches = [c for c in candidates if c.miss <= self.tolerance]
        if matches:
            return min(matches, key=lambda c: rank(self._pots(c), c.mix is not None, c.miss))
        if not candidates:
            return None
        nearest = min(candidates, key=lambda c: c.miss)
        margin = nearest.miss + min(unsure, _HARDLY)
        near = [c for c in candidates if c.owned and c.miss <= margin]
        return min(near, key=lambda c: c.miss) if near else nearest


def choose(scheme: Scheme, swatches: SwatchList, odds: Mapping[str, Odds] | None = None) -> dict[str, Chosen]:
    """What goes on the brush for each part, by part id; parts without paint are left out."""
    shelf = Shelf(swatches, scheme.kit.tolerance)
    chosen = {f.part.id: _choose(f, shelf, (odds or {}).get(f.part.id)) for f in scheme.parts}
    return {id: found for id, found in chosen.items() if found is not None}


def base(found: PartColour, chosen: Chosen | None, swatches: SwatchList) -> Array | None:
    """The colour, (3,) CIELAB, that stands on the model before shading: the part's, but where only odds name
    its paint, that paint's; None where there is none. The middle of what remains is nobody's colour."""
    if found.lab is not None and chosen is not None and chosen.odds is not None:
        id = chosen.recipe[0][0]
        return next(swatch.lab for swatch in swatches.swatches if swatch.id == id)
    return found.lab


def _choose(found: PartColour, shelf: Shelf, odds: Odds | None) -> Chosen | None:
    """Nobody counts drops for a guess: an inferred colour gets the likeliest paint where there are odds, else
    a paint, and a mixture only where there is no paint. The very paint the maker decided on stays."""
    if found.lab is None:
        return None
    metallic = found.part.finish == "metallic"
    guessed = found.basis in INFERRED
    if odds is not None and (guess := likeliest(found, odds.likely, shelf.suited(metallic))):
        swatch, probability = guess
        return Chosen(((swatch.id, 1),), 0.0, False, odds=probability)
    stated = [shelf.paint(p.swatch, p.difference) for p in found.paints if shelf.sells(p.swatch)]
    if stated and found.basis == "decision" and stated[0].difference < _SAME:
        return stated[0]
    unsure = 0.0 if found.radius90 is None else found.radius90
    if metallic and (flakes := shelf.flakes(found.lab)):
        return shelf.pick(flakes, unsure)
    stated = [paint for paint in stated if paint.recipe[0][0] in shelf.suited(metallic).ids]
    to_hand = [paint for paint in stated if paint.owned]
    paints = stated[:1] or shelf.nearest(found.lab, to_hand=False, metallic=metallic)
    paints += to_hand[:1] or shelf.nearest(found.lab, to_hand=True, metallic=metallic)
    mixtures: list[Chosen] = []
    if not guessed or not paints:
        mixtures = shelf.mixtures(found.mixes)
    if not guessed and not any(p.owned and p.miss <= shelf.tolerance for p in paints):
        mixtures += shelf.made(found.lab)
        if len(shelf.to_hand) and not any(c.owned and c.miss <= shelf.tolerance for c in paints + mixtures):
            mixtures += shelf.made(found.lab, to_hand=False)  # one that needs few pots
    picked = shelf.pick(paints + mixtures, unsure)
    if picked is None and found.paints:  # none is sold any more
        return shelf.paint(found.paints[0].swatch, found.paints[0].difference)
    return picked
