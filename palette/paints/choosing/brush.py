"""What goes on the brush for each part of a scheme: the guide and the desk ask here, and name one paint."""

from __future__ import annotations

from collections.abc import Mapping

from palette.evidence.combine.model import Scheme
from palette.kit.model import Part
from palette.paints.choosing.chosen import Chosen, Odds, choose
from palette.paints.choosing.rank import WARNINGS
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList


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


def warning(part: Part, chosen: Chosen, paints: Mapping[str, Swatch]) -> str:
    """What is to be said of a choice that looks otherwise than the part, in words; '' where it does not, and
    where the maker decided on that very paint. `paints` are the kit's, by id."""
    swatch = paints.get(chosen.recipe[0][0])
    if swatch is None or chosen.odds is not None:
        return ""
    if chosen.mix is None and part.colour is not None and part.colour.swatch == swatch.id:
        return ""
    kind = unmixable(swatch) if chosen.mix is None else None
    look = kind if kind in WARNINGS else "plain"
    return "" if look == ("metallic" if part.finish == "metallic" else "plain") else WARNINGS[look]
