"""Pictures of every kind, damaged."""

from __future__ import annotations

import io
import random
from functools import cache
from pathlib import Path

import numpy as np
import pillow_heif
import tifffile
from PIL import Image

from palette.errors import InputError
from palette.evidence.pictures.decode import open_picture
from palette.words import say
from tests.faults.budget import cpu_seconds
from tests.faults.registry import mutated

TRIES = 60


@cache
def _whole() -> dict[str, bytes]:
    y, x = np.mgrid[0:96, 0:128]
    grain = np.random.default_rng(5).normal(0, 5, (96, 128, 3))
    colours = np.clip(np.stack([60 + x, 200 - y, 90 + x / 3], axis=-1) + grain, 20, 240).astype(np.uint8)
    image, saved = Image.fromarray(colours), {}

    def save(name: str, form: str, **options: object) -> None:
        stream = io.BytesIO()
        image.save(stream, form, **options)
        saved[name] = stream.getvalue()

    save("a.jpg", "JPEG", quality=90)
    save("passes.jpg", "JPEG", progressive=True)
    save("restarts.jpg", "JPEG", restart_marker_rows=1)
    save("a.png", "PNG")
    save("a.webp", "WEBP")
    save("a.jp2", "JPEG2000")
    save("a.gif", "GIF")
    save("a.bmp", "BMP")
    save("a.ppm", "PPM")
    save("a.avif", "AVIF")
    stream = io.BytesIO()
    pillow_heif.from_pillow(image).save(stream)
    saved["a.heic"] = stream.getvalue()
    for name, levels, options in (
        ("plain.tif", colours, {"rowsperstrip": 16}),
        ("packed.tif", colours, {"rowsperstrip": 16, "compression": "deflate"}),
        ("lzw.tif", colours, {"tile": (32, 32), "compression": "lzw"}),
        ("jpeg.tif", colours, {"tile": (32, 32), "compression": "jpeg"}),
        ("deep.tif", colours.astype(np.uint16) * 257, {}),
        ("floats.tif", (colours / 255).astype(np.float32), {}),
        ("planes.tif", np.moveaxis(colours, -1, 0), {"planarconfig": "separate"}),
    ):
        stream = io.BytesIO()
        tifffile.imwrite(stream, levels, photometric="rgb", **options)
        saved[name] = stream.getvalue()
    return saved


def check(rng: random.Random, folder: Path) -> None:
    """A damaged picture is one problem, or gives light within reason where it gives any."""
    name = rng.choice(sorted(_whole()))
    path = folder / name
    path.write_bytes(mutated(_whole()[name], rng, 3))
    with cpu_seconds(10):
        try:
            picture = open_picture(path)
            light = picture.linear()
            picture.reduced(1000)
            notes = picture.notes
        except InputError as error:
            assert len(error.problems) == 1 and error.problems[0].remedy
            return
    assert light.shape == (picture.height, picture.width, 3)
    assert all(said and "\n" not in said for said in map(say, notes))
    seen = light[np.isfinite(light)]
    assert not seen.size or (seen.min() > -5 and seen.max() < 5)
