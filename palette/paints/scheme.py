"""The scheme of a kit: the colours that its evidence supports, each with paints of the kit's lists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from palette.colour.spaces import DAYLIGHT
from palette.evidence.combine.build import colours
from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.model import Kit
from palette.paints.choosing.proposals import mixes_for, paints_for
from palette.paints.choosing.under import mixes_under, paints_under
from palette.swatches.model import SwatchList

_MORE = 40  # recipes found in daylight, of which the best under another light are taken


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
        part = replace(part, paints=paints_for(part.lab, swatches), mixes=mixes_for(part.lab, swatches))
        parts.append(part if kit.light == DAYLIGHT else _under(kit.light, part, swatches))
    return replace(bare, parts=tuple(parts))


def _under(light: str | float, part: PartColour, swatches: SwatchList) -> PartColour:
    """A part with what looks nearest to it under the kit's light, too."""
    many = mixes_for(part.lab, swatches, _MORE)
    return replace(
        part,
        paints_under=paints_under(light, part.lab, swatches),
        mixes_under=mixes_under(light, part.lab, many, swatches),
    )
