"""A picture laid out in ever smaller copies."""

import numpy as np
from PIL import Image

from palette.colour.spaces import srgb_decode, srgb_encode
from palette.evidence.pictures.pyramid import lay_out
from palette.evidence.pictures.tiles import level_size


def test_smaller_copies_average_light_and_not_levels(tmp_path):
    """Fails where black and white lines become a mid level instead of half the light, or where a plain
    picture goes its quicker way to other levels than one with a layer of transparency."""
    rng = np.random.default_rng(3)
    levels = rng.integers(0, 256, (37, 50, 3), dtype=np.uint8)
    levels[:, ::2] = 0
    Image.fromarray(levels).save(tmp_path / "plain.png")
    Image.fromarray(np.dstack([levels, np.full((37, 50), 255, np.uint8)])).save(tmp_path / "other.png")
    plain, other = (lay_out(tmp_path / f"{name}.png") for name in ("plain", "other"))
    for a, b, level in zip(plain.smaller, other.smaller, range(plain.levels - 2, -1, -1), strict=True):
        assert a.shape[1::-1] == level_size(50, 37, level)
        assert np.abs(a.astype(int) - b).max() <= 1
    light = srgb_decode(levels[:36] / 255)
    half = (light[0::2, 0::2] + light[1::2, 0::2] + light[0::2, 1::2] + light[1::2, 1::2]) / 4
    assert np.abs(plain.smaller[0][:18] - 255 * srgb_encode(half)).max() < 1
