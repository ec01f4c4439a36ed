"""Photographs of painted prints, and what `palette check` says of them: python -m tests.benchmarks.prints [N]

Each made photograph (tests.benchmarks.photo.pictures, held back, or with --tuning of the half for choices;
any light, developed straight) shows the 24-patch chart: six patches are anchors, six others the parts of a
print. Once they are painted exactly as the kit has them, once the kit has them 8 to 14 off (CIEDE2000) in a
direction drawn at random.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np
from PIL import Image

from palette.colour.difference import difference
from palette.kit.model import Kit
from palette.paints.check import check
from tests.benchmarks.photo.pictures import HELD, TUNING, chart, lab_of, make

SIDE = 32
ANCHORS = (18, 21, 22, 12, 13, 14)  # white, two greys, blue, green and red of the chart


def asked(folder: Path, seed: int, off: bool, half: str = HELD) -> Kit:
    """A kit whose print is one made photograph; its parts are as painted, or `off` by 8 to 14."""
    rng = np.random.default_rng(seed)
    reflectance = chart("ISO 17321-1")
    truth = lab_of(reflectance)
    place = np.array([((i % 6 + 0.5) / 6, (i // 6 + 0.5) / 4) for i in range(24)])
    made = make(half, rng, plain=True)
    picture = np.kron(made.render(reflectance, place).reshape(4, 6, 3), np.ones((SIDE, SIDE, 1)))
    picture = picture + rng.normal(0, made.noise, picture.shape)
    Image.fromarray(np.rint(np.clip(picture, 0, 1) * 255).astype(np.uint8)).save(
        folder / "print.jpg", quality=made.quality
    )
    parts = rng.choice(np.setdiff1d(np.arange(24), ANCHORS), 6, replace=False)
    lines = ['schema = 1\n[kit]\ntitle = "print"']
    for i in parts:
        lab = _moved(truth[i], rng) if off else truth[i]
        lines.append(f'[[part]]\nid = "p{i}"\ncolour = {{ lab = {lab.round(3).tolist()} }}\nwhy = "so"')
    lines.append('[[reference]]\nid = "print"\nfile = "print.jpg"\nsubject = "painted"')
    for i in ANCHORS:
        lab = truth[i].round(3).tolist()
        lines.append(f"[[reference.anchor]]\n{_rect(i)}\ncolour = {{ lab = {lab} }}")
    lines += [f'[[reference.sample]]\npart = "p{i}"\n{_rect(i)}' for i in parts]
    (folder / "kit.toml").write_text("\n".join(lines), "utf-8")
    return Kit.read(folder)


def _moved(lab: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    way = rng.normal(size=3)
    wanted, step = rng.uniform(8, 14), 0.5
    while difference(lab, lab + step * way) < wanted:
        step *= 1.03
    moved = lab + step * way
    return moved if 5 < moved[0] < 95 else _moved(lab, rng)


def _rect(i: int) -> str:
    return f"rect = [{i % 6 * SIDE + 6}, {i // 6 * SIDE + 6}, {SIDE - 12}, {SIDE - 12}]"


def answers(seeds: range, off: bool, half: str = HELD) -> Counter[bool | None]:
    """How many parts get True, False and None."""
    verdicts: Counter[bool | None] = Counter()
    for seed in seeds:
        with tempfile.TemporaryDirectory() as folder:
            verdicts.update(part.passes for part in check(asked(Path(folder), seed, off, half)).parts)
    return verdicts


def main() -> None:
    number = next((int(word) for word in sys.argv[1:] if word.isdigit()), 8)
    half, first = (TUNING, 0) if "--tuning" in sys.argv[1:] else (HELD, 500)
    for off, words in ((False, "painted exactly"), (True, "8 to 14 off")):
        verdicts = answers(range(first, first + number), off, half)
        print(
            f"{sum(verdicts.values())} parts {words:16} yes {verdicts[True]:3}  no {verdicts[False]:3}  "
            f"cannot tell {verdicts[None]:3}"
        )


if __name__ == "__main__":
    main()
