"""How long the search for recipes takes beside trying every one, and that both find the same.

    python -m tests.benchmarks.recipes [--paints 60] [--colours 4] [--long 200 1000]

Lists are invented paints known by CIELAB; every other colour asked for is dark. `trying every one` is the
same code with its bounds switched off. For the long lists trying everything would take minutes to hours:
there the time is told beside what every recipe would have cost at the rate measured on the short list.
Processor seconds are of all threads together. The command `palette mix` is timed from without, with all it
has to do before and after: start, read the list, make it ready, print.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import time
from math import comb
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from palette.paints.mixing import law, search
from palette.paints.mixing.colourants import colourants
from palette.paints.mixing.data.make import particles
from palette.paints.mixing.inference import lab_of
from palette.swatches.model import Swatch, SwatchList
from tests.benchmarks.processes import as_installed


def paint_list(count: int, seed: int = 3) -> SwatchList:
    k, s, _ = particles(count, seed)
    return SwatchList(
        tuple(Swatch(f"p{i}", "", lab, "lab") for i, lab in enumerate(lab_of(law.reflectance(k / s))))
    )


def recipes(paints: int) -> int:
    return sum(comb(paints, p) * len(search.compositions(p, 12)) for p in (1, 2, 3))


def timed(swatches: SwatchList, colours: np.ndarray) -> tuple[np.ndarray, list[object], float]:
    """Wall and processor seconds a colour (n, 2), the recipes, and how many a colour were worked out."""
    paints = colourants(swatches)
    allowed = np.arange(len(swatches))
    took, ranked, tried = [], [], 0
    for colour in colours:
        start = time.perf_counter(), time.process_time()
        best = search.searched(paints, allowed, colour, 3, 12, 5)
        took.append((time.perf_counter() - start[0], time.process_time() - start[1]))
        ranked.append([(one.which, one.drops) for one in best.recipes])
        tried += best.tried
    return np.array(took), ranked, tried / len(colours)


def command(swatches: SwatchList, colours: np.ndarray) -> np.ndarray:
    """Wall and processor seconds (n, 2) of the command for each colour."""
    took = []
    with TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        rows = [f"{s.id},paint {s.id},{','.join(f'{x:.3f}' for x in s.lab)}" for s in swatches.swatches]
        path.write_text("\n".join(["id,name,lab_l,lab_a,lab_b", *rows]) + "\n", "utf-8")
        for colour in colours:
            wanted = ["--lab", *(f"{x:.3f}" for x in colour)]
            start = time.perf_counter(), sum(os.times()[2:4])
            line = [sys.executable, "-m", "palette", "mix", *wanted, "--swatches", str(path)]
            subprocess.run(line, check=True, capture_output=True, env=as_installed())
            took.append((time.perf_counter() - start[0], sum(os.times()[2:4]) - start[1]))
    return np.array(took)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--paints", type=int, default=60)
    parser.add_argument("--colours", type=int, default=4)
    parser.add_argument("--long", type=int, nargs="*", default=[200, 1000])
    given = parser.parse_args()
    rng = np.random.default_rng(1)
    colours = np.column_stack([rng.uniform(25, 85, given.colours), rng.uniform(-35, 35, (given.colours, 2))])
    colours[1::2] = colours[1::2] * (0.35, 0.3, 0.3) + (5, 0, 0)

    swatches = paint_list(given.paints)
    colourants(swatches)
    seconds, bounded, worked = timed(swatches, colours)
    tried = search._TRIED
    search._TRIED = 10**15
    every, expected, _ = timed(swatches, colours)
    search._TRIED = tried
    same = "the same recipes" if bounded == expected else "OTHER RECIPES"
    ratio = seconds[:, 1].mean() / every[:, 1].mean()
    print(f"{given.paints} paints, {recipes(given.paints):,} recipes, {worked:,.0f} worked out a colour:")
    print(f"    {ratio:.4f} of the time of trying every one, {same}")
    rate = every[:, 1].mean() / recipes(given.paints)
    for count in given.long:
        swatches = paint_list(count)
        start = time.process_time()
        colourants(swatches)
        ready = time.process_time() - start
        seconds, _, worked = timed(swatches, colours)
        wall, processor = seconds.mean(axis=0)
        print(f"{count} paints, {recipes(count):,} recipes, {worked:,.0f} worked out a colour:")
        print(f"    {processor / (rate * recipes(count)):.6f} of the time of trying every one would take")
        print(f"    a colour: {processor:.2f} processor seconds, {wall:.2f} on the clock,", end=" ")
        print(f"at worst {seconds[:, 1].max():.2f} and {seconds[:, 0].max():.2f}")
        print(f"    once for the list: {ready:.2f} processor seconds")
        wall, processor = command(swatches, colours).mean(axis=0)
        print(f"    the command: {processor:.2f} processor seconds, {wall:.2f} on the clock")


if __name__ == "__main__":
    main()
