"""Copies of a picture told from other exposures of the same view."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from skimage import data

from palette.evidence.pictures.copies import Likeness, copies, likeness, relation
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.notes import IsCopy
from palette.words import say


@pytest.fixture(scope="module", params=["coffee", "chelsea", "rocket"])
def view(request) -> np.ndarray:
    """Photographs that nobody made for this: scikit-image's own samples (public domain or CC0)."""
    return np.asarray(getattr(data, request.param)(), dtype=np.float64)


def saved(path: Path, levels: np.ndarray, quality: int, size: float = 1.0) -> Likeness:
    image = Image.fromarray(np.clip(levels, 0, 255).astype(np.uint8))
    scaled = (round(image.width * size), round(image.height * size))
    image.resize(scaled, Image.Resampling.LANCZOS).save(path, quality=quality)
    return likeness(open_picture(path))


def exposure(view: np.ndarray, seed: int, grain: float = 4) -> np.ndarray:
    return view + np.random.default_rng(seed).normal(0, grain, view.shape)


@pytest.mark.parametrize("quality,size", [(85, 1.0), (50, 1.0), (85, 0.5), (40, 0.33), (90, 0.77), (75, 1.6)])
def test_a_picture_scaled_or_compressed_again_is_a_copy(tmp_path, view, quality, size):
    # fails when what is taken for grain is compression, or lost with size
    original = saved(tmp_path / "a.jpg", exposure(view, 1), 92)
    stored = np.asarray(Image.open(tmp_path / "a.jpg"), dtype=np.float64)
    assert copies([original, saved(tmp_path / "b.jpg", stored, quality, size)]) == [0, 0]


def test_other_exposures_other_light_and_other_views_are_none(tmp_path, view):
    # fails when the same view in the same light is enough, or another picture comes near
    warm = exposure(view, 3) * [1.0, 0.93, 0.85]
    made = [
        exposure(view, 1),
        exposure(view, 2),
        warm,
        exposure(view, 4)[:, ::-1],
        exposure(view, 5)[9:, 17:],
    ]
    assert copies([saved(tmp_path / f"{i}.jpg", one, 90) for i, one in enumerate(made)]) == [0, 1, 2, 3, 4]


@pytest.mark.parametrize(
    "edit,said,size",
    [
        (lambda x: x[:, ::-1], "mirrored", 1.0),
        (lambda x: x[:, ::-1], "mirrored", 0.5),
        (lambda x: np.rot90(x), "turned by 90°", 1.0),
        (lambda x: np.rot90(x, 3), "turned by 90°", 0.6),
        (lambda x: x[::-1, ::-1], "turned by 180°", 1.0),
        (lambda x: 255 * (np.maximum(x, 0) / 255) ** 0.7, "its tones edited", 1.0),
        (lambda x: x * [1.0, 0.9, 0.75], "its tones edited", 1.0),
        (lambda x: np.rot90(x * 0.85 + 8), "turned by 90°, its tones edited", 1.0),
        (lambda x: x[7:-7, 9:-9], "cropped", 1.0),
        (lambda x: x[9:, 16:][:, ::-1], "mirrored, cropped", 1.0),
    ],
)
def test_a_copy_turned_edited_or_cropped_is_known_and_another_exposure_so_treated_is_not(
    tmp_path, view, edit, said, size
):
    # fails when a treated copy is taken for another picture, or a treated exposure for a copy
    original = saved(tmp_path / "a.jpg", exposure(view, 1, 7), 92)
    stored = np.asarray(Image.open(tmp_path / "a.jpg"), dtype=np.float64)
    treated = saved(tmp_path / "b.jpg", edit(stored), 90, size)
    related = relation(original, treated)
    assert related is not None and said in say(IsCopy("a", related.turn, related.change))
    assert copies([original, treated]) == [0, 0]
    if size == 1.0:  # a scaled exposure has no grain to tell it by
        assert relation(original, saved(tmp_path / "c.jpg", edit(exposure(view, 2, 7)), 90)) is None


def test_blank_and_tiny_pictures_are_compared_without_complaint(tmp_path):
    blank = [saved(tmp_path / f"{i}.png", np.full((5, 7, 3), 80.0 + i), 90) for i in range(2)]
    one_pixel = saved(tmp_path / "c.png", np.full((1, 1, 3), 80.0), 90)
    assert copies([*blank, one_pixel]) == [0, 1, 2]
