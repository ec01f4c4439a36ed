"""One colour from a region: rendered patches whose body colour is known."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_decode, srgb_encode
from palette.evidence.measure import sample
from palette.evidence.measure.body import body
from palette.evidence.measure.grain import clumping, inflation
from palette.evidence.measure.notes import GlossTakenOff, LightEdge, Shaded
from palette.evidence.measure.screen import screen_period
from palette.evidence.pictures.decode import open_picture
from palette.kit.model import Rect, Spot
from palette.words import say

H, W = 90, 120
Y, X = np.mgrid[:H, :W]
COLOURS = ([50, 20, -30], [30, -10, 8], [15, 2, 3], [62, 0, 0], [82, -2, 30])


def save(path: Path, linear: np.ndarray, **how) -> Path:
    levels = np.rint(np.clip(srgb_encode(linear), 0, 1) * 255).astype(np.uint8)
    Image.fromarray(levels).save(path, **how)
    return path


def take(path: Path, linear: np.ndarray, region=None, kind="photograph", **how):
    region = region or Rect(0, 0, linear.shape[1], linear.shape[0])
    return sample(open_picture(save(path, linear, **how)), region, kind=kind)


def grainy(light: np.ndarray, colour, rng: np.random.Generator, size: float = 0.03, blur: float = 0.0):
    grain = rng.standard_normal((*light.shape[:2], 3))
    if blur:
        grain = gaussian_filter(grain, (blur, blur, 0))
        grain /= grain.std()
    return light[..., None] * lab_to_linear(np.array(colour, dtype=float)) * (1 + size * grain)


def off(sampled, colour) -> float:
    return float(difference(linear_to_lab(sampled.linear), np.array(colour, dtype=float)))


def plain(path: Path) -> np.ndarray:
    return srgb_decode(np.asarray(Image.open(path)) / 255).reshape(-1, 3).mean(axis=0)


@pytest.mark.parametrize("colour", COLOURS)
@pytest.mark.parametrize("grain", [(0.03, 0.0), (0.12, 0.0), (0.10, 2.5)])
def test_a_flat_patch_gives_its_plain_mean(tmp_path, colour, grain):
    # fails when anything is trimmed, or the brightest part taken, where there is only noise
    sampled = take(tmp_path / "a.png", grainy(np.ones((H, W)), colour, np.random.default_rng(5), *grain))
    np.testing.assert_allclose(sampled.linear, plain(tmp_path / "a.png"), rtol=1e-6)
    assert not [note for note in map(say, sampled.notes) if "left out" in note or "shaded" in note]


def test_uneven_light_of_a_few_percent_is_no_shading(tmp_path):
    light = np.broadcast_to(np.linspace(1.03, 0.97, W), (H, W))
    sampled = take(tmp_path / "a.png", grainy(light, [55, 30, 20], np.random.default_rng(1)))
    np.testing.assert_allclose(sampled.linear, plain(tmp_path / "a.png"), rtol=1e-3)


def test_coarse_grain_on_a_small_patch_is_no_shading(tmp_path):
    # fails when a smooth run that grain makes by chance, alike over many pixels, passes for a lit part
    called = 0
    for i in range(20):
        flat = grainy(np.ones((22, 22)), COLOURS[i % 5], np.random.default_rng(i), 0.15, 1.5)
        sampled = take(tmp_path / f"{i}.jpg", flat, quality=75)
        called += any("shaded" in note for note in map(say, sampled.notes))
    assert called <= 1


SHADED = {
    "slope": np.broadcast_to(np.linspace(1, 0.55, W), (H, W)),
    "cylinder": np.broadcast_to(np.cos(np.linspace(-1.2, 1.2, W)), (H, W)),
    "cast shadow": np.where(X > 70, 0.35, 1.0),
    "mostly in shadow": np.where(X > 45, 0.45, 1.0),
}


@pytest.mark.parametrize("shape", SHADED)
@pytest.mark.parametrize("colour", COLOURS)
def test_a_shaded_surface_gives_its_lit_colour(tmp_path, shape, colour):
    rng = np.random.default_rng(2)
    sampled = take(tmp_path / "a.png", grainy(SHADED[shape], colour, rng))
    plainly = float(difference(linear_to_lab(plain(tmp_path / "a.png")), np.array(colour, dtype=float)))
    assert off(sampled, colour) < 0.5 and off(sampled, colour) < 0.3 * plainly
    assert any(isinstance(note, Shaded | LightEdge) for note in sampled.notes)


@pytest.mark.parametrize("colour", COLOURS[:2] + COLOURS[3:])
def test_a_dome_shaded_by_a_fifth_gives_its_lit_colour(tmp_path, colour):
    # fails when gentle shading counts for uneven light, in part or altogether
    dome = 1 - 0.4 * ((X / W - 0.5) ** 2 + (Y / H - 0.5) ** 2)
    assert off(take(tmp_path / "a.png", grainy(dome, colour, np.random.default_rng(2))), colour) < 0.5


@pytest.mark.parametrize("shape", ["flat", "cylinder"])
@pytest.mark.parametrize("colour", COLOURS)
def test_gloss_is_left_out(tmp_path, shape, colour):
    light = np.ones((H, W)) if shape == "flat" else SHADED["cylinder"]
    rng = np.random.default_rng(3)
    lamp = 0.8 * np.exp(-((X - 50) ** 2 + (Y - 40) ** 2) / (2 * 7**2))
    linear = grainy(light, colour, rng) + lamp[..., None]
    sampled = take(tmp_path / "a.png", linear)
    assert off(sampled, colour) < 0.5
    assert any("highlight" in note for note in map(say, sampled.notes))


@pytest.mark.parametrize(
    ("colour", "shape", "sheen", "radius"),
    [([57, 4, -24], "cylinder", 40, 55), ([52, 0, 0], "ball", 30, 30), ([52, 0, 0], "ball", 20, 40)],
)
def test_broad_gloss_is_taken_off(tmp_path, colour, shape, sheen, radius):
    # Blinn's lobe (Computer Graphics 11:2 (1977) 192-198), as broad as on satin paint; fails, by 10 to 16,
    # when its peak passes for the lit part
    side = np.linspace(-0.9, 0.9, 120)
    x, y = np.meshgrid(side, side if shape == "ball" else 0 * side)
    normal = np.stack([x, y, np.sqrt(np.maximum(1 - x * x - y * y, 0))], axis=-1)
    lamp = np.array([0.4, -0.2, 0.89])
    half = lamp / np.linalg.norm(lamp) + [0, 0, 1]
    light = 0.15 + 0.85 * np.clip(normal @ lamp, 0, 1)
    lobe = 0.25 * np.clip(normal @ (half / np.linalg.norm(half)), 0, 1) ** sheen
    picture = grainy(light, colour, np.random.default_rng(3), 0.02) + lobe[..., None]
    sampled = take(tmp_path / "a.jpg", 0.6 * picture, Spot(60, 60, radius), quality=92)
    seen = np.hypot(x, y if shape == "ball" else 0) < 0.9 * radius / 60
    lit = 0.6 * np.quantile(light[seen], 0.975) * lab_to_linear(np.array(colour, dtype=float))
    assert off(sampled, linear_to_lab(lit)) < 7


def test_what_a_jpeg_does_to_a_matt_patch_is_no_gloss(tmp_path):
    # fails when blocks of one chroma each pass for chroma that falls off with the light
    rng = np.random.default_rng(6)
    for i in range(20):
        colour = [rng.uniform(15, 90), *rng.uniform(-30, 30, 2)]
        slope = np.broadcast_to(np.linspace(1, rng.uniform(0.7, 1), W), (H, W))
        sampled = take(tmp_path / f"{i}.jpg", grainy(slope, colour, rng, 0.02), quality=60)
        assert not any("gloss" in note for note in map(say, sampled.notes)), i


def test_no_more_gloss_is_taken_off_than_there_is_light():
    # fails, with red at -0.01, when neutral gloss may take more of a channel than it holds
    y, x = np.mgrid[:20, :40] / np.reshape((20, 40), (2, 1, 1))
    lamp = 0.5 * np.exp(-((x - 0.4) ** 2 + (y - 0.3) ** 2) / 0.1)[..., None]
    for seed in range(5):
        grain = np.random.default_rng(seed).normal(0, 0.003, (20, 40, 3))
        picture = np.clip(np.array([0.003, 0.238, 0.206]) + lamp + grain, 0, 1).astype(np.float32)
        separated = body(picture, np.ones((20, 40), dtype=bool), picture >= 1)
        assert any(isinstance(note, GlossTakenOff) for note in separated.notes)
        assert separated.linear.min() > -0.001


def test_a_narrow_strip_has_no_peak_that_its_neighbours_do_not_tell():
    # fails, with a seventh of the light, when its run is believed where it falls towards the lit part
    x = np.arange(10) / 10 - 0.5
    for seed in range(20):
        rng = np.random.default_rng(seed)
        light = np.broadcast_to(np.cos(3 * x)[:, None], (78, 10, 1)) * rng.uniform(0.1, 0.9, 3)
        picture = np.clip(light + rng.normal(0, 0.02, light.shape), 0, 1).astype(np.float32)
        separated = body(picture, np.ones((78, 10), dtype=bool), (picture <= 0) | (picture >= 1))
        np.testing.assert_allclose(separated.linear, light.max(axis=(0, 1)), rtol=0.25)


def test_the_level_is_the_plain_mean_whatever_is_left_out(tmp_path):
    lamp = 0.8 * np.exp(-((X - 50) ** 2 + (Y - 40) ** 2) / (2 * 7**2))
    linear = grainy(SHADED["slope"], [40, 10, 10], np.random.default_rng(3)) + lamp[..., None]
    levels = np.rint(np.clip(srgb_encode(linear[..., 0]), 0, 1) * 255).astype(np.uint8)
    Image.fromarray(levels).save(tmp_path / "grey.png")
    sampled = sample(open_picture(tmp_path / "grey.png"), Rect(0, 0, W, H))
    assert sampled.level == pytest.approx(levels.mean() / 255, abs=1e-6)


def test_the_error_of_the_mean_counts_the_grain(tmp_path):
    # fails (by a factor of five) when 2,500 pixels of coarse grain pass for 2,500 independent ones
    rng = np.random.default_rng(8)
    means, errors = [], []
    for i in range(40):
        sampled = take(tmp_path / f"{i}.png", grainy(np.ones((50, 50)), [50, 5, 5], rng, 0.10, 2.0))
        means.append(sampled.linear)
        errors.append(np.sqrt(np.diag(sampled.covariance)))
    ratio = np.std(means, axis=0) / np.mean(errors, axis=0)
    assert np.all(ratio > 0.6) and np.all(ratio < 1.5), ratio


@pytest.mark.parametrize("side", [8, 12])
def test_coarse_grain_in_a_small_region_counts_too(tmp_path, side):
    # fails (four in ten are inside) when the few lags of a small region say how far its grain goes, or when
    # its clumps pass for shading
    rng = np.random.default_rng(11)
    field = grainy(np.ones((240, 240)), [50, 5, 5], rng, 0.08, 1.2)
    picture = open_picture(save(tmp_path / "a.png", field))
    truth = lab_to_linear(np.array([50.0, 5.0, 5.0]))
    inside = []
    for _ in range(60):
        x, y = rng.integers(0, 240 - side, 2)
        sampled = sample(picture, Rect(int(x), int(y), side, side))
        inside += list(np.abs(sampled.linear - truth) < 1.645 * np.sqrt(np.diag(sampled.covariance)))
    assert np.mean(inside) > 0.75


@pytest.mark.parametrize("noise", [0.0, 0.7])
def test_the_error_counts_what_a_jpeg_rounds(tmp_path, noise):
    # fails (seven in ten are inside, and 95 is as sure as 60) when all qualities pass for alike
    rng = np.random.default_rng(12)
    inside, errors = [], {60: [], 95: []}
    for i in range(60):
        levels = rng.uniform(40, 220, 3)
        field = levels + noise * rng.standard_normal((48, 48, 3))
        for quality in errors:
            path = tmp_path / f"{i}.jpg"
            Image.fromarray(np.rint(field).astype(np.uint8)).save(path, quality=quality, subsampling=i % 3)
            sampled = sample(open_picture(path), Rect(*rng.integers(0, 32, 2), 16, 16))
            error = np.sqrt(np.diag(sampled.covariance)) / slope(levels)
            errors[quality].append(error)
            if quality == 60:
                inside += list(np.abs(srgb_encode(sampled.linear) * 255 - levels) < 1.645 * error)
    assert np.mean(inside) > 0.82
    assert np.mean(errors[95]) < 0.8 * np.mean(errors[60])


def test_the_channels_of_a_grey_jpeg_round_alike(tmp_path):
    # fails, red and blue by half as much again, when chroma that it has none of is rounded
    Image.new("L", (64, 64), 100).save(tmp_path / "a.jpg", quality=90)
    sampled = sample(open_picture(tmp_path / "a.jpg"), Rect(0, 0, 40, 40))
    np.testing.assert_allclose(np.diag(sampled.covariance), sampled.covariance[0, 0], rtol=1e-3)


def test_a_damaged_jpeg_whose_steps_are_nought_has_an_error(tmp_path):
    # fails, with nan, when noise is counted in steps of nought
    Image.new("RGB", (64, 64), (90, 120, 80)).save(tmp_path / "a.jpg", quality=90)
    raw = bytearray((tmp_path / "a.jpg").read_bytes())
    at = -1
    while (at := raw.find(b"\xff\xdb", at + 1)) >= 0:
        raw[at + 5] = 0  # after marker, length and number
    (tmp_path / "a.jpg").write_bytes(raw)
    sampled = sample(open_picture(tmp_path / "a.jpg"), Rect(0, 0, 40, 40))
    assert np.isfinite(sampled.covariance).all() and np.isfinite(sampled.level_sd)


def slope(levels: np.ndarray) -> np.ndarray:
    return (srgb_decode((levels + 0.5) / 255) - srgb_decode((levels - 0.5) / 255)).clip(1e-9)


def test_fewer_patches_than_terms_are_no_less_than_themselves():
    # fails, at 0.25, when the most that neighbours may stand for is less than one
    assert clumping(0.9, 5, 10) == 1


def test_white_noise_is_not_inflated_and_blur_by_its_area():
    # an isotropic Gaussian blur of s pixels correlates as exp(-r² / 4s²), whose sum over lags is 4 pi s²
    rng = np.random.default_rng(4)
    white = rng.standard_normal((120, 120))
    mask = np.ones(white.shape, dtype=bool)
    assert inflation(white, mask) < 1.4
    blurred = gaussian_filter(white, 2.0)
    assert inflation(blurred, mask) == pytest.approx(4 * np.pi * 4, rel=0.35)


def halftone(period: float, angle: float, ink, paper=(0.8, 0.78, 0.7)) -> tuple[np.ndarray, np.ndarray]:
    """A screen of round dots, and the linear light of very many of them."""
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))

    def dots(u, v):
        return (np.cos(u) + np.cos(v) > 0.3)[..., None]

    fine = np.arange(0.5, 4 * max(H, W)) / 4  # four points a pixel each way: what a scanner's cell sees
    y, x = fine[: 4 * H, None], fine[None, : 4 * W]
    here = dots((c * x + s * y) / period * 2 * np.pi, (c * y - s * x) / period * 2 * np.pi)
    here = here.reshape(H, 4, W, 4, 1).mean(axis=(1, 3))
    turn = np.linspace(0, 2 * np.pi, 1000, endpoint=False)
    share = dots(turn[:, None], turn[None, :]).mean()
    ink, paper = np.array(ink), np.array(paper)
    return here * ink + (1 - here) * paper, share * ink + (1 - share) * paper


@pytest.mark.parametrize("period,angle", [(4.3, 45), (6.3, 45), (9.0, 15), (7.0, 75)])
def test_a_halftone_is_averaged_in_linear_light(tmp_path, period, angle):
    # Murray & Davies 1936: the tint reflects the mean of its dots and its paper
    linear, mean = halftone(period, angle, (0.05, 0.2, 0.4))
    sampled = take(tmp_path / "a.png", gaussian_filter(linear, (0.7, 0.7, 0)), kind="print")
    assert difference(linear_to_lab(sampled.linear), linear_to_lab(mean)) < 0.3
    assert any("halftone" in note for note in map(say, sampled.notes))
    assert not any("left out" in note or "more than one colour" in note for note in map(say, sampled.notes))


def test_grain_and_plain_texture_are_no_screen():
    rng = np.random.default_rng(6)
    mask = np.ones((H, W), dtype=bool)
    assert screen_period(gaussian_filter(rng.standard_normal((H, W)), 1.5), mask) is None
    assert screen_period(np.broadcast_to(np.linspace(0, 1, W), (H, W)), mask) is None


def test_clipping_is_told_by_channel_and_widens_it(tmp_path):
    levels = np.full((100, 100, 3), 120, dtype=np.uint8)
    rng = np.random.default_rng(7)
    red = np.full(10000, 200, dtype=np.uint8)
    red[:3100] = 255
    levels[..., 0] = rng.permutation(red).reshape(100, 100)
    Image.fromarray(levels).save(tmp_path / "a.png")
    sampled = sample(open_picture(tmp_path / "a.png"), Rect(0, 0, 100, 100))
    assert "31 % of this sample is clipped in red" in map(say, sampled.notes)
    np.testing.assert_allclose(sampled.clipped, [0.31, 0, 0])
    errors = np.sqrt(np.diag(sampled.covariance)) / sampled.linear
    assert errors[0] > 0.05 > errors[1]


def test_jpeg_blocks_are_noticed(tmp_path):
    linear = grainy(SHADED["slope"], [50, 10, 10], np.random.default_rng(1), 0.04)
    assert any("JPEG" in n for n in map(say, take(tmp_path / "a.jpg", linear, quality=12).notes))
    assert not any("JPEG" in n for n in map(say, take(tmp_path / "b.png", linear).notes))


def test_two_surfaces_in_one_region_are_told_and_widen_it(tmp_path):
    rng = np.random.default_rng(9)
    one, other = grainy(np.ones((H, W)), [50, 40, 20], rng), grainy(np.ones((H, W)), [60, -30, 20], rng)
    sampled = take(tmp_path / "a.png", np.where((X > 0.65 * W)[..., None], other, one))
    assert any("more than one colour" in note for note in map(say, sampled.notes))
    assert off(sampled, [50, 40, 20]) < 0.5  # the larger of the two
    alone = take(tmp_path / "b.png", one)
    assert np.trace(sampled.covariance) > 100 * np.trace(alone.covariance)


def test_two_greys_in_one_region_are_told_from_shading(tmp_path):
    # fails when the edge between two patches of a grey scale, or a gap, passes for the shading of one surface
    for gap in (0, 8):
        light = np.where(X < 70, np.where(70 - gap > X, 1.0, 0.04), 0.55)
        sampled = take(tmp_path / "a.jpg", grainy(light, [80, 0, 0], np.random.default_rng(6)), quality=85)
        assert any(isinstance(note, LightEdge) for note in sampled.notes)
    for shape in ("slope", "cylinder"):
        sampled = take(tmp_path / "a.png", grainy(SHADED[shape], [80, 0, 0], np.random.default_rng(6)))
        assert not any(isinstance(note, LightEdge) for note in sampled.notes)


@pytest.mark.parametrize("corner", [(200, 80), (200, 200), (260, 200), (260, 260), (260, 320), (200, 320)])
def test_roof_and_balcony_in_one_sample_are_told(corner):
    # china.jpg of scikit-learn (CC BY 2.0): tiles, a gutter and red posts; fails when their scatter
    # passes for grain
    file = files("sklearn.datasets").joinpath("images/china.jpg")
    sampled = sample(open_picture(Path(str(file))), Rect(*corner, 60.0, 60.0))
    assert any("more than one colour" in note for note in map(say, sampled.notes))


@pytest.mark.parametrize("corner", [(20, 20), (380, 140), (440, 200), (500, 140)])
def test_sky_and_water_are_one_colour(corner):
    file = files("sklearn.datasets").joinpath("images/china.jpg")
    sampled = sample(open_picture(Path(str(file))), Rect(*corner, 60.0, 60.0))
    assert not any("more than one colour" in note for note in map(say, sampled.notes))


def test_coarse_grain_and_sun_beside_shade_are_one_colour(tmp_path):
    # fails when grain, or one paint in two lights of one colour, passes for two paints
    rng = np.random.default_rng(8)
    red, sunlit = np.array([0.30, 0.05, 0.04]), (np.arange(60) < 30)[None, :, None]
    dyes = gaussian_filter(rng.normal(0, 1, (60, 60, 3)), (1.5, 1.5, 0))
    grain = 1 + 0.15 * dyes / dyes.std()
    shade = np.where(sunlit, 1.0, 0.35) * np.ones((60, 60, 3))
    for linear in (red * grain, red * shade * (1 + rng.normal(0, 0.03, (60, 60, 3)))):
        assert not any(
            "more than one colour" in note for note in map(say, take(tmp_path / "a.png", linear).notes)
        )


def test_a_sample_without_two_cells_of_a_colour_is_told():
    # fails, with an IndexError, when all that is off the line of the medians is left out
    for seed in range(20):
        picture = np.eye(3)[np.random.default_rng(seed).integers(0, 3, (12, 12))]
        separated = body(picture.astype(np.float32), np.ones((12, 12), dtype=bool), np.zeros((12, 12, 3)))
        assert np.isfinite(separated.linear).all() and separated.notes, seed


def test_an_edge_out_of_focus_is_left_out(tmp_path):
    rng = np.random.default_rng(9)
    one, other = grainy(np.ones((H, W)), [50, 40, 20], rng), grainy(np.ones((H, W)), [80, -5, 60], rng)
    mixed = np.where((X > 0.94 * W)[..., None], other, one)
    sampled = take(tmp_path / "a.png", gaussian_filter(mixed, (3, 3, 0)))
    assert off(sampled, [50, 40, 20]) < 0.5
    assert any("edge" in note for note in map(say, sampled.notes))


@pytest.mark.filterwarnings("error")
def test_black_without_any_light_is_black(tmp_path):
    # fails when a direction is sought in pixels of level 0: here all of them, most, and in each channel most
    rng = np.random.default_rng(4)
    speckled = np.where(rng.random((30, 30, 1)) < 0.3, 0.002, 0.0) * np.ones(3)
    primaries = np.eye(3)[rng.integers(0, 3, (30, 30))] * 0.2
    for linear in (np.zeros((30, 30, 3)), speckled, primaries):
        sampled = take(tmp_path / "a.png", linear)
        assert np.isfinite(sampled.linear).all() and np.isfinite(sampled.covariance).all()
        assert sampled.linear.max() < 0.3


def test_a_single_pixel_is_a_sample_with_a_wide_error(tmp_path):
    sampled = take(tmp_path / "a.png", np.full((20, 20, 3), 0.2), Spot(5.5, 5.5, 0.4))
    assert sampled.pixels == 1 and sampled.centre == (5.5, 5.5)
    assert any("only 1 pixel;" in note for note in map(say, sampled.notes))
    assert np.all(np.sqrt(np.diag(sampled.covariance)) > 0.03 * sampled.linear)


def test_transparent_pixels_are_no_evidence(tmp_path):
    pixels = np.zeros((20, 20, 4), dtype=np.uint8)
    pixels[:, :10] = (200, 0, 0, 0)
    pixels[:, 10:] = (10, 90, 60, 255)
    Image.fromarray(pixels).save(tmp_path / "a.png")
    sampled = sample(open_picture(tmp_path / "a.png"), Rect(0, 0, 20, 20))
    np.testing.assert_allclose(sampled.linear, srgb_decode(np.array([10, 90, 60]) / 255), rtol=1e-5)
    assert sampled.pixels == 200 and sampled.centre == (15.0, 10.0)
    with pytest.raises(ValueError, match="transparent"):
        sample(open_picture(tmp_path / "a.png"), Rect(0, 0, 10, 20))


def test_a_region_outside_the_picture_is_refused(tmp_path):
    save(tmp_path / "a.png", np.full((20, 20, 3), 0.2))
    for region in (Rect(30, 0, 5, 5), Rect(4, 4, 0, 3), Rect(4.6, 4.6, 0.3, 0.3)):
        with pytest.raises(ValueError, match="no pixel"):
            sample(open_picture(tmp_path / "a.png"), region)


def test_a_sample_of_many_pixels_says_the_same_as_of_few(tmp_path):
    # fails when taking means of neighbouring pixels for pixels loses the mean, the odd rows and columns at
    # the end, the clipped pixels or the grain's part in the error
    rng = np.random.default_rng(9)
    few, many = (grainy(np.ones(size), [50, 5, 5], rng, 0.10, 1.5) for size in ((100, 120), (403, 301)))
    many[:20, :50] = 1.0
    sampled = take(tmp_path / "many.png", many)
    assert sampled.pixels == 403 * 301
    assert sampled.clipped[0] == pytest.approx(1000 / (403 * 301), rel=1e-6)
    assert off(sampled, [50, 5, 5]) < 0.1
    errors = [np.sqrt(np.diag(f.covariance)) for f in (take(tmp_path / "few.png", few), sampled)]
    np.testing.assert_allclose(errors[0] / errors[1], np.sqrt(403 * 301 / 100 / 120), rtol=0.35)
