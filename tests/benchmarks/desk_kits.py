"""Kits to measure the desk by: made pictures of patches of paint, with anchors, in colour and in grey."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
from PIL import Image

import swatches_demo
from palette.colour.spaces import lab_to_linear, srgb_encode
from palette.swatches.model import SwatchList

ANCHORS = ((94.0, -0.5, 1.0), (62.0, 0.0, 0.0), (34.0, 0.5, 0.0), (42.0, 5.0, -38.0), (78.0, 4.0, 55.0))
_SMALL, _LARGE = (1500, 1000), (6000, 4000)


def demo_kit(folder: Path) -> Path:
    """The demo: 6 pictures, 11 parts."""
    source = Path(swatches_demo.__file__).parent
    for name in ("kit.toml", "references", "swatches", "meshes"):
        (shutil.copytree if (source / name).is_dir() else shutil.copy)(source / name, folder / name)
    return folder / "kit.toml"


def large_kit(folder: Path, pictures: int = 60, parts: int = 40, large: int = 5, seed: int = 7) -> Path:
    """Many pictures, `large` of them of 24 megapixels, one in four of them grey; each shows six parts and
    three to five anchors, under a light of its own."""
    rng = np.random.default_rng(seed)
    lists = Path(swatches_demo.__file__).parent / "swatches"
    shutil.copytree(lists, folder / "swatches")
    swatches = SwatchList.read(*sorted((folder / "swatches").glob("*.csv"))).swatches
    true = [swatches[i].lab for i in rng.choice(len(swatches), parts, replace=False)]
    (folder / "references").mkdir()
    text = [
        'schema = 1\n\n[kit]\ntitle = "A large kit"\nscale = "1:35"',
        'swatches = ["swatches/bench.csv", "swatches/depot.csv"]',
    ]
    for i in range(parts):
        text.append(f'\n[[part]]\nid = "part-{i}"\nname = "Part {i}"\nfinish = "satin"')
        if i % 9 == 4:
            text.append(f'same_as = "part-{i - 1}"')
            true[i] = true[i - 1]
        if i % 7 == 6:
            text.append('\n  [[part.hint]]\n  words = "dark green"\n  source = "a letter"\n  trust = 0.3')
    for p in range(pictures):
        size = _LARGE if p < large else _SMALL
        shown = [(p * 5 + k * 7) % parts for k in range(6)]
        anchors = list(range(3 + p % 3))
        labs = [*(ANCHORS[a] for a in anchors), *(true[s] for s in shown)]
        gains = np.array([1.0, 0.85, 0.6]) * rng.uniform(0.8, 1.1, 3)
        grey = p % 4 == 3
        boxes = _draw(folder / f"references/p{p}.jpg", size, labs, gains, grey, rng)
        text.append(
            f'\n[[reference]]\nid = "p{p}"\nfile = "references/p{p}.jpg"\nyear = 1955\ncredit = "C. Orr"'
        )
        if grey:
            text.append('tone = "grey"\nresponse = "panchromatic"')
        for a in anchors:
            text.append(
                f"\n  [[reference.anchor]]\n  rect = {boxes[a]}\n  colour = {{ lab = {list(ANCHORS[a])} }}"
            )
        for k, s in enumerate(shown):
            text.append(f'\n  [[reference.sample]]\n  part = "part-{s}"\n  rect = {boxes[len(anchors) + k]}')
    (folder / "kit.toml").write_text("\n".join(text) + "\n")
    return folder / "kit.toml"


def _draw(
    path: Path, size: tuple[int, int], labs: list, gains: np.ndarray, grey: bool, rng
) -> list[list[int]]:
    """Patches on a mottled ground, with grain; returns where each patch can be marked."""
    width, height = size
    columns, rows = 4, 3
    linear = np.full((height, width, 3), 0.2, dtype=np.float32) * gains.astype(np.float32)
    boxes = []
    for i, lab in enumerate(labs):
        x, y = (i % columns) * width // columns, (i // columns) * height // rows
        w, h = width // columns * 3 // 4, height // rows * 3 // 4
        linear[y : y + h, x : x + w] = lab_to_linear(np.array(lab)) * gains
        boxes.append([x + w // 4, y + h // 4, max(20, w // 6), max(20, h // 6)])
    shade = np.linspace(0.95, 1.05, width, dtype=np.float32)[None, :, None]
    linear *= shade
    levels = np.clip(srgb_encode(linear), 0, 1).astype(np.float32)
    levels += rng.standard_normal((height, width, 1), dtype=np.float32) * 0.012
    if grey:
        levels = np.repeat(levels @ np.array([[0.25], [0.5], [0.25]], dtype=np.float32), 3, axis=2)[..., 0]
    image = Image.fromarray(np.rint(np.clip(levels, 0, 1) * 255).astype(np.uint8))
    image.save(path, quality=88)
    return boxes
