"""Parts of rendered scenes, a chart standing in each: python -m tests.benchmarks.scenes [N] [--tuning]
[--jobs N]

Surfaces are CES-99 (CIE 224:2017), every other one held back from all tuning, on flat, sloping, round and
half-shaded shapes, with and without gloss, grain, blur and JPEG. The picture is either a cast (exposure and a
gain a channel, so that what is left is the sampling's error) or a measured camera under a real light (as in
the photo bench, by its held-back half unless --tuning). Three questions: how far the colour given is from
the true one when all 24 patches are anchors; how far when three pictures show a part and one of them is
wrong (it shows another paint, or its chart stood under another lamp than the part); and how often the truth
lies within `radius90`. Where none is wrong, the share of the pictures' squared errors, in their own standard
deviations, that they have in common.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, srgb_encode
from palette.kit.model import Anchor, Kit, Part, PartSample, Rect, Reference, StatedColour
from palette.paints.scheme import scheme
from tests.benchmarks.photo.pictures import HELD, TUNING, chart, lab_of, make, surfaces
from tests.benchmarks.side_by_side import Each, side_by_side

SIDE, PARTS, PATCH = 96, 8, 32
SHAPES = ("flat", "slope", "round", "ball", "half in shadow")


def reflectances(half: str, rng: np.random.Generator, count: int) -> np.ndarray:
    """`count` surfaces (count, 61) of a half that no made picture leaves black."""
    table = surfaces(half)
    return table[rng.choice(len(table), count, replace=False)]


def shading(shape: str, rng: np.random.Generator) -> np.ndarray:
    """Light (SIDE, SIDE) on a surface, its best lit part 1."""
    y, x = np.mgrid[:SIDE, :SIDE] / (SIDE - 1)
    if rng.random() < 0.5:
        x, y = y, x
    if rng.random() < 0.5:
        x = 1 - x
    if shape == "slope":
        return 1 - rng.uniform(0.2, 0.45) * x
    if shape == "round":
        return np.cos((x - rng.uniform(0.2, 0.6)) * 2.0)
    if shape == "ball":
        away = np.hypot(x - rng.uniform(0.3, 0.6), y - rng.uniform(0.3, 0.6))
        return np.sqrt(np.maximum(1 - away**2, 0.05))
    if shape == "half in shadow":
        return 1 - rng.uniform(0.4, 0.7) / (1 + np.exp(-(x - rng.uniform(0.45, 0.7)) * 60))
    return np.ones((SIDE, SIDE))


def gloss(rng: np.random.Generator) -> np.ndarray:
    """Light (SIDE, SIDE) of the lamp's own colour, of which a white surface in full light gives 1."""
    y, x = np.mgrid[:SIDE, :SIDE]
    centre, width = rng.uniform(20, SIDE - 20, 2), rng.uniform(3, 9)
    return rng.uniform(0.2, 0.9) * np.exp(-((x - centre[0]) ** 2 + (y - centre[1]) ** 2) / (2 * width**2))


@dataclass(frozen=True)
class Cast:
    """A picture that is out by its exposure and a gain a channel, and by nothing else."""

    gains: np.ndarray
    noise: float
    quality: int

    def render(self, reflectance: np.ndarray, place: np.ndarray) -> np.ndarray:
        return srgb_encode(np.clip(lab_to_linear(lab_of(reflectance)) * self.gains, 0, 1))


def handled(how: str, half: str, rng: np.random.Generator):
    """A picture's handling: a cast, or a measured camera under a real light."""
    if how == "camera":
        return make(half, rng, warm=False, plain=True)
    gains = np.exp(rng.normal([0.15, 0, -0.25], 0.2))
    gains *= rng.uniform(0.5, 0.9) / gains.max()
    return Cast(gains, rng.uniform(0.004, 0.03), int(rng.integers(70, 98)))


