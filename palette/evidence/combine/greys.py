"""What grey pictures say, for the parts that nothing else has settled, and beside those it has."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.uncertain import Uncertain, radius90
from palette.evidence.combine.model import Evidence
from palette.evidence.combine.notes import CopyOf, OneAnswer, OtherLivery
from palette.evidence.combine.reconcile import ANY_COVARIANCE, ANY_LAB, Observation
from palette.evidence.combine.statements import OUTLIER
from palette.kit.model import Kit
from palette.notes import Note
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.evidence.grey import GreyAnswer, GreyPart

DRAWS = 4000  # colours at large for each part, for a picture of what remains


_UNINFORMED = 900.0  # variance in units of that of surfaces at large, where an unrelated colour has 2


def ask_greys(
    kit: Kit, swatches: SwatchList, known: Mapping[str, Uncertain], repainted: Mapping[str, OtherLivery]
) -> GreyAnswer | None:
    """What the grey references of the kit's livery leave of each part; None where there are none.

    `known` parts help to read the others, never themselves.

    Raises:
        InputError: with every problem of those references.
    """
    from palette.evidence.grey import infer

    ours = tuple(
        r for r in kit.references if r.tone == "grey" and r.subject == "original" and r.id not in repainted
    )
    if not any(r.samples for r in ours):
        return None
    return infer(replace(kit, references=ours), swatches, known, DRAWS)


def grey_observation(inferred: GreyPart, kit: Kit, against: Collection[str] = ()) -> Observation:
    """What the grey pictures add to what others say of a part: their posterior less the prior it began with.

    They are one source, and as likely right as the best of them; but where several are `against` the others,
    each by itself, all of those would have to be wrong at once. Along directions that the pictures did not
    narrow (hue and chroma, mostly) the prior is all there is; there the source counts for nothing.
    """
    root = np.linalg.cholesky(ANY_COVARIANCE)
    inner = np.linalg.inv(root)
    values, axes = np.linalg.eigh(inner @ inferred.covariance @ inner.T)  # 1 where nothing was narrowed
    gained = 1 / np.maximum(values, 1e-6) - 1
    told = gained > 1.0
    place = axes.T @ inner @ (inferred.lab - ANY_LAB)
    place = np.where(told, place * (gained + 1) / np.where(told, gained, 1.0), place)
    spread = np.where(told, 1 / np.where(told, gained, 1.0), _UNINFORMED)
    back = root @ axes
    log_gap = 0.5 * float(np.log(_UNINFORMED / 2) * np.count_nonzero(~told))
    shown = {reading.reference for reading in inferred.readings}
    each = {r.id: r.trust * (1 - OUTLIER[r.kind]) for r in kit.references if r.id in shown}
    trust = max(*each.values(), 1 - float(np.prod([1 - each[id] for id in against if id in each])))
    return Observation(ANY_LAB + back @ place, (back * spread) @ back.T, trust, log_gap=log_gap)


def grey_evidence(inferred: GreyPart, weight: float, notes: tuple[Note, ...] = ()) -> list[Evidence]:
    """The grey pictures of one part as evidence: together they leave one region of colour, shown for each,
    and share one weight equally, copies of a picture apart."""
    sources = list(dict.fromkeys(reading.reference for reading in inferred.readings if not reading.copy_of))
    reach = radius90(inferred.lab, inferred.covariance)
    share = weight / len(sources)
    said = [
        Evidence(source, inferred.lab, inferred.covariance, reach, share, "grey", (*notes, *inferred.notes))
        for source in sources
    ]
    if len(said) > 1:
        together = OneAnswer(tuple(sources))
        said = [replace(e, notes=(*e.notes, together)) for e in said]
    copied = {reading.reference: reading.copy_of for reading in inferred.readings if reading.copy_of}
    return said + [
        Evidence(id, inferred.lab, inferred.covariance, reach, 0.0, "grey", (CopyOf(other),))
        for id, other in copied.items()
    ]
