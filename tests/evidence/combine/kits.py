"""Kits whose pictures are patches of known colour under a known cast."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

from palette.colour.spaces import lab_to_linear, srgb_encode
from palette.kit.model import Kit

WHITE, GREY, DARK = (94.0, -0.5, 1.0), (62.0, 0.0, 0.0), (34.0, 0.5, 0.0)
BLUE, YELLOW, GREEN = (42.0, 5.0, -38.0), (78.0, 4.0, 55.0), (50.0, -32.0, 22.0)
ANCHORS = (WHITE, GREY, DARK, BLUE, YELLOW, GREEN)
RED, BROWN = (40.0, 42.0, 24.0), (45.0, 15.0, 18.0)
SIDE = 40


def picture(path: Path, labs, gains=(1.0, 0.8, 0.55), seed: int = 0) -> Path:
    """Patches side by side, as linear light times `gains`, with a little noise."""
    linear = lab_to_linear(np.array(labs, dtype=float)) * gains
    patches = np.kron(linear[None], np.ones((SIDE, SIDE, 1)))
    patches = patches * (1 + 0.02 * np.random.default_rng(seed).standard_normal(patches.shape))
    Image.fromarray(np.rint(np.clip(srgb_encode(patches), 0, 1) * 255).astype(np.uint8)).save(path)
    return path


def rect(i: int) -> str:
    return f"rect = [{i * SIDE + 4}, 4, {SIDE - 8}, {SIDE - 8}]"


def reference(id: str, samples: dict[int, str], anchors: dict[int, str] | None = None, **keys) -> str:
    """A [[reference]]: parts by the place of their patch, anchors by the place of theirs."""
    if anchors is None:
        anchors = {i: f"{{ lab = {list(lab)} }}" for i, lab in enumerate(ANCHORS)}
    lines = ["[[reference]]", f'id = "{id}"', f'file = "{id}.png"']
    lines += [f"{key} = {value!r}".replace("'", '"') for key, value in keys.items()]
    for i, colour in anchors.items():
        lines += ["[[reference.anchor]]", rect(i), f"colour = {colour}"]
    for i, part in samples.items():
        lines += ["[[reference.sample]]", f'part = "{part}"', rect(i)]
    return "\n".join(lines) + "\n"


def part(id: str, *lines: str) -> str:
    return "\n".join(["[[part]]", f'id = "{id}"', *lines]) + "\n"


PAINTS = """id,name,lab_l,lab_a,lab_b
R1,Signal,40,44,26
R2,Brick,45,30,20
K1,Cocoa,44,14,17
W1,White,95,0,2
G1,Green,50,-30,20
Y1,Ochre,70,10,50
"""


def write(folder: Path, *blocks: str, head: str = "", paints: bool = True) -> Path:
    if paints:
        (folder / "bench.csv").write_text(PAINTS)
        head += '\nswatches = ["bench.csv"]'
    text = f'schema = 1\n[kit]\ntitle = "Car 7"\n{head}\n' + "\n".join(blocks)
    (folder / "kit.toml").write_text(text)
    return folder / "kit.toml"


def kit(folder: Path, *blocks: str, **how) -> Kit:
    return Kit.read(write(folder, *blocks, **how))
