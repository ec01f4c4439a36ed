"""What goes on the brush for each part of a scheme: the guide and the desk ask here, and name one paint."""

from __future__ import annotations

from collections.abc import Callable

from palette.evidence.combine.model import Scheme
from palette.kit.paints import same_paint
from palette.kit.scale import scale_number
from palette.paints.choosing.chosen import Chosen, Odds
from palette.paints.scale import lightened
from palette.swatches.model import SwatchList


def odds(scheme: Scheme) -> dict[str, Odds]:
    """What grey pictures leave of each part they show, and of those of the same paint, by part id; with a
    scale effect the colours are those to paint."""
    if scheme.grey is None:
        return {}
    scale = scale_number(scheme.kit.scale) if scheme.kit.scale_effect else None
    seen = {
        part.part: Odds(
            part.lightness,
            tuple((candidate.swatch, candidate.probability) for candidate in part.candidates),
            part.draws if scale is None else lightened(part.draws, scale),
        )
        for part in scheme.grey.parts
    }
    paint = same_paint(scheme.kit)
    of_paint = {paint[id]: left for id, left in reversed(seen.items())}
    return {**{id: of_paint[key] for id, key in paint.items() if key in of_paint}, **seen}


def chosen_paints(
    painted: Scheme, swatches: SwatchList, progress: Callable[[int, int], None] = lambda done, total: None
) -> dict[str, Chosen]:
    """The paint or mixture for each part, by part id, of a scheme as it is painted
    (`scaled.as_painted`); parts without a colour or paint are left out. `progress` is told how many
    colours of how many have been looked at."""
    from palette.paints.choosing.chosen import choose

    return choose(painted, swatches, odds(painted), progress)
