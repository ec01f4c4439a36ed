"""The scheme as rows, one a part, as the page shows them: plain data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from palette.colour.difference import difference
from palette.desk import plain, shown
from palette.desk.wording import said
from palette.evidence.combine.model import Evidence, PartColour, Scheme
from palette.evidence.grey.answer import Candidate
from palette.kit.model import Part, Polygon, Rect, Reference, Region
from palette.memory import remembered
from palette.paints.choosing.chosen import Chosen
from palette.paints.choosing.under import paints_under
from palette.swatches.model import Swatch, SwatchList
from palette.words import BASIS

_LIKELY = 6
_UNCOUNTED = 0.1  # a weight below which a source as good as did not count


def row(scheme: Scheme, part: PartColour, swatches: SwatchList) -> dict[str, Any]:
    """One part: its colour, how sure it is, what it rests on; what goes on the brush is told beside."""
    number = next(i for i, p in enumerate(scheme.kit.parts, 1) if p.id == part.part.id)
    grey = next((p for p in scheme.grey.parts if p.part == part.part.id), None) if scheme.grey else None
    left = None if grey is None else (grey.lightness, grey.candidates[:_LIKELY])
    odd = conflict(scheme, part) if part.conflict else None
    return dict(_row(part, number, left, odd, swatches, scheme.kit.light))


@remembered()
def _row(
    part: PartColour,
    number: int,
    left: tuple[tuple[float, float], tuple[Candidate, ...]] | None,
    odd: dict[str, Any] | None,
    swatches: SwatchList,
    light: str | float,
) -> dict[str, Any]:
    """A part's row: `left` is what grey pictures leave, L* and the likeliest paints, `odd` its conflict;
    the nearest paints are those under `light`."""
    squares, word, _ = shown.how_sure(part)
    told: dict[str, Any] = {
        "part": part.part.id,
        "number": number,
        "name": part.part.name,
        "colour": plain.colour(part.lab),
        "spread": plain.spread(part.lab, part.covariance, part.radius90),
        "sure": {"squares": squares, "word": word},
        "basis": part.basis,
        "basis_words": BASIS[part.basis],
        "conflict": part.conflict,
        "conflict_with": odd,
        "notes": [said(note) for note in part.notes],
        "stale": False,
        "evidence": [_evidence(e) for e in part.evidence],
        "lightness": None,
        "likely": [],
        "chosen": None,
        "paints": [],
    }
    if left is not None:
        told["lightness"] = [round(v, 1) for v in left[0]]
        told["likely"] = [
            {
                "swatch": c.swatch,
                "name": c.name,
                "colour": plain.colour(c.lab),
                "probability": round(c.probability, 4),
            }
            for c in left[1]
        ]
    if len(swatches) and part.lab is not None:
        paints = {swatch.id: swatch for swatch in swatches.swatches}
        nearest = paints_under(light, part.lab, swatches)
        told["paints"] = [plain.paint(paints[p.swatch], p.difference) for p in nearest]
    return told


def paint_row(part: Part, chosen: Chosen | None, paints: Mapping[str, Swatch]) -> dict[str, Any] | None:
    """What goes on the brush for a part."""
    chosen_paint = shown.chosen_paint(part, chosen, paints)
    if chosen_paint is None:
        return None
    return {
        "recipe": plain.drops(chosen_paint.drops, paints),
        "colour": plain.colour(chosen_paint.lab),
        "off": chosen_paint.off,
        "shows": chosen_paint.shows,
        "likely": chosen_paint.guess,
        "to_buy": None if chosen_paint.to_buy is None else list(chosen_paint.to_buy),
        "warning": said(chosen_paint.warning) if chosen_paint.warning else "",
    }


def _evidence(evidence: Evidence) -> dict[str, Any]:
    return {
        "reference": evidence.reference,
        "kind": evidence.kind,
        "colour": plain.colour(evidence.lab),
        "radius90": None if evidence.radius90 is None else round(float(evidence.radius90), 3),
        "weight": round(float(evidence.weight), 4),
        "notes": [said(note) for note in evidence.notes],
    }


def conflict(scheme: Scheme, part: PartColour) -> dict[str, Any] | None:
    """Which source is odd, where the evidence can tell, and where to look; None where nothing does."""
    sources = [e for e in part.evidence if e.lab is not None and e.kind in ("colour", "grey", "hint")]
    if len(sources) < 2:
        return None
    labs = np.array([e.lab for e in sources])
    apart = np.array([[float(difference(a, b)) for b in labs] for a in labs])
    uncounted = [i for i, e in enumerate(sources) if e.weight < _UNCOUNTED and e.kind != "grey"]
    counted = [i for i in range(len(sources)) if i not in uncounted]
    if len(uncounted) >= 1 and counted:
        one = max(uncounted, key=lambda i: min(apart[i, j] for j in counted))
        other = max(counted, key=lambda j: sources[j].weight)
        words = f"{sources[one].reference} is the odd one: it lies {apart[one, other]:.1f} from the rest."
        todo = (
            f"Compare both places. Is the mark on {sources[one].reference} on the right part, in the light? "
            "If it is, the picture shows another paint or a cast: lower its trust, or add an anchor."
        )
        odd: str | None = sources[one].reference
    else:
        one, other = divmod(int(np.argmax(apart)), len(sources))
        words = f"{sources[one].reference} and {sources[other].reference} lie {apart[one, other]:.1f} apart."
        todo = (
            "Compare both places. Nothing tells which is right: add a third picture or an anchor, or decide, "
            "and say why."
        )
        odd = None
    pair = [sources[one], sources[other]]
    crops = [crop for e in pair for crop in _crops(scheme, part, e)]
    return {"odd": odd, "both": [e.reference for e in pair], "words": words, "todo": todo, "crops": crops}


def _crops(scheme: Scheme, part: PartColour, evidence: Evidence) -> list[dict[str, Any]]:
    from palette.kit.paints import same_paint

    paint = same_paint(scheme.kit)
    for reference in scheme.kit.references:
        if reference.id == evidence.reference:
            return [_crop(reference, s.region, evidence) for s in reference.samples
                    if paint.get(s.part) == paint[part.part.id]][:1]  # fmt: skip
    return []


def _crop(reference: Reference, region: Region, evidence: Evidence) -> dict[str, Any]:
    return {
        "ref": reference.id,
        "region": region_plain(region),
        "words": reference.id,
        "colour": plain.colour(evidence.lab),
    }


def region_plain(region: Region) -> dict[str, Any]:
    """A region as kit.toml says it."""
    if isinstance(region, Rect):
        return {"rect": [region.x, region.y, region.width, region.height]}
    if isinstance(region, Polygon):
        return {"polygon": [list(point) for point in region.points]}
    return {"spot": [region.x, region.y, region.radius]}
