"""Whether a match holds under another light.

Two colours that agree in daylight part under a lamp where their reflectances differ. How much is the
special metamerism index for a change of illuminant: their difference under the test light, once what
still parts them under the reference light has been taken out by scaling X, Y and Z of the one.

A colour known by its CIELAB alone has no one reflectance: those a surface may have are drawn
(`palette.colour.recovery`) and the answer is a range.

Source: CIE 15:2018, 9.2 (from memory of its text), with CIEDE2000 for the difference.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.difference import difference
from palette.colour.spaces import Array, xyz_to_lab
from palette.colour.spectra import reflectance_to_lab, tristimulus
from palette.paints.choosing.notes import PartsUnder

LAMPS = ("A", "LED-B1")  # a tungsten lamp and a warm white LED: what models are looked at under at home
_SAMPLES = 48


@dataclass(frozen=True)
class UnderLight:
    """How far a match is off under one light."""

    light: str | float
    difference: float  # CIEDE2000; the median where the target's reflectance is not known
    low: float  # nine times in ten it lies between these
    high: float
    index: float  # special metamerism index against the kit's light, the median
    parts: bool  # whether a match under the kit's light is none under this one


def special_index(
    standard: ArrayLike, sample: ArrayLike, test: str | float, reference: str | float = "D65"
) -> Array:
    """CIE 15's special metamerism index for a change of illuminant, in CIEDE2000.

    Reflectances (…, 31) that broadcast -> (…). The sample's XYZ under the test light are multiplied by
    the ratio of the standard's to the sample's under the reference light, so that what remains is due to
    the change of light.
    """
    wanted, had = (np.asarray(r, dtype=np.float64) @ tristimulus(reference)[0] for r in (standard, sample))
    table, white = tristimulus(test)
    first, second = (np.asarray(r, dtype=np.float64) @ table for r in (standard, sample))
    return difference(xyz_to_lab(first, white), xyz_to_lab(second * wanted / had, white))


def under_lights(
    target: ArrayLike,
    offered: ArrayLike,
    light: str | float = "D65",
    lamps: Sequence[str | float] = LAMPS,
    tolerance: float = 3.0,
) -> tuple[UnderLight, ...]:
    """A target against a paint or mixture offered for it, under the kit's light and under lamps.

    `target` is CIELAB D65 (3,) or a reflectance (31,); `offered` is a reflectance (31,). The first answer
    is for `light`. A match parts where the difference is within `tolerance` under `light` and, more
    likely than not, beyond it under the lamp.
    """
    known = np.asarray(target, dtype=np.float64)
    if known.shape == (3,):
        from palette.colour.recovery import recover

        standards = recover(known[None], _SAMPLES).samples[0]
    else:
        standards = known[None]
    sample = np.asarray(offered, dtype=np.float64)
    answers: list[UnderLight] = []
    for lamp in (light, *lamps):
        off = difference(reflectance_to_lab(standards, lamp), reflectance_to_lab(sample, lamp))
        low, middle, high = np.quantile(off, [0.05, 0.5, 0.95])
        holds = answers[0].difference <= tolerance if answers else False
        index = float(np.median(special_index(standards, sample, lamp, light)))
        answers.append(
            UnderLight(
                lamp, float(middle), float(low), float(high), index, bool(holds and middle > tolerance)
            )
        )
    return tuple(answers)


def parted(seen: Sequence[UnderLight]) -> PartsUnder | None:
    """The lamp under which a match parts most, where it does."""
    worse = [answer for answer in seen[1:] if answer.parts]
    if not worse:
        return None
    worst = max(worse, key=lambda answer: answer.difference)
    return PartsUnder(seen[0].light, worst.light, worst.difference)
