"""Where photographs stray from strong colours: python -m tests.benchmarks.photo.straying [FOLDER]

Prints the table of palette/evidence/correction/straying.py, learnt on made photographs of the tuning half:
three greys and three colours of the chart are anchors, and tuning surfaces are read. With a FOLDER of real
chart photographs (see tests.benchmarks.charts), those for choices are shown beside it; nothing is learnt of
them. Takes about a minute.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from palette.colour.spaces import srgb_decode
from palette.evidence.correction import AnchorReading, fit
from palette.evidence.correction.straying import between_hues, size
from tests.benchmarks import charts
from tests.benchmarks.photo.pictures import TUNING, chart, lab_of, make, surfaces

PICTURES, SURFACES, COLOURED = 80, 60, 8.0


def made(count: int) -> tuple[np.ndarray, np.ndarray]:
    """CIELAB as read (n, 3) and as it is (n, 3), half of the pictures developed straight."""
    table, patches = surfaces(TUNING), chart("ISO 17321-1")
    read, true = [], []
    for i in range(count):
        rng = np.random.default_rng([77, i // 2, i % 2])
        picture = make(TUNING, rng, plain=i % 2 == 1)
        anchors = np.concatenate([[18, 21, 22], rng.choice(18, 3, False)])
        reflectance = np.concatenate([patches[anchors], table[rng.choice(len(table), SURFACES, False)]])
        lab, place = lab_of(reflectance), rng.uniform(0.1, 0.9, (len(reflectance), 2))
        linear = srgb_decode(np.rint(picture.render(reflectance, place) * 255) / 255)
        noise = ((0.01 * linear) ** 2 + 1e-8)[..., None] * np.eye(3)
        clipped = ((linear <= 0) | (linear > 0.99)).astype(float)
        correction = fit(
            [
                AnchorReading(
                    f"anchor {j}", linear[j], noise[j], lab[j], centre=tuple(place[j]), clipped=clipped[j]
                )
                for j in range(len(anchors))
            ],
            size=(3, 2),
        )
        rest = slice(len(anchors), None)
        read.append(correction.apply(linear[rest], noise[rest], place[rest])[0])
        true.append(lab[rest])
    return np.concatenate(read), np.concatenate(true)


def real(folder: Path) -> tuple[np.ndarray, np.ndarray]:
    """The same of real charts for choices."""
    every = list(charts.charts(folder))
    held = charts.held_back([one.id for one in every])
    read, true = [], []
    for one in every:
        for case, chosen in charts.cases(one):
            if case == charts.SIX and one.id not in held:
                parts = np.setdiff1d(np.arange(len(one.truth)), chosen)
                seen = one.linear[parts], one.covariance[parts], one.centre[parts]
                read.append(one.fit(chosen).apply(*seen)[0])
                true.append(one.truth[parts])
    return np.concatenate(read), np.concatenate(true)


def table(read: np.ndarray, true: np.ndarray) -> np.ndarray:
    """By hue (12, 3): lighter, stronger, farther on in hue, of colours of C* 30; by least absolute errors."""
    chroma, hue = np.hypot(true[:, 1], true[:, 2]), np.arctan2(true[:, 2], true[:, 1])
    cos, sin, off = np.cos(hue), np.sin(hue), read - true
    along, across = off[:, 1] * cos + off[:, 2] * sin, off[:, 2] * cos - off[:, 1] * sin
    off = np.column_stack([off[:, 0], along, across])
    basis = between_hues(np.degrees(hue)) * size(chroma)[:, None]
    keep = chroma > COLOURED
    basis, off = basis[keep], off[keep]
    out = np.zeros((12, 3))
    for _ in range(30):
        weight = 1 / np.maximum(np.abs(off - basis @ out), 1.0)
        for axis in range(3):
            weighed = basis * weight[:, axis, None]
            out[:, axis] = np.linalg.solve(weighed.T @ basis + np.eye(12), weighed.T @ off[:, axis])
    return out


def main() -> None:
    pairs = [("made", made(PICTURES)), *(("real", real(Path(folder))) for folder in sys.argv[1:])]
    for title, (read, true) in pairs:
        print(title, *(f"    {row.round(1).tolist()}," for row in table(read, true)), sep="\n")


if __name__ == "__main__":
    main()
