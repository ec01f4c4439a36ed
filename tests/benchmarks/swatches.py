"""How long reading and checking a list of 10,000 paints takes, beside the csv module reading the same rows.

    python -m tests.benchmarks.swatches

One process, the best of five each, once for paints known by Lab and hex, once by reflectances. The rival
only cuts the text into cells.
"""

from __future__ import annotations

import csv
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from palette import SwatchList
from palette.colour.spaces import lab_to_hex
from palette.colour.spectra import NM, reflectance_to_lab
from palette.paints.checking import check

COUNT = 10_000


def smooth_reflectances(count: int) -> np.ndarray:
    """Made paints: a base and three broad bands each, (count, 31)."""
    rng = np.random.default_rng(2)
    centre, width = rng.uniform(380, 720, (count, 3, 1)), rng.uniform(30, 120, (count, 3, 1))
    bands = rng.uniform(0, 0.5, (count, 3, 1)) / (1 + np.exp(-(NM - centre) / width * 3))
    return np.clip(rng.uniform(0.03, 0.2, (count, 1)) + bands.sum(axis=1) * 0.6, 0.02, 0.95)


def lists(folder: Path) -> dict[str, Path]:
    reflectances = smooth_reflectances(COUNT)
    by_lab, by_reflectance = folder / "lab.csv", folder / "reflectance.csv"
    with open(by_lab, "w", newline="") as one, open(by_reflectance, "w", newline="") as two:
        colours, spectra = csv.writer(one), csv.writer(two)
        colours.writerow(["id", "name", "range", "owned", "lab_l", "lab_a", "lab_b", "hex"])
        spectra.writerow(["id", "name", "range", "owned", *(f"nm{nm:g}" for nm in NM)])
        for i, (row, lab) in enumerate(zip(reflectances, reflectance_to_lab(reflectances), strict=True)):
            start = [f"P-{i}", f"Paint {i}", "Made", "yes" if i % 3 else "no"]
            colours.writerow([*start, *(f"{v:.2f}" for v in lab), lab_to_hex(lab)])
            spectra.writerow([*start, *(f"{v:.4f}" for v in row)])
    return {"Lab and hex": by_lab, "31 reflectances": by_reflectance}


def best(run: Callable[[], object]) -> float:
    seconds = []
    for _ in range(5):
        start = time.perf_counter()
        run()
        seconds.append(time.perf_counter() - start)
    return min(seconds)


def rows(path: Path) -> list[list[str]]:
    with open(path, newline="", encoding="utf-8") as text:
        return list(csv.reader(text))


def main() -> None:
    print(f"{COUNT:,} paints by     csv alone    read            check")
    with tempfile.TemporaryDirectory() as folder:
        for name, path in lists(Path(folder)).items():
            rival = best(lambda: rows(path))  # noqa: B023
            read, checked = best(lambda: SwatchList.read(path)), best(lambda: check([path]))  # noqa: B023
            print(
                f"{name:18}  {rival:7.3f} s  {read:7.3f} s ({read / rival:4.1f})  "
                f"{checked:7.3f} s ({checked / rival:4.1f})"
            )


if __name__ == "__main__":
    main()
