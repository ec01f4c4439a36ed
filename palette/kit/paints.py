"""Which parts of a kit are one paint."""

from __future__ import annotations

from palette.kit.model import Kit


def same_paint(kit: Kit) -> dict[str, str]:
    """For each part id, the id of the first part that `same_as` makes the same paint (itself where it is
    alone). What names no part of the kit counts for nothing, and what leads round makes one paint."""
    order = {part.id: place for place, part in reversed(list(enumerate(kit.parts)))}
    first = {id: id for id in order}

    def root(id: str) -> str:
        while first[id] != id:
            first[id] = first[first[id]]  # so that long chains are walked once
            id = first[id]
        return id

    for part in kit.parts:
        if part.same_as in order:
            one, other = sorted((root(part.id), root(part.same_as)), key=order.__getitem__)
            first[other] = one
    return {part.id: root(part.id) for part in kit.parts}
