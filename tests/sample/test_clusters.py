"""Colours of pictures: one a surface in sun and shade, no highlights, the same every time."""

import numpy as np
from scipy.ndimage import gaussian_filter
from skimage.data import chelsea
from sklearn.datasets import load_sample_image

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_decode
from palette.sample.clusters import clusters
from palette.sample.notes import AsManyAsAsked, NoMoreColours, ShadesTogether
from tests.benchmarks.clusters import errors, make, make_even, plain_kmeans, share_errors


def _bands(labs: list[list[float]], shade: np.ndarray) -> np.ndarray:
    rows = [
        np.broadcast_to(lab_to_linear(np.array(lab)), (40, 160, 3)) * shade[None, :, None] for lab in labs
    ]
    return np.concatenate(rows)


SHADE = np.clip(np.linspace(1.3, 0.55, 160), None, 1.0)
LABS = [[40.0, 45, 25], [70.0, -10, 40], [30.0, 5, -35], [80.0, 1, 3]]


def test_a_shaded_surface_is_one_colour_that_of_its_lit_side() -> None:
    clustered = clusters([_bands(LABS, SHADE)])
    assert len(clustered.colours) == 4
    assert errors(np.array(LABS), np.array([c.lab for c in clustered.colours])).max() < 1.0
    assert sum(c.share for c in clustered.colours) == 1.0
    np.testing.assert_allclose([c.share for c in clustered.colours], 0.25, atol=0.01)


def test_a_highlight_is_no_colour() -> None:
    picture = _bands(LABS, np.ones(160)).copy()
    y, x = np.mgrid[0:160, 0:160]
    for row in (20, 100):
        picture += 0.9 * np.exp(-((y - row) ** 2 + (x - 60) ** 2) / 30)[..., None]
    clustered = clusters([np.minimum(picture, 1)])
    assert len(clustered.colours) == 4
    assert errors(np.array(LABS), np.array([c.lab for c in clustered.colours])).max() < 1.0


def test_a_count_is_kept_unless_the_picture_has_fewer() -> None:
    picture = _bands(LABS, np.ones(160))
    assert [len(clusters([picture], n).colours) for n in (1, 2, 3, 4, 9)] == [1, 2, 3, 4, 4]
    assert clusters([picture], 9).reason == NoMoreColours(4)


def test_made_pictures_held_back() -> None:
    # seeds of neither set of the benchmark; it prints 0.2 of plain k-means' error for these sets
    ours, plain = [], []
    for seed in range(9000, 9006):
        made = make(seed)
        ours.append(errors(made.lab, np.array([c.lab for c in clusters([made.linear]).colours])))
        plain.append(errors(made.lab, plain_kmeans(made, len(made.lab))))
    assert np.median(np.concatenate(ours)) <= 0.4 * np.median(np.concatenate(plain))


def test_a_real_photograph_the_same_every_time() -> None:
    linear = srgb_decode(load_sample_image("flower.jpg")[::3, ::3] / 255)
    first, second = clusters([linear]), clusters([linear])
    assert [c.lab.tolist() for c in first.colours] == [c.lab.tolist() for c in second.colours]
    labs = np.array([c.lab for c in first.colours])
    # a painter's two: the orange of the flower, the dark green behind it
    assert difference(labs, [72, 25, 48]).min() < 8 and difference(labs, [20, -18, 2]).min() < 12


def test_transparent_pixels_are_no_evidence() -> None:
    picture = _bands(LABS, np.ones(160)).copy()
    picture[:40] = np.nan
    clustered = clusters([picture])
    assert len(clustered.colours) == 3 and (clustered.labels[0][:40] == -1).all()
    assert (
        difference(np.array([c.lab for c in clustered.colours]), linear_to_lab(lab_to_linear(LABS[0]))).min()
        > 10
    )


def test_one_pixel_black_and_white_and_greys_have_their_own_colours_and_shares() -> None:
    assert len(clusters([np.full((1, 1, 3), 0.2)], 5).colours) == 1
    levels = np.repeat(np.array([0.0, 1.0, 0.3, 0.08]), (10, 20, 30, 40))  # black has no ratios to divide by
    clustered = clusters([np.broadcast_to(levels[None, :, None], (60, 100, 3))])
    np.testing.assert_allclose([c.share for c in clustered.colours], [0.4, 0.3, 0.2, 0.1], atol=0.02)
    expected = linear_to_lab(np.repeat(np.array([[0.08], [0.3], [1.0], [0.0]]), 3, axis=1))
    np.testing.assert_allclose([c.lab for c in clustered.colours], expected, atol=0.2)


def test_a_surface_lit_fully_in_one_corner_only_gets_that_light() -> None:
    # 1.0 in one corner down to 0.55 in the other; without extrapolating its end it lands 0.6 to 1.1 off
    y, x = np.mgrid[0:160, 0:160] / 159
    shade = 1 - 0.225 * (x + y)
    for lab in LABS:
        rng = np.random.default_rng(3)
        light = lab_to_linear(np.array(lab)) * shade[..., None] * (1 + rng.normal(0, 0.01, (160, 160, 1)))
        (colour,) = clusters([light]).colours
        assert difference(colour.lab, np.array(lab)) < 0.3


def test_shares_of_made_pictures_are_those_of_the_areas() -> None:
    for seed in (9100, 9101):
        made = make_even(seed, "edge")
        assert share_errors(made, clusters([made.linear]).colours).max() < 0.01


