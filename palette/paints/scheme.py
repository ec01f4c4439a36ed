"""The scheme of a kit: the colours that its evidence supports, each with paints of the kit's lists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from palette.evidence.combine.build import colours
from palette.evidence.combine.model import Scheme
from palette.kit.model import Kit
from palette.paints.choosing.proposals import mixes_for, paints_for


def scheme(kit: Kit, progress: Callable[[int, int], None] | None = None) -> Scheme:
    """The scheme the evidence supports: what `palette scheme` prints, as objects.

    `progress` is told how many references of how many have been read.

    Raises:
        InputError: with every problem of the kit's pictures, regions, lists and colours.
    """
    bare, swatches = colours(kit, progress)
    parts = [
        replace(part, paints=paints_for(part.lab, swatches), mixes=mixes_for(part.lab, swatches))
        for part in bare.parts
    ]
    return replace(bare, parts=tuple(parts))
