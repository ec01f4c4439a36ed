"""Recovered reflectances against surfaces that were measured, and against other methods.

The measured sets are colour-science's; the prior has learnt from none of them.
"""

import colour
import numpy as np

from palette.colour.recovery import recover
from palette.colour.responses.panchromatic import SHEET
from palette.colour.spectra import NM, light, reflectance_to_lab, weights


def _chart(name: str) -> np.ndarray:
    return np.array(
        [np.interp(NM, sd.wavelengths, sd.values) for sd in colour.SDS_COLOURCHECKERS[name].values()]
    )


def test_nearer_to_a_measured_chart_than_meng_2015() -> None:
    # Meng et al. 2015 as colour-science has it: the smoothest reflectance of a colour
    rows = _chart("PMC")
    lab = reflectance_to_lab(rows)
    cmfs = (
        colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
        .copy()
        .align(colour.SpectralShape(400, 700, 10))
    )
    d65 = colour.SDS_ILLUMINANTS["D65"].copy().align(cmfs.shape)
    few = slice(1, 30, 4)
    smooth = []
    for one in lab[few]:
        xyz = colour.Lab_to_XYZ(one, colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
        smooth.append(colour.recovery.XYZ_to_sd_Meng2015(xyz, cmfs, d65).values)
    ours = np.sqrt(np.mean((recover(lab[few]).mean - rows[few]) ** 2))
    theirs = np.sqrt(np.mean((np.array(smooth) - rows[few]) ** 2))
    assert ours < 0.95 * theirs


def test_the_spread_is_true() -> None:
    # fails where the draws are too narrow (or so wide that they say nothing) for what an emulsion sees
    rows = np.concatenate([_chart("PMC"), _chart("ColorChecker N Ohta")])
    table = weights(light("D65"), SHEET)
    draws = np.log(recover(reflectance_to_lab(rows)).samples @ table)
    score = (np.log(rows @ table) - draws.mean(axis=1)) / np.hypot(draws.std(axis=1), 0.01)
    assert np.mean(np.abs(score) < 1.645) > 0.85
    assert 0.3 < np.sqrt(np.mean(score**2)) < 1.3
