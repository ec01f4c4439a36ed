"""How long the search for recipes takes beside trying every one, and that both find the same.

    python -m tests.benchmarks.recipes [--paints 60] [--colours 3]

Lists are invented paints known by CIELAB. `trying every one` is the same code with its bounds switched
off. For 200 and for 1,000 paints trying everything would take minutes to hours: there the time is told
beside what every recipe would have cost at the rate measured on the short list.
"""

from __future__ import annotations

import argparse
import time
from math import comb

import numpy as np

from palette.paints.mixing import law, mixes, search
from palette.paints.mixing.colourants import colourants
from palette.paints.mixing.data.make import particles
from palette.paints.mixing.inference import lab_of
from palette.paints.swatches import Swatch, SwatchList


def paint_list(count: int, seed: int = 3) -> SwatchList:
    k, s, _ = particles(count, seed)
    return SwatchList(
        tuple(Swatch(f"p{i}", "", lab, "lab") for i, lab in enumerate(lab_of(law.reflectance(k / s))))
    )


def recipes(paints: int) -> int:
    return sum(comb(paints, p) * len(search.compositions(p, 12)) for p in (1, 2, 3))


def timed(swatches: SwatchList, colours: np.ndarray) -> tuple[float, list[list[tuple[tuple[str, int], ...]]]]:
    start = time.perf_counter()
    found = [[mix.drops for mix in mixes(colour, swatches)] for colour in colours]
    return (time.perf_counter() - start) / len(colours), found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--paints", type=int, default=60)
    parser.add_argument("--colours", type=int, default=3)
    given = parser.parse_args()
    rng = np.random.default_rng(1)
    colours = np.column_stack([rng.uniform(25, 85, given.colours), rng.uniform(-35, 35, (given.colours, 2))])

    swatches = paint_list(given.paints)
    colourants(swatches)
    seconds, found = timed(swatches, colours)
    tried = search._TRIED
    search._TRIED = 10**15
    every, expected = timed(swatches, colours)
    search._TRIED = tried
    same = "the same recipes" if found == expected else "OTHER RECIPES"
    print(
        f"{given.paints} paints, {recipes(given.paints):,} recipes: {seconds / every:.3f} of the time, {same}"
    )
    rate = every / recipes(given.paints)
    for count in (200, 1000):
        swatches = paint_list(count)
        start = time.perf_counter()
        colourants(swatches)
        ready = time.perf_counter() - start
        seconds, _ = timed(swatches, colours)
        share = seconds / (rate * recipes(count))
        print(f"{count} paints, {recipes(count):,} recipes: {seconds:.2f} s a colour, {share:.6f} of all")
        print(f"    once for the list: {ready:.2f} s")


if __name__ == "__main__":
    main()
