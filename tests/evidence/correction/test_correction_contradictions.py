"""What anchors that cannot all be true may and may not make of a picture."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_decode, srgb_encode
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from palette.evidence.correction.notes import AnchorAstray
from palette.words import say

# From memory of the 24-patch chart's published colours: six columns, four rows.
CHART = np.array(
    [
        [38, 13, 14], [66, 17, 17], [50, -4, -22], [43, -14, 22], [55, 9, -25], [71, -33, 0],
        [62, 35, 57], [40, 10, -44], [51, 47, 17], [30, 22, -21], [72, -24, 57], [71, 19, 67],
        [29, 20, -54], [55, -39, 33], [41, 53, 27], [81, 3, 80], [51, 50, -14], [51, -28, -28],
        [96, 0, 1], [81, 0, 0], [66, 0, 0], [50, 0, 0], [35, 0, 0], [20, 0, 0],
    ],
    dtype=float,
)  # fmt: skip
PLACE = np.array([[0.1 + 0.16 * (i % 6), 0.2 + 0.2 * (i // 6)] for i in range(24)])
SHOT = lab_to_linear(CHART) * [0.75, 0.6, 0.4]
NOISE = np.eye(3) * 1e-6
KINDS = ["photograph", "print"]


def anchors(shot, said, place=PLACE):
    return [
        AnchorReading(f"anchor {i}", shot[i], NOISE, said[i], centre=tuple(place[i]))
        for i in range(len(shot))
    ]


def holds(correction, shot=SHOT, truth=CHART, place=PLACE):
    lab, covariance = correction.apply(shot, np.stack([NOISE] * len(shot)), place)
    radii = np.array([radius90(mean, spread) for mean, spread in zip(lab, covariance, strict=True)])
    return float((difference(lab, truth) < radii).mean())


def invented(correction):
    return [
        note
        for note in map(say, correction.notes)
        if any(w in note for w in ("evened", "faded", "stray light"))
    ]


@pytest.mark.parametrize("chosen", [np.arange(24), np.array([0, 1, 2, 4, 5, 8, 13, 15, 18, 19, 21, 22, 23])])
def test_a_chart_turned_by_180_degrees_is_told_and_nothing_is_invented_to_explain_it(chosen):
    said = CHART[23 - chosen]
    correction = fit(anchors(SHOT[chosen], said, PLACE[chosen]))
    assert any("turned" in note for note in map(say, correction.notes))
    assert len(correction.contradicting) == len(chosen)
    assert not invented(correction)
    assert holds(correction) > 0.9


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(4))
def test_anchors_of_colours_at_random_make_no_light_and_no_fading(kind, seed):
    rng = np.random.default_rng(seed)
    chosen = rng.permutation(24)[:7]
    correction = fit(anchors(SHOT[chosen], CHART[np.roll(chosen, 2)], PLACE[chosen]), kind=kind)
    assert len(correction.contradicting) > 1
    assert not invented(correction)
    assert holds(correction) > 0.8


@pytest.mark.parametrize("kind", KINDS)
def test_one_spot_given_three_colours_is_not_believed(kind):
    three = [AnchorReading(str(i), SHOT[14], NOISE, CHART[i], centre=(0.4, 0.5)) for i in (14, 5, 21)]
    correction = fit(three, kind=kind)
    assert correction.contradicting == ("14", "5", "21")
    assert any("one spot" in note for note in map(say, correction.notes))
    assert not invented(correction)
    assert holds(correction) > 0.9


def test_true_anchors_on_one_spot_or_of_one_colour_are_left_in_peace():
    same = [
        AnchorReading(str(i), SHOT[20], NOISE, CHART[20] + [0.5, 1, -1], centre=(0.4, 0.5)) for i in (1, 2)
    ]
    assert fit([*same, *anchors(SHOT[[0, 8]], CHART[[0, 8]])]).contradicting == ()


@pytest.mark.parametrize("steep", [-1.1, 0.9])
def test_a_steep_fall_of_the_light_is_found_in_full(steep):
    chosen = [0, 5, 8, 14, 18, 20, 22, 23]
    fallen = SHOT * np.exp(steep * (PLACE[:, :1] - 0.5))
    correction = fit(anchors(fallen[chosen], CHART[chosen], PLACE[chosen]))
    across = correction.components[0].posterior.theta[correction.components[0].model.fall][0]
    assert across == pytest.approx(steep, rel=0.12)


@pytest.mark.parametrize("flare", [0.04, 0.1])
@pytest.mark.parametrize("chosen", [[18, 21, 23], [18, 20, 22, 23], [5, 12, 14, 18, 21, 23]])
def test_a_tenth_of_white_as_stray_light_is_taken_off_without_accusing_the_black_or_the_dyes(flare, chosen):
    shot = SHOT + flare * SHOT[18]
    correction = fit(anchors(shot[chosen], CHART[chosen], PLACE[chosen]))
    assert correction.contradicting == ()
    assert any("stray light" in note for note in map(say, correction.notes))
    assert not any("faded" in note for note in map(say, correction.notes))
    lab, _ = correction.apply(shot, np.stack([NOISE] * 24), PLACE)
    assert np.median(difference(lab, CHART)) < 3
    assert holds(correction, shot) > 0.9


@pytest.mark.parametrize("size", [(600, 400), (400, 600)])
def test_a_lens_that_darkens_the_corners_is_undone_round(size):
    width, height = size
    fifths = np.array([[x, y] for x in (0.06, 0.5, 0.94) for y in (0.06, 0.5, 0.94)])
    place = np.concatenate([PLACE[[18, 20, 22, 23, 5, 8]], fifths])
    said = np.concatenate([CHART[[18, 20, 22, 23, 5, 8]], np.tile(CHART[20], (9, 1))])
    off = (place - 0.5) * size / np.hypot(width, height)
    fallen = lab_to_linear(said) * [0.75, 0.6, 0.4] * (1 + 1.2 * (off**2).sum(axis=1, keepdims=True)) ** -2
    correction = fit(anchors(fallen, said, place), size=size)
    assert correction.contradicting == ()
    # 1 - (1 + 0.3) ** -2 = 41 % at the corners
    assert any(
        "from the middle to the corners" in note and "falls off by 4" in note
        for note in map(say, correction.notes)
    )
    assert not any("left to right" in note or "top to bottom" in note for note in map(say, correction.notes))
    assert np.max(correction.residuals) < 2


def rendered(light, saturation, twist):
    """The chart by a telephone in poor light: tone by brightness, colours pushed and turned, 8 bits."""
    linear = lab_to_linear(CHART) * light
    luma = (linear @ [0.2126, 0.7152, 0.0722])[:, None]
    linear = linear * 1.1 * luma**-0.2 / (luma**0.8 + 0.25)
    luma = (linear @ [0.2126, 0.7152, 0.0722])[:, None]
    linear = luma + saturation * (linear - luma)
    linear = linear + twist * (linear - np.roll(linear, 1, axis=1))
    return srgb_decode(np.rint(255 * srgb_encode(np.clip(linear, 0, 1))) / 255)


@pytest.mark.parametrize("colours", [[12, 13, 14], [5, 8, 11], [2, 15, 16]])
@pytest.mark.parametrize(
    ("light", "saturation", "twist"),
    [([0.45, 0.22, 0.07], 1.0, [0.15, -0.1, 0.15]), ([0.3, 0.2, 0.09], 1.3, [0.1, -0.05, 0.1])],
)
def test_true_anchors_of_a_dim_warm_picture_far_from_all_that_was_learnt_are_believed(
    light, saturation, twist, colours
):
    shot = rendered(light, saturation, twist)
    chosen = [18, 21, 23, *colours]
    readings = [
        AnchorReading(f"anchor {i}", shot[i], np.diag((0.01 * shot[i]) ** 2), CHART[i], clipped=shot[i] <= 0)
        for i in chosen
    ]
    correction = fit(readings)
    assert correction.contradicting == ()
    lab, _ = correction.apply(shot, np.zeros((24, 3, 3)))
    assert np.median(difference(lab, CHART)) < 0.7 * np.median(difference(linear_to_lab(shot), CHART))


def test_a_black_that_stray_light_lifts_and_strong_colours_that_a_renderer_turns_are_not_accused():
    shot = rendered([0.8, 0.75, 0.7], 1.2, [0.12, -0.1, 0.12]) + 0.01
    readings = [
        AnchorReading(
            f"anchor {i}", shot[i], np.diag((0.01 * shot[i]) ** 2), CHART[i], centre=tuple(PLACE[i])
        )
        for i in range(24)
    ]
    assert fit(readings).contradicting == ()


@pytest.mark.parametrize("chosen", [[18, 20, 21, 23], [18, 14, 21, 23], [18, 20, 21, 23, 12, 14]])
def test_a_surface_wrongly_stated_as_n_8_is_named(chosen):
    said = CHART.copy()
    said[chosen[2]] = [80.0, 0, 0]
    correction = fit(anchors(SHOT[chosen], said[chosen], PLACE[chosen]))
    assert "anchor 2" in correction.contradicting


@pytest.mark.parametrize("chosen", [[18, 20, 14, 22], [18, 13, 21, 12], [18, 14, 13, 12]])
def test_a_white_called_red_among_four_is_named_and_nobody_else(chosen):
    said = CHART[chosen].copy()
    said[0] = [41, 53, 27]
    assert fit(anchors(SHOT[chosen], said, PLACE[chosen])).contradicting == ("anchor 0",)


@pytest.mark.parametrize("chosen", [[18, 20, 22, 13], [18, 20, 22, 13, 12, 14], [18, 20, 13]])
def test_a_grey_one_step_too_light_is_told_and_moves_nothing_far(chosen):
    said = CHART[chosen].copy()
    said[1] = [81.3, 0, 0]  # N 8 where the chart has N 6.5
    correction = fit(anchors(SHOT[chosen], said, PLACE[chosen]))
    (note,) = [note for note in correction.notes if isinstance(note, AnchorAstray)]
    assert note.anchor == "anchor 1" and note.off > 8
    assert holds(correction) > 0.9
    assert "is its colour right?" in say(note)


@pytest.mark.parametrize("chosen", [[18, 20, 22, 13], [18, 20, 22, 23, 12, 11, 14, 13]])
def test_a_green_called_a_light_grey_is_named_and_no_right_anchor_beside_it(chosen):
    said = CHART[chosen].copy()
    green = chosen.index(13)
    said[green] = [81.3, 0, 0]
    correction = fit(anchors(SHOT[chosen], said, PLACE[chosen]))
    assert correction.contradicting == (f"anchor {green}",)
    assert holds(correction) > 0.9


def test_true_anchors_are_not_told_to_be_astray():
    rng = np.random.default_rng(5)
    for chosen in ([18, 20, 22, 13], [18, 20, 22, 13, 12, 14], [18, 20, 13]):
        shot = lab_to_linear(CHART + rng.normal(0, 1.0, CHART.shape)) * [0.75, 0.6, 0.4]
        correction = fit(anchors(shot[chosen], CHART[chosen], PLACE[chosen]))
        assert not any(isinstance(note, AnchorAstray) for note in correction.notes)
