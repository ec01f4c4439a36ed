"""What grey pictures say, for the parts that nothing else has settled, and beside those it has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from palette.colour.uncertain import Uncertain, radius90
from palette.kit.model import Kit
from palette.paints.swatches import SwatchList
from palette.scheme.model import Evidence
from palette.scheme.reconcile import CONFLICT, scatter_odds

if TYPE_CHECKING:
    from palette.grey import GreyAnswer, GreyPart

DRAWS = 4000  # colours at large for each part, for a picture of what remains


def ask_greys(
    kit: Kit, swatches: SwatchList, known: Mapping[str, Uncertain], repainted: Mapping[str, str]
) -> GreyAnswer | None:
    """What the grey references of the kit's livery leave of each part; None where there are none.

    `known` parts help to read the others, never themselves.

    Raises:
        InputError: with every problem of those references.
    """
    from palette.grey import infer

    ours = tuple(
        r for r in kit.references if r.tone == "grey" and r.subject == "original" and r.id not in repainted
    )
    if not any(r.samples for r in ours):
        return None
    return infer(replace(kit, references=ours), swatches, known, DRAWS)


def grey_evidence(found: GreyPart, colour: Uncertain | None) -> tuple[list[Evidence], float]:
    """The grey pictures of one part as evidence, and the chance of their being so far from `colour` if both
    were right (1 where there is no colour yet).

    Together they leave one region of colour, shown for each of them. They count in equal shares where they
    are all there is; beside a colour that others settled they are a check, and count for nothing.
    """
    sources = list(dict.fromkeys(reading.reference for reading in found.readings))
    odds = 1.0
    notes = found.notes
    weight = 1 / len(sources)
    if colour is not None:
        odds = scatter_odds([colour.lab, found.lab], [colour.covariance, found.covariance])
        agrees = "contradicts" if odds < CONFLICT else "does not contradict"
        notes = (f"{agrees} the colour given, which it did not help to settle", *notes)
        weight = 0.0
    reach = radius90(found.lab, found.covariance)
    return [
        Evidence(source, found.lab, found.covariance, reach, weight, "grey", notes) for source in sources
    ], odds