def test_full_light_is_no_more_than_a_fair_share_of_a_textured_surface_reaches() -> None:
    # folds and texture have a long bright tail; following it to its end gave a colour that no pixel had
    rng = np.random.default_rng(4)
    field = gaussian_filter(rng.normal(0, 1, (300, 300)), 4)
    light = lab_to_linear(np.array([50.0, 40, 40])) * np.exp(0.25 * field / field.std())[..., None]
    (colour,) = clusters([light]).colours
    lightness = linear_to_lab(light)[..., 0]
    assert np.quantile(lightness, 0.7) < colour.lab[0] < np.quantile(lightness, 0.92)
    np.testing.assert_allclose(np.arctan2(colour.lab[2], colour.lab[1]), np.pi / 4, atol=0.01)


def test_near_colours_are_one_unless_asked_for_and_a_small_vivid_one_is_kept() -> None:
    near = [[60.0, 20, 30], [64.0, 18, 25]]  # 4.1 apart
    picture = _bands([*near, [35.0, 5, -35]], np.ones(160)).copy()
    picture[5:20, 5:30] = lab_to_linear(np.array([62.0, 28, 44]))  # 5.7 from the first, but vivid
    clustered = clusters([picture])
    assert len(clustered.colours) == 3 and clustered.reason == ShadesTogether(3)
    assert difference(np.array([c.lab for c in clustered.colours]), [62.0, 28, 44]).min() < 1
    asked = clusters([picture], 4)
    assert len(asked.colours) == 4 and asked.reason == AsManyAsAsked(4, 3)


def test_a_shadow_that_crosses_several_colours_is_one_on_grey_too() -> None:
    # fails when hard shadow on a grey is told for a darker grey although its neighbours show the same shadow,
    # or when a darker grey is taken for shadow: by another share of the light, or with nothing to go by
    rng = np.random.default_rng(6)
    hard = np.where(np.arange(160) < 110, 1.0, 0.5)
    noise = 1 + 0.01 * rng.standard_normal((160, 160, 3))
    clustered = clusters([_bands(LABS, hard) * noise])
    assert len(clustered.colours) == 4
    assert errors(np.array(LABS), np.array([c.lab for c in clustered.colours])).max() < 1.0
    two_greys = _bands(LABS, hard) * noise
    two_greys[120:] /= np.where(np.arange(160) < 110, 1.0, 0.5 / 0.6)[None, :, None]
    assert len(clusters([two_greys]).colours) == 5
    alone = _bands([[40.0, 45, 25], [80.0, 1, 3]], np.ones(160)) * noise[:80]
    alone[40:, 110:] *= 0.5
    assert len(clusters([alone]).colours) == 3


def _spot(picture: np.ndarray, row: int, column: int, radius: float, edge: float) -> None:
    y, x = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]]
    off = np.hypot(y - row, x - column) - radius
    picture += (3 / (1 + np.exp(np.clip(off / edge, -50, 50))))[..., None]


def test_a_burnt_highlight_is_no_colour_and_white_details_stay() -> None:
    # fails when a lamp's mirror image is white paint: soft or sharp, on one surface or across two;
    # or when white paint, a panel that is burnt as well included, is a lamp's mirror image
    for edge in (0.2, 2.5):
        picture = _bands(LABS, np.ones(160)).copy()
        _spot(picture, 20, 40, 9, edge)
        _spot(picture, 80, 110, 7, edge)  # across two bands
        clustered = clusters([np.clip(picture, 0, 1)])
        assert len(clustered.colours) == 4
        assert errors(np.array(LABS), np.array([c.lab for c in clustered.colours])).max() < 1.0
        assert len(clusters([np.clip(picture, 0, 1)], 4).colours) == 4
    for white in (0.93, 1.0):
        picture = _bands(LABS, np.ones(160)).copy()
        picture[10:26, 30:52] = white
        clustered = clusters([picture])
        assert len(clustered.colours) == 5
        assert (
            difference(np.array([c.lab for c in clustered.colours]), linear_to_lab(np.full(3, white))).min()
            < 1
        )


def test_made_pictures_with_burnt_highlights_held_back() -> None:
    # seeds of neither set of the benchmark; with the spots counted as paint 2 of these 6 counts are right
    right = []
    for seed in range(9200, 9206):
        made = make(seed, burnt=True)
        right.append(len(clusters([made.linear]).colours) == len(made.lab))
    assert np.mean(right) >= 0.6


def test_a_small_surface_of_its_own_hue_is_kept() -> None:
    # a cat's green eyes take up 0.3 % of its portrait, and its fur has no such hue
    clustered = clusters([srgb_decode(chelsea() / 255)])
    hue, chroma = (
        np.array([f(c.lab[2], c.lab[1]) for c in clustered.colours]) for f in (np.arctan2, np.hypot)
    )
    assert ((np.degrees(hue) > 80) & (chroma > 25)).any()
    # fails, too, where it goes for a sixth grey
    picture = _bands([[g, 0, 0] for g in (30.0, 42.0, 54.0, 66.0, 78.0, 90.0)], np.ones(160)).copy()
    picture[100:110, 60:70] = lab_to_linear(np.array([75.0, 5, 65]))
    for count in (None, 6):
        labs = np.array([c.lab for c in clusters([picture], count).colours])
        assert difference(labs, [75.0, 5, 65]).min() < 2


def test_sheen_is_not_the_lit_colour() -> None:
    # a polished tank: three fifths of it in sheen that pales as it brightens
    rng = np.random.default_rng(5)
    sheen = np.clip(np.linspace(-0.12, 0.18, 200), 0, None)[None, :, None]
    shade = np.linspace(0.75, 1.0, 120)[:, None, None]
    red = lab_to_linear(np.array([42.0, 58, 40]))
    picture = np.clip(red * shade + sheen + rng.normal(0, 0.002, (120, 200, 3)), 0, 1)
    largest = clusters([picture]).colours[0].lab
    assert difference(largest, [42.0, 58, 40]) < 4
