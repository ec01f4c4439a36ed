"""The correction against published data and an independent library's methods, by colour-science.

Published: the 24-patch chart as Ohta (1997) measured it, BabelColor's average of 30 charts as the truth; the
Canon 5D Mark II sensitivities of the Academy's rawtoaces, which no prior was learnt from; ISO 7589 studio
tungsten. Rivals: Cheung et al. 2004 and Finlayson, Mackiewicz & Hurlbert 2015 as colour-science has them.
"""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spaces import (
    D65_XYZ,
    lab_to_linear,
    lab_to_xyz,
    linear_to_lab,
    srgb_decode,
    srgb_encode,
    xyz_to_lab,
)
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from palette.evidence.correction import light as lights
from tests.benchmarks.photo import pictures


@pytest.fixture(scope="module")
def chart():
    """Readings (24, 3) of an 8-bit picture developed straight, balanced for daylight, and the truths."""
    published = pictures._published()
    camera = published["cameras"]["Canon"]
    power = published["lights"]["ISO 7589 Studio Tungsten"]
    surfaces = pictures.chart("ColorChecker N Ohta")
    raw = surfaces @ (camera * power[:, None]) / (camera.T @ published["lights"]["D55"])
    # the camera's matrix: least squares on the chart itself under D55, as a maker would print it
    day = published["lights"]["D55"]
    balanced = surfaces @ (camera * day[:, None]) / (camera.T @ day)
    matrix = np.linalg.lstsq(balanced, lab_to_linear(pictures.lab_of(surfaces)), rcond=None)[0]
    linear = raw @ matrix
    level = srgb_encode(np.clip(0.85 * linear / linear.max(), 0, 1))
    return srgb_decode(np.rint(255 * level) / 255), pictures.lab_of(pictures.chart("BabelColor Average"))


def readings(chart, chosen):
    linear, truth = chart
    return [AnchorReading(str(i), linear[i], np.eye(3) * 1e-7, truth[i]) for i in chosen]


def parts(chart, chosen):
    linear, truth = chart
    rest = np.setdiff1d(np.arange(24), chosen)
    lab, covariance = fit(readings(chart, chosen)).apply(
        linear[rest], np.stack([np.eye(3) * 1e-7] * len(rest))
    )
    return lab, covariance, truth[rest], linear[rest]


@pytest.mark.parametrize(
    ("method", "terms"), [("Cheung 2004", {"terms": 3}), ("Finlayson 2015", {"degree": 2})]
)
def test_over_many_choices_of_six_anchors_the_parts_come_out_a_tenth_better(chart, method, terms):
    """Three greys and three colours, 16 choices; a choice that happens to suit a regression may go to it."""
    import colour

    linear, truth = chart
    rng = np.random.default_rng(17)
    ours, theirs = [], []
    for _ in range(16):
        chosen = [*rng.choice(np.arange(18, 24), 3, False), *rng.choice(18, 3, False)]
        lab, _, want, rest = parts(chart, chosen)
        xyz = colour.colour_correction(
            rest, linear[chosen], lab_to_xyz(truth[chosen]), method=method, **terms
        )
        ours.append(np.median(difference(lab, want)))
        theirs.append(np.median(difference(xyz_to_lab(xyz, D65_XYZ), want)))
    assert np.median(ours) < 0.9 * np.median(theirs)


@pytest.mark.parametrize("chosen", [list(range(18, 24)), [20], [18, 20, 22, 12, 13, 14]])
def test_anchored_parts_beat_as_shot_and_lie_inside_their_radius(chart, chosen):
    lab, covariance, want, rest = parts(chart, chosen)
    assert np.median(difference(lab, want)) < 0.4 * np.median(difference(linear_to_lab(rest), want))
    inside = [difference(m, t) <= radius90(m, c) for m, c, t in zip(lab, covariance, want, strict=True)]
    assert np.mean(inside) >= 0.75  # nine in ten over many pictures; one picture's errors go together


def test_a_stated_light_is_the_published_white():
    import colour

    xy = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["A"]
    rgb = colour.XYZ_to_RGB(
        colour.xy_to_XYZ(xy), "sRGB", apply_cctf_encoding=False, chromatic_adaptation_transform=None
    )
    full = lights.stated("A")[0].mean
    assert full == pytest.approx(
        lights.cast_of(np.maximum(rgb, 0.005)) - lights.cast_of(np.ones(3)), abs=0.02
    )
