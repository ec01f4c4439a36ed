"""One reference with its correction, for looking at it."""

from __future__ import annotations

from dataclasses import dataclass

from palette.colour.uncertain import Uncertain
from palette.errors import InputError, Problem
from palette.kit.model import Kit, Reference
from palette.kit.tables import nearest_word
from palette.paints.kitlists import kit_swatches
from palette.pictures.correction import Correction
from palette.scheme.build import build, decisions
from palette.scheme.measure import Measured, measure
from palette.scheme.settle import anchor_colours, same_paint
from palette.scheme.witness import correction


@dataclass(frozen=True)
class Corrected:
    """A reference as measured, the correction its anchors or its light give, and the anchors' colours."""

    reference: Reference
    measured: Measured
    correction: Correction
    colours: tuple[Uncertain | None, ...]  # of the anchors, in order; None for a grey of unknown lightness


def find(kit: Kit, id: str) -> Reference:
    """The reference of that id.

    Raises:
        InputError: there is none.
    """
    for reference in kit.references:
        if reference.id == id:
            return reference
    ids = [reference.id for reference in kit.references]
    near = nearest_word(id, ids)
    others = f"it has {', '.join(ids)}" if ids else "add a [[reference]]"
    remedy = f"did you mean {near!r}?" if near else others
    raise InputError(Problem(str(kit.path), None, f"no reference is called {id!r}", remedy))


def corrected(kit: Kit, reference: Reference) -> Corrected:
    """Measure and correct one reference; an anchor on a part takes that part's colour from the whole kit.

    Raises:
        InputError: its picture cannot be read, an anchor lies outside it, or a colour is not known.
    """
    measured = measure(reference, str(kit.path))
    if measured.problems:
        raise InputError.of(measured.problems)
    swatches = kit_swatches(kit)
    paint = same_paint(kit)
    known = {paint[id]: colour for id, colour in decisions(kit, swatches).items()}
    leaned_on = {a.colour.part for a in reference.anchors if a.colour.part is not None}
    if any(paint[part] not in known for part in leaned_on):
        for part in build(kit).parts:
            if part.lab is not None and part.covariance is not None:
                known.setdefault(paint[part.part.id], Uncertain(part.lab, part.covariance))
    kept = [a.colour.part is None or paint[a.colour.part] in known for a in reference.anchors]
    if not all(kept):
        unknown = sorted({p for p in leaned_on if paint[p] not in known})
        what = f"an anchor of {reference.id!r} takes the colour of {unknown[0]!r}, which nothing else settles"
        raise InputError(Problem(str(kit.path), reference.line, what, "give that part evidence of its own"))
    colours = anchor_colours(reference, paint, known, swatches)
    return Corrected(reference, measured, correction(reference, measured, colours), tuple(colours))
