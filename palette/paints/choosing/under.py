"""Paints and recipes for a colour, ordered by how they look under the light that the finished model is judged
in. Under daylight that is the order they come in.

They are looked for in daylight, several times as many as are asked for: what is nearest under a lamp is near
in daylight, too, unless the two part badly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.spaces import DAYLIGHT, Array
from palette.evidence.combine.model import PaintChoice
from palette.paints.choosing.proposals import PAINTS, choice, paints_for
from palette.paints.choosing.seen import apart, spectra
from palette.paints.choosing.target import Target
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.swatches.mix import Mix

_NEAR = 60  # paints compared under the light; common practice, no source


def paints_under(
    light: str | float, lab: Array | None, swatches: SwatchList, count: int = PAINTS
) -> tuple[PaintChoice, ...]:
    """The `count` nearest paints to a colour, CIELAB D65 (3,), nearest first under a light; their
    `difference` is the one under it."""
    if light == DAYLIGHT or lab is None or not len(swatches):
        return paints_for(lab, swatches, count)
    rows, _ = swatches.nearest(lab, max(_NEAR, 4 * count))
    some = [swatches.swatches[int(row)] for row in rows]
    off = apart(Target(lab, light=light), spectra(some))
    return tuple(choice(some[i], float(off[i])) for i in np.argsort(off, kind="stable")[:count])


def mixes_under(
    light: str | float, lab: Array | None, mixes: Sequence[Mix], swatches: SwatchList, count: int = PAINTS
) -> tuple[Mix, ...]:
    """Of some recipes for a colour the `count` best, best first under a light; their `difference` is the one
    under it."""
    if light == DAYLIGHT or lab is None or not mixes:
        return tuple(mixes[:count])
    paints = {swatch.id: swatch for swatch in swatches.swatches}
    made = np.array([mix.reflectance for mix in mixes])
    straight = [i for i, mix in enumerate(mixes) if len(mix.drops) == 1]
    if straight:  # as measured, or as all else takes a paint that is known by its Lab
        made[straight] = spectra([paints[mixes[i].drops[0][0]] for i in straight])
    off = apart(Target(lab, light=light), made)
    best = np.argsort(off, kind="stable")[:count]
    return tuple(replace(mixes[i], difference=round(float(off[i]), 3)) for i in best)
