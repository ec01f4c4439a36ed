"""Faded prints: densities of the layers scaled and lifted, which few anchors and lost layers must survive.

Made as the fading is described in Wilhelm & Brower, "The Permanence and Care of Color Photographs", 1993
(from memory): each layer keeps a share of its density, and the base takes a stain.
"""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spaces import linear_to_lab
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from palette.words import say
from tests.evidence.correction.test_correction_contradictions import CHART, SHOT

ORIGINAL = np.clip(SHOT / SHOT[18].max(), 0.002, 1)
NOISE = np.eye(3) * 1e-6


def faded(kept, stain=(0.02, 0.05, 0.15)):
    return 10 ** (np.log10(ORIGINAL) * kept - np.array(stain))


def anchored(shot, chosen, known=True, **more):
    readings = [AnchorReading(f"anchor {i}", shot[i], NOISE, CHART[i] if known else None) for i in chosen]
    return fit(readings, **more)


def scene(shot):
    return np.repeat(shot, 100, axis=0).reshape(40, 60, 3)


def told(correction, shot):
    lab, covariance = correction.apply(shot, np.stack([NOISE] * len(shot)))
    radii = np.array([radius90(mean, spread) for mean, spread in zip(lab, covariance, strict=True)])
    off = difference(lab, CHART)
    return float(np.median(off)), float((off < radii).mean()), float(np.median(radii))


@pytest.mark.parametrize("kept", [(0.4, 0.9, 0.8), (0.8, 0.45, 0.7), (0.9, 0.7, 0.3)])
def test_two_greys_restore_a_faded_print(kept):
    shot = faded(kept)
    correction = anchored(shot, (18, 22), kind="print")
    assert correction.contradicting == ()
    assert any("dyes have faded" in note for note in map(say, correction.notes))
    off, inside, _ = told(correction, shot)
    assert off < 4
    assert inside > 0.85


@pytest.mark.parametrize("kept", [(0.4, 0.9, 0.8), (0.15, 0.8, 0.7), (0.8, 0.3, 0.7)])
def test_two_neutrals_of_unknown_lightness_restore_a_faded_print_s_balance(kept):
    shot = faded(kept)
    correction = anchored(shot, (18, 22), known=False, kind="print", scene=scene(shot))
    assert correction.contradicting == ()
    assert any("dyes have faded" in note for note in map(say, correction.notes))
    off, inside, _ = told(correction, shot)
    assert off < 9
    assert inside > 0.85


@pytest.mark.parametrize("lost", range(3))
@pytest.mark.parametrize("kind", ["print", "photograph"])
def test_a_layer_all_but_gone_is_told_and_no_other_tale_is_made_of_it(lost, kind):
    kept = np.array([0.7, 0.75, 0.65])
    kept[lost] = 0.03
    shot = faded(kept)
    correction = anchored(shot, range(18, 24), kind=kind)
    assert correction.contradicting == ()
    layer = ("cyan", "magenta", "yellow")[lost]
    assert any(
        f"{layer} layer has lost too much to be restored" in note for note in map(say, correction.notes)
    )
    assert not any("evened" in note or "stray light" in note for note in map(say, correction.notes))
    _, inside, radius = told(correction, shot)
    assert inside > 0.85
    assert radius > 9


@pytest.mark.parametrize("kept", [(0.4, 0.9, 0.8), (0.03, 0.7, 0.6), (0.7, 0.7, 0.1), (0.85, 0.9, 0.9)])
def test_a_print_without_anchors_is_restored_by_its_ranges_as_far_as_they_tell(kept):
    shot = faded(kept)
    as_shot = float(np.median(difference(linear_to_lab(shot), CHART)))
    off, inside, radius = told(fit([], kind="print", scene=scene(shot)), shot)
    assert inside > 0.85
    assert radius > 12
    if min(kept) < 0.2:
        assert off < 0.6 * as_shot


def test_an_unfaded_print_without_anchors_is_not_called_faded():
    correction = fit([], kind="print", scene=scene(ORIGINAL))
    assert not any("faded" in note for note in map(say, correction.notes))


@pytest.mark.parametrize(("year", "said"), [(1955, True), (2015, False)])
def test_an_old_slide_may_have_faded_and_a_new_one_not(year, said):
    shot = faded((0.15, 0.8, 0.75))
    correction = fit([], kind="photograph", year=year, scene=scene(shot))
    assert any("faded" in note for note in map(say, correction.notes)) == said
