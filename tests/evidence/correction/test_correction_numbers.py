"""Pictures whose numbers are not sRGB's: a wide space's whose profile was lost, a sensor's own channels."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from palette.words import say
from tests.benchmarks.photo.pictures import TUNING, chart, lab_of, sensed

CHART = lab_of(chart("BabelColor Average"))
LIGHT = lab_to_linear(CHART)
SIX = (18, 20, 22, 3, 12, 14)
REST = [i for i in range(24) if i not in SIX]
# Linear sRGB to ProPhoto (ISO 22028-2), its white adapted to D65: by colour-science
PROPHOTO = np.array([[0.5294, 0.3302, 0.1406], [0.0983, 0.8735, 0.0281], [0.0169, 0.1177, 0.8657]])
WARM = np.array([0.9, 0.6, 0.3])


def anchored(shot, chosen=SIX):
    return fit([AnchorReading(str(i), shot[i], 1e-6 * np.eye(3), CHART[i]) for i in chosen])


def off(correction, shot):
    lab, covariance = correction.apply(shot[REST], np.stack([1e-6 * np.eye(3)] * len(REST)))
    radii = [radius90(m, c) for m, c in zip(lab, covariance, strict=True)]
    return difference(lab, CHART[REST]), np.array(radii)


def told(correction, word):
    return any(word in note for note in map(say, correction.notes))


def test_a_wide_profile_that_was_lost_is_found_and_its_colours_brought_back():
    shot = (LIGHT * WARM) @ PROPHOTO.T
    correction = anchored(shot)
    gap, radii = off(correction, shot)
    assert told(correction, "profile was lost")
    assert np.median(gap) < 1.5  # by greys alone about seven
    assert (gap < radii).mean() > 0.8


@pytest.mark.parametrize("balance", [(1.0, 1.0, 1.0), (0.5, 1.0, 0.67)])
@pytest.mark.parametrize("linear", [False, True])
def test_a_sensor_s_own_channels_are_found_balanced_or_not_and_linear_too(balance, linear):
    light = sensed(TUNING, np.random.default_rng(5), True, chart("BabelColor Average"))
    shot = 0.9 * light / light.max() * np.array(balance)
    if linear:  # the file's numbers are the light, and are read as sRGB's
        level = np.maximum(shot, 1e-4)
        shot = np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)
    correction = anchored(shot)
    gap, radii = off(correction, shot)
    assert told(correction, "sensor's own channels")
    assert np.median(gap) < 4.5  # as shot, or by greys alone, about ten
    assert (gap < radii).mean() > 0.8


def test_neither_is_told_of_a_picture_that_is_sRGB_s_and_greys_tell_neither():
    greys = range(18, 24)
    for shot, chosen in ((LIGHT * WARM, SIX), (LIGHT * WARM, greys), ((LIGHT * WARM) @ PROPHOTO.T, greys)):
        correction = anchored(shot, chosen)
        assert not told(correction, "brought back")
        assert correction.contradicting == ()
