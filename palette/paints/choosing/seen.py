"""How far paints are off a target under the light that the finished model is looked at in.

The difference is CIEDE2000 between CIELAB against the white of that light (CIE 15:2018). Of a colour known by
its Lab alone the mean of the reflectances it may have stands for all (`palette.colour.recovery`), so that two
paints of one Lab stay one colour; measured reflectances tell a metameric pair apart.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.colour.difference import difference
from palette.colour.recovery import recover
from palette.colour.spaces import Array
from palette.colour.spectra import reflectance_to_lab
from palette.memory import remembered
from palette.paints.choosing.target import Target
from palette.swatches.model import Swatch


def spectra(swatches: Sequence[Swatch]) -> Array:
    """Reflectances (n, 31): measured, or the mean of those that the Lab allows."""
    lab = np.array([swatch.lab for swatch in swatches], dtype=np.float64).reshape(-1, 3)
    reflectances = _recovered(lab)
    for row, swatch in zip(reflectances, swatches, strict=True):
        if swatch.reflectance is not None:
            row[:] = swatch.reflectance
    return reflectances


def apart(target: Target, reflectance: Array, decided: Swatch | None = None) -> Array:
    """How far reflectances (n, 31) are off a target under its light, CIEDE2000 (n,): for a cloud the mean.
    `decided` is the paint that the maker decided on, whose reflectance is then the target's."""
    lab = reflectance_to_lab(reflectance, target.light)
    if target.cloud is not None:
        cloud = reflectance_to_lab(_recovered(target.cloud), target.light)
        return np.asarray(difference(lab[:, None], cloud[None]).mean(axis=1))
    standard = spectra([decided]) if decided is not None else _recovered(target.lab[None])
    return np.asarray(difference(reflectance_to_lab(standard, target.light), lab))


@remembered()
def _means(lab: Array) -> Array:
    return recover(lab).mean


def _recovered(lab: Array) -> Array:
    return np.array(_means(lab), dtype=np.float64).reshape(-1, 31)