def shoot(
    path: Path, table: np.ndarray, how: str, half: str, rng: np.random.Generator, lamp: bool = False
) -> None:
    """Render chart and surfaces into a JPEG; with `lamp` another lamp lights the surfaces than the chart."""
    made = handled(how, half, rng)
    other = handled(how, half, rng) if lamp else made
    size = (PARTS // 4 * SIDE + 4 * PATCH, max(4 * SIDE, 6 * PATCH), 3)
    picture = np.zeros(size)

    def put(light: np.ndarray, y: int, x: int, how) -> None:
        height, width = light.shape[:2]
        place = np.full((height * width, 2), 0.5)  # light falls evenly but for the shapes
        picture[y : y + height, x : x + width] = how.render(light.reshape(-1, light.shape[2]), place).reshape(
            height, width, 3
        )

    patches = chart("ColorChecker N Ohta")
    put(np.kron(patches.reshape(4, 6, -1), np.ones((PATCH, PATCH, 1))), 0, 0, made)
    for i, surface in enumerate(table):
        shape = shading(SHAPES[rng.integers(len(SHAPES))], rng)
        light = shape[..., None] * surface
        if rng.random() < 0.5:
            light = light + gloss(rng)[..., None]
        put(light, 4 * PATCH + i // 4 * SIDE, i % 4 * SIDE, other)
    grain = rng.normal(0, 1, size)
    if rng.random() < 0.5:
        grain = gaussian_filter(grain, (rng.uniform(0.5, 1.5),) * 2 + (0,))
        grain /= grain.std()
    picture = gaussian_filter(picture, (0.6, 0.6, 0)) + grain * made.noise
    levels = np.rint(np.clip(picture, 0, 1) * 255).astype(np.uint8)
    Image.fromarray(levels).save(path, quality=made.quality)


def reference(path: Path) -> Reference:
    truth = lab_of(chart("ColorChecker N Ohta"))
    anchors = tuple(
        Anchor(
            Rect(i % 6 * PATCH + 5, i // 6 * PATCH + 5, PATCH - 10, PATCH - 10),
            StatedColour(lab=tuple(truth[i])),
        )
        for i in range(24)
    )
    samples = tuple(
        PartSample(str(i), Rect(i % 4 * SIDE + 6, 4 * PATCH + i // 4 * SIDE + 6, SIDE - 12, SIDE - 12))
        for i in range(PARTS)
    )
    return Reference(path.stem, path, anchors=anchors, samples=samples)


def kit(folder: Path, *references: Reference) -> Kit:
    return Kit(folder / "kit.toml", "scenes", parts=tuple(Part(str(i), str(i)) for i in range(PARTS)),
               references=references)  # fmt: skip


def tell(name: str, off: list[float], inside: list[bool], radii: list[float]) -> None:
    print(
        f"{name:48s} median {np.median(off):5.2f}   95 % {np.percentile(off, 95):5.2f}   "
        f"within 3: {np.mean(np.array(off) <= 3) * 100:3.0f} %   "
        f"inside radius90: {np.mean(inside) * 100:3.0f} % (median radius {np.median(radii):.1f})"
    )


def one_picture(how: str, half: str, seed: int) -> list[tuple[float, float]]:
    """Per part of one scene: what it is off, and its radius."""
    rng = np.random.default_rng([11, seed])
    table = reflectances(half, rng, PARTS)
    with tempfile.TemporaryDirectory() as name:
        path = Path(name, f"{seed}.jpg")
        shoot(path, table, how, half, rng)
        parts = scheme(kit(Path(name), reference(path))).parts
    pairs = zip(parts, lab_of(table), strict=True)
    return [(float(difference(part.lab, truth)), part.radius90) for part, truth in pairs]


def three_pictures(how: str, half: str, wrong: str, seed: int) -> list[tuple]:
    """Per part of one scene: what it is off, its radius, the weight of the wrong picture, whether there is a
    conflict, and the pictures' own standardised errors."""
    rng = np.random.default_rng([12, seed])
    table = reflectances(half, rng, PARTS)
    others = reflectances(half, rng, PARTS)
    with tempfile.TemporaryDirectory() as name:
        paths = [Path(name, f"{seed}{letter}.jpg") for letter in "abc"]
        for i, path in enumerate(paths):
            odd = i == seed % 3 and wrong != "nothing"
            shown = others if odd and wrong == "another paint" else table
            shoot(path, shown, how, half, rng, odd and wrong == "another lamp")
        coloured = scheme(kit(Path(name), *(replace(reference(p), trust=1.0) for p in paths)))
    return [
        (
            float(difference(part.lab, truth)),
            part.radius90,
            part.evidence[seed % 3].weight,
            part.conflict,
            [(e.lab - truth) / np.sqrt(np.diag(e.covariance)) for e in part.evidence],
        )
        for part, truth in zip(coloured.parts, lab_of(table), strict=True)
    ]


def told(name: str, parts: list[tuple]) -> None:
    off, radii = ([part[i] for part in parts] for i in (0, 1))
    tell(name, off, [a <= b for a, b in zip(off, radii, strict=True)], radii)


def main(count: int, half: str, each: Each) -> None:
    print(f"{half} half, {count} scenes of {PARTS} parts each")
    for how in ("cast", "camera"):
        scenes = each(partial(one_picture, how, half), range(count))
        told(f"{how}: one picture, 24 anchors", [part for scene in scenes for part in scene])
        for wrong in ("nothing", "another paint", "another lamp"):
            scenes = each(partial(three_pictures, how, half, wrong), range(count))
            parts = [part for scene in scenes for part in scene]
            told(f"{how}: three pictures, wrong in one: {wrong}", parts)
            weights, conflicts = ([part[i] for part in parts] for i in (2, 3))
            print(
                f"    its weight: median {np.median(weights):.2f}; conflict in {np.mean(conflicts):.0%}",
                end="",
            )
            if wrong == "nothing":
                z = np.array([part[4] for part in parts])  # (parts, 3 pictures, L* a* b*)
                common = np.mean([z[:, i] * z[:, j] for i, j in ((0, 1), (0, 2), (1, 2))], axis=(0, 1))
                shares = common / (z**2).mean(axis=(0, 1))
                print("; in common L* {:.2f}, a* {:.2f}, b* {:.2f}".format(*shares), end="")
            print()


if __name__ == "__main__":
    with side_by_side() as each_scene:
        numbers = [int(a) for a in sys.argv[1:] if a.isdigit()]
        main(numbers[0] if numbers else 40, TUNING if "--tuning" in sys.argv else HELD, each_scene)
