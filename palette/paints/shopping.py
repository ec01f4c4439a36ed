"""What to buy for a scheme as it is painted."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from palette.errors import InputError
from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.model import UNPAINTED
from palette.paints.basket import Basket, to_paint
from palette.paints.choosing.choice import odds
from palette.paints.choosing.chosen import Chosen, decided, targets_of
from palette.paints.choosing.few import measurable
from palette.paints.choosing.target import Target
from palette.paints.mesh import areas
from palette.paints.needs import Tone, covering, tones
from palette.paints.scaled import as_painted
from palette.swatches.model import SwatchList


@dataclass(frozen=True)
class Shopping:
    """The basket, and what it was asked for."""

    basket: Basket
    parts: tuple[PartColour, ...]  # those with a colour, as painted, in the basket's order
    chosen: Mapping[str, Chosen]  # part id -> what goes on its brush, as in the guide
    unknown: tuple[PartColour, ...]  # those to be painted without one
    tones: Mapping[str, tuple[Tone, ...]]  # part id -> its shade and highlight, likewise
    alone: tuple[bool, ...]  # of `parts`, those that take too little paint for a mixture

    @property
    def tones_to_buy(self) -> tuple[str, ...]:
        """The paints, swatch ids in the parts' order, that shades and highlights take and nobody has yet:
        neither owned nor bought for the parts."""
        taken = (tone.chosen.to_buy for each in self.tones.values() for tone in each if tone.chosen)
        return tuple(dict.fromkeys(id for ids in taken for id in ids if id not in self.basket.chosen.buy))


def to_buy(
    scheme: Scheme,
    swatches: SwatchList,
    max_paints: int,
    max_drops: int,
    cheapest: bool,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> Shopping:
    """What brings the parts of a scheme within the kit's tolerance, or as near as any; `progress` as in
    `basket`.

    With mixtures of two, twelve drops and the fewest pots it is what the guide names.

    Raises:
        InputError: as `basket`.
    """
    painted = as_painted(scheme, swatches, paints=False)
    parts = tuple(p for p in painted.parts if p.lab is not None and p.part.finish not in UNPAINTED)
    left = odds(painted)
    targets = targets_of(parts, swatches, left, scheme.kit.light)
    tolerance = scheme.kit.tolerance

    def ask(some: Sequence[Target], whole: bool = False) -> Basket:
        return to_paint(some, swatches, tolerance, max_paints, max_drops, cheapest, progress, whole)

    found, _ = measurable(scheme, parts, targets, swatches, ask)
    bought = ask(found, whole=True)
    unknown = [p for p in painted.parts if p.lab is None and p.part.finish not in UNPAINTED]
    chosen = decided(parts, found, bought.chosen_recipes, swatches, tolerance, left)
    alone = tuple(target.alone for target in found)
    given = _tones(painted, swatches, chosen, max_paints)
    return Shopping(bought, parts, chosen, tuple(unknown), given, alone)


def _tones(
    painted: Scheme, swatches: SwatchList, chosen: Mapping[str, Chosen], max_paints: int
) -> dict[str, tuple[Tone, ...]]:
    try:
        sizes = areas(painted.kit)
    except InputError:  # the guide says what is wrong with a mesh
        sizes = {}
    return tones(painted, swatches, chosen, covering(swatches, chosen, sizes).parts, max_paints > 1)
