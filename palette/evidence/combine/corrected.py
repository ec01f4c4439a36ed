"""One reference with its correction, for looking at it."""

from __future__ import annotations

from palette.colour.uncertain import Uncertain
from palette.errors import InputError, Problem
from palette.evidence.combine.build import decisions, measured_colour
from palette.evidence.combine.liveries import other_livery
from palette.evidence.combine.settle import Corrected, anchor_colours, settle
from palette.evidence.combine.settle import corrected as correct
from palette.evidence.measure.measured import measure
from palette.kit.model import Kit, Reference
from palette.kit.paints import same_paint
from palette.kit.tables import nearest_word
from palette.swatches.kitlists import kit_swatches


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
    """Measure and correct one reference.

    An anchor on a part takes the colour that the scheme of the whole kit corrects that reference by.

    Raises:
        InputError: its picture cannot be read, an anchor lies outside it, or a colour is not known.
    """
    measured = measure(reference, str(kit.path))
    if measured.problems:
        raise InputError.of(measured.problems)
    swatches = kit_swatches(kit)
    paint = same_paint(kit)
    decided = decisions(kit, swatches)
    leaned_on = {a.colour.part for a in reference.anchors if a.colour.part is not None}
    known: dict[str, Uncertain] = {paint[id]: colour for id, colour in decided.items()}
    if not leaned_on <= decided.keys():
        settled = settle(kit, measured_colour(kit), decided, other_livery(kit), swatches)
        picture = settled.corrected.get(reference.id)
        if picture is not None and len(picture.colours) == len(reference.anchors):
            return picture
        if picture is None:  # no evidence itself: it may lean on all that is
            known = settled.anchoring(reference, paint, known)
    unknown = sorted(part for part in leaned_on if paint[part] not in known)
    if unknown:
        what = f"an anchor of {reference.id!r} takes the colour of {unknown[0]!r}, which nothing else settles"
        raise InputError(Problem(str(kit.path), reference.line, what, "give that part evidence of its own"))
    return correct(reference, measured, anchor_colours(reference, paint, known, swatches))
