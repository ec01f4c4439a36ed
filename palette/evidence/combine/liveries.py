"""Which pictures show the livery that the kit is after.

`repainted` on a kit lists the years in which the original was painted anew. A picture taken before such a
year and one taken in it or after show different liveries. The kit's livery is that of its `year`; without
one, the livery its dated pictures speak for most, by their trust, a tie going to the later. A picture
without a year is taken to show it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping

from palette.evidence.combine.notes import LiveryGuessed, OtherLivery
from palette.kit.model import Kit, Reference
from palette.notes import Note


def other_livery(kit: Kit) -> dict[str, OtherLivery]:
    """References of the original that show another livery, each with which."""
    repaints = sorted(kit.repainted)
    dated = [r for r in kit.references if r.year is not None and r.subject == "original" and r.samples]
    if not repaints or not dated:
        return {}
    believed: dict[int, float] = {}
    for reference in dated:
        era = _era(reference, repaints)
        believed[era] = believed.get(era, 0.0) + reference.trust
    if kit.year is not None:
        ours = bisect_right(repaints, kit.year)
    else:
        ours = max(believed, key=lambda era: (believed[era], era))
    reasons = {}
    for reference in dated:
        era = _era(reference, repaints)
        if era < ours:
            reasons[reference.id] = OtherLivery(repaints[era], before=True)
        elif era > ours:
            reasons[reference.id] = OtherLivery(repaints[era - 1], before=False)
    return reasons


def undated(kit: Kit, repainted: Mapping[str, OtherLivery]) -> list[Note]:
    """That the livery of a kit without a year was guessed; nothing where no picture is left out."""
    if kit.year is not None or not repainted:
        return []
    return [LiveryGuessed(tuple(repainted.items()))]


def _era(reference: Reference, repaints: list[int]) -> int:
    assert reference.year is not None
    return bisect_right(repaints, reference.year)
