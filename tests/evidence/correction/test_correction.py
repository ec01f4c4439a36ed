"""The correction of made readings whose truth is known; tests/benchmarks/photo has the figures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from palette.evidence.correction import light as lights
from palette.evidence.correction.possible import possible
from palette.evidence.correction.reading import spread_covariance
from palette.words import say

GREYS = np.array([[95.0, 0, 0], [80, 0, 0], [65, 0, 0], [50, 0, 0], [35, 0, 0], [20, 0, 0]])
COLOURS = np.array([[40.0, 50, 30], [50, -30, 30], [30, 10, -40], [70, 5, 60], [60, 25, 20], [55, -20, -25]])
LAB = np.concatenate([GREYS, COLOURS])
TRUE = lab_to_linear(LAB)
WARM = np.array([0.9, 0.55, 0.25])  # as a tungsten lamp on a picture balanced for daylight
NOISE = np.eye(3) * 1e-6


def anchor(i, linear, lab=LAB, place=None, **more):
    centre = None if place is None else tuple(place[i])
    return AnchorReading(
        f"anchor {i}", linear[i], NOISE, None if lab is None else lab[i], centre=centre, **more
    )


def corrected(correction, linear=TRUE, place=None):
    return correction.apply(linear, np.stack([NOISE] * len(linear)), place)


def radii(lab, covariance):
    return np.array([radius90(mean, spread) for mean, spread in zip(lab, covariance, strict=True)])


def test_greys_fix_light_and_exposure_and_say_so():
    correction = fit([anchor(i, TRUE * WARM) for i in range(6)])
    lab, covariance = corrected(correction, TRUE * WARM)
    assert difference(lab[:6], GREYS).max() < 0.5
    assert say(correction.method).startswith("fitted on six anchors, all of them grey; leave one out")
    assert correction.contradicting == ()
    # a colour far from all anchors is left wider than a grey among them
    assert radii(lab, covariance)[6:].min() > 1.5 * radii(lab, covariance)[:5].max()


def test_all_scales_at_once_say_what_each_says_weighed():
    posterior = fit([anchor(i, TRUE * WARM) for i in (0, 3, 6, 9)]).components[0].posterior
    given = TRUE[[1, 7]] * WARM, np.full((2, 2), 0.5), np.stack([NOISE] * 2)
    assert len(posterior.scales) > 2
    labs, spreads = zip(
        *(
            replace(posterior, scales=(scale,), inverses=inverse[None], weights=np.ones(1)).predict(*given)
            for scale, inverse in zip(posterior.scales, posterior.inverses, strict=True)
        ),
        strict=True,
    )
    lab, covariance = posterior.predict(*given)
    mean = np.tensordot(posterior.weights, labs, axes=1)
    off = np.array(labs) - mean
    total = np.tensordot(posterior.weights, np.array(spreads) + off[..., None] * off[..., None, :], axes=1)
    np.testing.assert_allclose(lab, mean, atol=1e-9)
    np.testing.assert_allclose(covariance, total, atol=1e-9)


def test_coloured_anchors_narrow_the_colours_near_them():
    few = fit([anchor(i, TRUE * WARM) for i in range(6)])
    more = fit([anchor(i, TRUE * WARM) for i in (*range(6), 6, 8, 9)])
    near = LAB[[6]] + [3.0, -4.0, 2.0]
    reading = lab_to_linear(near) * WARM
    (lab_few, wide), (lab_more, narrow) = corrected(few, reading), corrected(more, reading)
    assert radii(lab_more, narrow)[0] < 0.6 * radii(lab_few, wide)[0]
    assert difference(lab_more, near)[0] < difference(lab_few, near)[0]


def test_a_neutral_of_unknown_lightness_corrects_the_cast_and_leaves_lightness_open():
    known = fit([anchor(2, TRUE * WARM)])
    unknown = fit([anchor(2, TRUE * WARM, lab=None)])
    lab, covariance = corrected(unknown, TRUE * WARM)
    assert np.hypot(lab[:6, 1], lab[:6, 2]).max() < 2.5
    sd = np.sqrt(covariance[3, 0, 0])
    assert sd > 3 * np.sqrt(corrected(known, TRUE * WARM)[1][3, 0, 0])
    assert abs(lab[3, 0] - 50) < 2 * sd
    assert any("lightness" in note for note in map(say, unknown.notes))


def test_the_lightness_guessed_from_the_brightest_does_not_depend_on_the_cast():
    # the geometric mean of the channels, as the gains' level is: a warm white's luminance is higher than that
    lightness = []
    for cast in (np.ones(3), WARM / np.prod(WARM) ** (1 / 3), np.array([1.6, 1.0, 1 / 1.6])):
        scene = np.repeat(TRUE * 0.5 * cast, 200, axis=0).reshape(40, 60, 3)
        grey = fit([anchor(3, TRUE * 0.5 * cast, lab=None)], scene=scene)
        lightness.append(corrected(grey, TRUE * 0.5 * cast)[0][0, 0])
    assert np.ptp(lightness) < 3 and abs(lightness[0] - 95) < 8


def test_the_radius_follows_the_anchor_s_own_spread():
    tight = fit([anchor(i, TRUE, spread=0.5) for i in range(3)])
    loose = fit([anchor(i, TRUE, spread=8.0) for i in range(3)])
    assert radii(*corrected(loose))[3] > 1.5 * radii(*corrected(tight))[3]


def test_a_settled_part_counts_with_its_own_covariance():
    wide = np.diag([100.0, 200.0, 200.0])
    sure = fit([anchor(1, TRUE), anchor(3, TRUE)])
    unsure = fit([anchor(1, TRUE, lab_covariance=wide), anchor(3, TRUE, lab_covariance=wide)])
    assert radii(*corrected(unsure))[2] > 2 * radii(*corrected(sure))[2]


def test_one_false_anchor_is_named_and_does_not_drag_the_rest():
    lab = LAB.copy()
    lab[2] = [65.0, 30, 10]
    correction = fit([anchor(i, TRUE * WARM, lab) for i in (0, 1, 2, 3, 4, 8, 9)])
    assert correction.contradicting == ("anchor 2",)
    assert "anchor 2 contradicts the other anchors" in say(correction.notes[0])
    assert difference(corrected(correction, TRUE * WARM)[0][:5], GREYS[:5]).max() < 1.0
    assert correction.left_out[2] > 10 > correction.left_out[1]


def test_two_that_cannot_both_be_true_are_both_named():
    lab = LAB.copy()
    lab[3] = LAB[0]
    correction = fit([anchor(i, TRUE, lab) for i in (2, 3)])
    assert set(correction.contradicting) == {"anchor 2", "anchor 3"}
    assert radii(*corrected(correction))[:6].min() > 8


def test_a_channel_that_ran_out_accuses_nobody():
    # white and red as a made camera balanced for daylight gives them under a lamp of about 2700 K
    shot = np.array([[1.0, 0.588, 0.221], [0.625, 0.021, 0.040]])
    lab = np.array([[95.47, -0.35, 0.76], [40.94, 52.84, 25.58]])
    ran_out = [np.array([1.0, 0, 0]), np.zeros(3)]
    assert fit([anchor(i, shot, lab, clipped=ran_out[i]) for i in range(2)]).contradicting == ()


def test_a_chart_upside_down_is_told():
    turned = np.concatenate([GREYS[::-1], COLOURS])
    correction = fit([anchor(i, TRUE, turned) for i in range(6)])
    assert len(correction.contradicting) == 6
    assert any("upside down" in note for note in map(say, correction.notes))


def test_true_anchors_are_not_accused():
    rng = np.random.default_rng(4)
    for _ in range(5):
        shift = rng.normal(0, 0.5, LAB.shape)
        correction = fit([anchor(i, lab_to_linear(LAB + shift) * WARM) for i in range(12)])
        assert correction.contradicting == ()


def test_uneven_light_is_taken_out_where_it_shows_and_never_invented():
    rng = np.random.default_rng(2)
    place = rng.uniform(0, 1, (12, 2))
    fallen = TRUE * np.exp(0.6 * (place[:, :1] - 0.5))
    with_fall = fit([anchor(i, fallen, place=place) for i in range(12)])
    even = fit([anchor(i, TRUE, place=place) for i in range(12)])
    assert any("light grows from left to right" in note for note in map(say, with_fall.notes))
    assert not any("light" in note for note in map(say, even.notes))
    same = np.stack([TRUE[3], TRUE[3]])
    lab, _ = corrected(even, same, np.array([[0.1, 0.5], [0.9, 0.5]]))
    assert difference(lab[0], lab[1]) < 0.5
    lab, _ = corrected(with_fall, same, np.array([[0.1, 0.5], [0.9, 0.5]]))
    assert lab[0, 0] - lab[1, 0] > 5  # the same reading is a lighter surface where less light falls


def test_a_faded_print_is_restored_layer_by_layer():
    kept = np.array([0.45, 0.8, 0.7])
    faded = TRUE**kept * [0.95, 0.8, 0.6]
    correction = fit([anchor(i, faded) for i in (0, 2, 4)], kind="print", year=1962)
    assert any(
        "dyes have faded" in note and "cyan layer keeps 4" in note for note in map(say, correction.notes)
    )
    assert difference(corrected(correction, faded)[0][:5], GREYS[:5]).max() < 2.0
    fresh = fit([anchor(i, TRUE * WARM) for i in (0, 2, 4)], kind="print", year=1962)
    assert not any("faded" in note for note in map(say, fresh.notes))


def test_a_layer_that_is_all_but_gone_is_told_and_widens():
    def wide(kept):
        faded = TRUE ** np.array([kept, 0.8, 0.7])
        noisy = [replace(anchor(i, faded), covariance=np.eye(3) * 1e-4) for i in range(6)]
        correction = fit(noisy, kind="print")
        _, covariance = correction.apply(faded, np.stack([np.eye(3) * 1e-4] * len(faded)))
        return correction, np.sqrt(covariance[3].trace())

    gone, gone_sd = wide(0.2)
    there, there_sd = wide(0.7)
    assert any("cyan layer has lost too much" in note for note in map(say, gone.notes))
    assert not any("lost too much" in note for note in map(say, there.notes))
    assert gone_sd > 1.2 * there_sd


def test_an_unanchored_tungsten_slide_comes_out_wide_and_holds_the_truth():
    seen = TRUE * WARM
    scene = np.repeat(seen, 200, axis=0).reshape(40, 60, 3)
    for given in ({}, {"scene": scene}, {"light": "A"}, {"light": 2856.0, "scene": scene}):
        correction = fit([], **given)
        lab, covariance = corrected(correction, seen)
        assert radii(lab, covariance)[:6].min() > 8
        assert (difference(lab, LAB) < radii(lab, covariance)).mean() > 0.8
        assert say(correction.method).startswith("no anchor")


def test_a_stated_light_corrects_unless_the_picture_looks_balanced():
    balanced = np.clip(np.repeat(TRUE, 200, axis=0).reshape(40, 60, 3), 0, 1)
    warm = balanced * WARM
    grey_if_warm = corrected(fit([], light="A", scene=warm), TRUE * WARM)[0][2]
    grey_if_balanced = corrected(fit([], light="A", scene=balanced), TRUE)[0][2]
    as_shot = corrected(fit([]), TRUE * WARM)[0][2]
    assert np.hypot(*grey_if_warm[1:]) < 0.4 * np.hypot(*as_shot[1:])
    assert np.hypot(*grey_if_balanced[1:]) < 8
    with pytest.raises(ValueError, match="no light"):
        fit([], light="candle")


def test_clipped_anchors_count_for_less_and_are_told():
    clipped = TRUE * 1.3
    clipped[0] = np.minimum(clipped[0], 1.0)
    share = np.array([1.0, 1.0, 1.0])
    correction = fit([anchor(0, clipped, clipped=share), anchor(2, clipped), anchor(4, clipped)])
    said = "anchor 0 is clipped, 100 % in red, 100 % in green and 100 % in blue, so it counts for less"
    assert said in map(say, correction.notes)
    assert difference(corrected(correction, clipped)[0][[2, 4]], LAB[[2, 4]]).max() < 2.0


def test_colours_that_no_surface_has_are_drawn_back_unless_they_are_sure():
    lab = np.array([[-4.0, 0, 0], [104, 3, 2], [68, -6, 269], [50, 20, 20], [70, 60, 110]])
    sd = np.array([[9.0, 5, 5], [5, 4, 4], [4, 17, 517], [30, 30, 30], [1, 1, 1]])
    covariance = sd[:, :, None] ** 2 * np.eye(3)
    covariance[1, 0, 2] = covariance[1, 2, 0] = 16.0
    back = possible(lab, covariance)
    # black, white, and what goes with being so light by error: b* falls by 16 / 25 of L*'s step
    assert back[0].tolist() == [0, 0, 0] and back[1] == pytest.approx([100, 3, 2 - 4 * 16 / 25])
    # Pointer (1980): no surface of hue 90 and L* 70 has a C* above 90; a tenth more is allowed
    assert 90 < back[2, 2] < 102 and back[2, 0] == 68
    # what is possible stays however vague, and what was measured to a unit stays though it is fluorescent
    assert back[3:].tolist() == lab[3:].tolist()


@pytest.mark.parametrize(
    "linear", [np.zeros(3), np.ones(3), np.array([0.4, 1e-6, 0.0]), np.array([-0.01, 0.2, 3.0])]
)
def test_odd_readings_give_finite_wide_answers(linear):
    correction = fit([AnchorReading("odd", linear, np.zeros((3, 3)), np.array([50.0, 0, 0]))])
    lab, covariance = correction.apply(np.array([linear, TRUE[3]]), np.zeros((2, 3, 3)))
    assert np.isfinite(lab).all() and np.isfinite(covariance).all()
    assert (np.linalg.eigvalsh(covariance) > -1e-9).all()


def test_anchors_all_on_one_colour_do_not_pretend_to_more():
    one = fit([anchor(2, TRUE * WARM)])
    thrice = fit([anchor(2, TRUE * WARM)] * 3)
    far = radii(*corrected(thrice, TRUE * WARM))[6:]
    assert (far > 0.6 * radii(*corrected(one, TRUE * WARM))[6:]).all()


def test_spread_is_the_radius_that_holds_nine_in_ten():
    for lab in ([50.0, 0, 0], [30.0, 40, -20], [70.0, -10, 60]):
        assert radius90(np.array(lab), spread_covariance(np.array(lab), 2.0)) == pytest.approx(2.0, rel=0.2)


def test_the_four_estimates_find_a_grey_world_s_light():
    rng = np.random.default_rng(3)
    scene = rng.uniform(0.02, 0.6, (60, 80, 1)) * WARM
    estimates = lights.estimates(scene)
    assert set(estimates) == {"grey world", "max-RGB", "shades of grey", "grey edge"}
    truth = WARM / np.linalg.norm(WARM)
    for rgb in estimates.values():
        assert np.degrees(np.arccos(min(rgb @ truth, 1.0))) < 0.5
    cast, angles = lights.estimated(scene)
    assert angles.max() < 0.5
    assert cast.mean == pytest.approx(lights.cast_of(WARM), abs=0.02)
    # six degrees of error are kept however well the four agree
    assert np.sqrt(cast.covariance[1, 1]) > 0.08


def test_a_plain_surface_of_unknown_colour_shows_how_the_light_falls():
    # fails where marks on one wall are no more than so many unknown greys
    place = np.array([[x, y] for y in (0.2, 0.8) for x in (0.05, 0.35, 0.65, 0.95)])
    ramp = np.exp(0.9 * (place[:, 0] - 0.5))[:, None]
    noise = np.eye(3) * 1e-6
    wall = lab_to_linear(np.array([[72.0, 0, 0]] * 8)) * ramp * [0.9, 0.7, 0.5]
    part = lab_to_linear(np.array([[45.0, 30, 20]])) * np.exp(0.9 * 0.4) * [0.9, 0.7, 0.5]
    card = lab_to_linear(np.array([[50.0, 0, 0]])) * np.exp(-0.9 * 0.4) * [0.9, 0.7, 0.5]

    def off(surface):
        marks = [
            AnchorReading(f"wall {i}", wall[i], noise, None, centre=tuple(place[i]), surface=surface)
            for i in range(8)
        ]
        grey = AnchorReading("card", card[0], noise, np.array([50.0, 0, 0]), centre=(0.1, 0.5))
        correction = fit([grey, *marks])
        lab, _ = correction.apply(part, noise[None], np.array([[0.9, 0.5]]))
        return float(difference(lab[0], np.array([45.0, 30, 20]))), [say(note) for note in correction.notes]

    plain, notes = off("wall")
    assert plain < 4 and any("evened out" in note for note in notes)
    assert off("")[0] > 1.5 * plain
