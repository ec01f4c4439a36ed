"""Copies told from other exposures of one view: python -m tests.benchmarks.copies [SEEDS] [FIRST]

Photographs of scikit-image's own (public domain or CC0) with grain of a given sd (levels of 255, channels
apart, or in luma and blurred as film's), saved as JPEG of quality 92. A copy is that file treated and saved
again; an exposure from the same place in the same light has its own grain and is treated likewise. Printed:
of the copies how many are recognised, and of the exposures how many are taken for copies (where no grain is
left, all: there is nothing to tell them by). Seeds from 200 on are held back from what was tried out.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter
from skimage import data

from palette.evidence.pictures.copies import Likeness, likeness, relation
from palette.evidence.pictures.decode import open_picture

VIEWS = ("coffee", "chelsea", "rocket")
GRAIN = {"2": (2, 0.0), "4": (4, 0.0), "8": (8, 0.0), "film's, 8": (8, 0.7)}
TREATED = {  # JPEG quality, size, and what is done to levels
    "as it is, quality 60": (60, 1.0, lambda x: x),
    "half the size": (85, 0.5, lambda x: x),
    "mirrored": (88, 1.0, lambda x: x[:, ::-1]),
    "turned by 90°": (88, 1.0, np.rot90),
    "mirrored, 0.6 of the size": (85, 0.6, lambda x: x[:, ::-1]),
    "brighter": (88, 1.0, lambda x: 1.1 * x + 12),
    "more contrast": (88, 1.0, lambda x: 1.35 * (x - 128) + 128),
    "gamma 0.7": (88, 1.0, lambda x: 255 * (np.clip(x, 0, 255) / 255) ** 0.7),
    "gamma 0.7, quality 60": (60, 1.0, lambda x: 255 * (np.clip(x, 0, 255) / 255) ** 0.7),
    "warmer": (88, 1.0, lambda x: x * [1, 0.9, 0.75]),
    "cropped by 5 %": (88, 1.0, lambda x: x[len(x) // 40 : -len(x) // 40, 13:-13]),
    "cropped on one side": (88, 1.0, lambda x: x[:, 40:]),
    "cropped and darker": (88, 1.0, lambda x: 0.85 * x[len(x) // 30 :, :-25]),
}


def saved(path: Path, levels: np.ndarray, quality: int, size: float = 1.0) -> Likeness:
    image = Image.fromarray(np.clip(np.rint(levels), 0, 255).astype(np.uint8))
    scaled = (round(image.width * size), round(image.height * size))
    image.resize(scaled, Image.Resampling.LANCZOS).save(path, quality=quality)
    return likeness(open_picture(path))


def exposed(view: np.ndarray, sd: float, blur: float, rng: np.random.Generator) -> np.ndarray:
    if not blur:
        return view + rng.normal(0, sd, view.shape)
    grain = gaussian_filter(rng.normal(0, 1, view.shape[:2]), blur)
    return view + (sd * grain / grain.std())[..., None]


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 4
    start = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "picture.jpg"
        recognised: dict[tuple[str, str], list[tuple[bool, bool]]] = {}
        for name in VIEWS:
            view = np.asarray(getattr(data, name)(), dtype=np.float64)
            for seed in range(start, start + seeds):
                for grain, (sd, blur) in GRAIN.items():
                    rng = np.random.default_rng([seed, sd])
                    original = saved(path, exposed(view, sd, blur, rng), 92)
                    stored = np.asarray(Image.open(path), dtype=np.float64)
                    for treated, (quality, size, edit) in TREATED.items():
                        copy = saved(path, edit(stored), quality, size)
                        other = saved(path, edit(exposed(view, sd, blur, rng)), quality, size)
                        pair = relation(original, copy) is not None, relation(original, other) is not None
                        recognised.setdefault((treated, grain), []).append(pair)
    print(f"copies recognised, exposures taken for copies (%); {seeds * len(VIEWS)} pictures")
    print(" " * 26 + "".join(f"{'grain ' + grain:>18}" for grain in GRAIN))
    for treated in TREATED:
        cells = [100 * np.mean(recognised[treated, grain], axis=0) for grain in GRAIN]
        print(f"{treated:26}" + "".join(f"{yes:12.0f}{no:6.0f}" for yes, no in cells))


if __name__ == "__main__":
    main()
