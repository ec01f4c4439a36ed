"""What goes on the brush for each part of a scheme: the guide and the desk ask here, and name one paint."""

from __future__ import annotations

from palette.guide.choosing import Chosen, Odds, choose
from palette.paints.swatches import SwatchList
from palette.scheme.model import Scheme


def odds(scheme: Scheme) -> dict[str, Odds]:
    """What grey pictures leave of each part they show, by part id."""
    return {
        part.part: Odds(
            part.lightness,
            tuple((candidate.swatch, candidate.probability) for candidate in part.candidates),
            part.draws,
        )
        for part in (scheme.grey.parts if scheme.grey is not None else ())
    }


def brush(painted: Scheme, swatches: SwatchList) -> dict[str, Chosen]:
    """The paint or mixture for each part, by part id, of a scheme as it is painted
    (`scheme.scaled.as_painted`); parts without paint are left out."""
    return choose(painted, swatches, odds(painted))
