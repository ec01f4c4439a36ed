"""Halftone prints in sound inks: nothing in them has faded, however much their dots grew.

Made by the equations of Neugebauer (Z. wiss. Photogr. 36 (1937) 73-89) with Yule & Nielsen's exponent (TAGA
Proc. 3 (1951) 65-76) from the solids of ISO 12647-2 (from memory). Plates made for a dot gain of 15 % at
the middle are printed with that, and with more.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from palette.evidence.correction.notes import DyesFaded, LayerLost
from tests.evidence.correction.test_correction_contradictions import CHART, PLACE

SOLIDS = {  # cyan, magenta, yellow
    (0, 0, 0): (93, 0, -3), (1, 0, 0): (55, -37, -50), (0, 1, 0): (48, 74, -3), (0, 0, 1): (89, -5, 93),
    (0, 1, 1): (47, 68, 48), (1, 0, 1): (50, -68, 25), (1, 1, 0): (24, 22, -46), (1, 1, 1): (23, 0, 0),
}  # fmt: skip
ON = np.array(list(SOLIDS))
EXPONENT = 1.7
LIGHT = np.maximum(lab_to_linear(np.array(list(SOLIDS.values()), dtype=float)), 1e-4) ** (1 / EXPONENT)
NOISE = np.eye(3) * 1e-6
PLANNED = 0.15


def printed(dots, gain):
    """Linear light (n, 3) of dots (n, 3) as they are on the plate."""
    grown = dots + 4 * gain * dots * (1 - dots)
    share = np.where(ON[None] == 1, grown[:, None], 1 - grown[:, None]).prod(axis=-1)
    return np.maximum(share @ LIGHT, 0) ** EXPONENT


@pytest.fixture(scope="module")
def plate():
    """Dots (24, 3) that print the chart, its lightness fitted between paper and black."""
    rows = []
    for lab in CHART * [(93 - 23) / (96 - 20), 1, 1] + [23 - 20 * (93 - 23) / (96 - 20), 0, 0]:

        def off(dots, lab=lab):
            return linear_to_lab(printed(dots[None], PLANNED))[0] - lab

        rows.append(least_squares(off, np.full(3, 0.4), bounds=(0, 1), xtol=1e-3, ftol=1e-3).x)
    return np.array(rows)


@pytest.mark.parametrize(("more", "least"), [(0.0, 0.9), (0.2, 0.85)])
def test_a_halftone_whose_dots_grew_is_neither_called_faded_nor_believed_too_well(plate, more, least):
    shot = printed(plate, PLANNED + more) * [1.0, 0.9, 0.75]
    inside = []
    for chosen in ([18, 22], [18, 22, 14], [18, 21, 22, 12, 13, 14]):
        readings = [
            AnchorReading(f"anchor {i}", shot[i], NOISE, CHART[i], centre=tuple(PLACE[i])) for i in chosen
        ]
        correction = fit(readings, kind="print")
        assert not [note for note in correction.notes if isinstance(note, DyesFaded | LayerLost)]
        assert correction.contradicting == ()
        rest = np.setdiff1d(np.arange(24), chosen)
        lab, covariance = correction.apply(shot[rest], np.stack([NOISE] * len(rest)), PLACE[rest])
        radii = np.array([radius90(*one) for one in zip(lab, covariance, strict=True)])
        inside.append(float((difference(lab, CHART[rest]) < radii).mean()))
    assert np.mean(inside) > least, inside
