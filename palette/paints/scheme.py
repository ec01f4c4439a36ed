"""The scheme of a kit: the colours that its evidence supports, each with paints of the kit's lists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from palette.evidence.combine.build import colours
from palette.evidence.combine.model import Scheme
from palette.kit.model import Kit
from palette.paints.choosing.proposals import mixes_for, paints_for


def scheme(
    kit: Kit,
    progress: Callable[[int, int], None] | None = None,
    mixing: Callable[[int, int], None] = lambda done, total: None,
) -> Scheme:
    """The scheme the evidence supports: what `palette scheme` prints, as objects.

    `progress` is told how many references of how many have been read, `mixing` for how many parts of how many
    paints have been looked for.

    Raises:
        InputError: with every problem of the kit's pictures, regions, lists and colours.
    """
    bare, swatches = colours(kit, progress)
    parts = []
    for done, part in enumerate(bare.parts):
        mixing(done, len(bare.parts))
        paints, found = paints_for(part.lab, swatches), mixes_for(part.lab, swatches)
        parts.append(replace(part, paints=paints, mixes=found))
    return replace(bare, parts=tuple(parts))
