"""What the paints chosen for a kit are really off, by how much of a prediction's error is counted.

    python -m tests.benchmarks.choosing [--sets 8]

Sets of a white and eighteen other paints are those of `tests.benchmarks.mixing`, drawn with other seeds;
every second paint is owned. `acrylics` are the white and four strong pigments whose masstone and let-down
were measured (`tests/paints/test_mixing.py`), with 14 paints of `held back`; K and S are inferred from
both, as truth, and the list has the masstones only. A kit is ten colours that two of the paints can be
mixed to. What the basket puts on the brush is mixed truly and compared with the colours.

`called` is how many parts the basket calls a match, `true` how many of these are one,
`off` the CIEDE2000 from the colours, of all parts. Errors counted: none, half, all
(what palette does), and all of it with a half more.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from dataclasses import replace
from tempfile import TemporaryDirectory
from unittest import mock

import numpy as np

from palette import memory
from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.paints import likely
from palette.paints.basket import basket
from palette.paints.mixing.colourants import colourants
from palette.swatches.model import Swatch, SwatchList
from tests.benchmarks.mixing import held_back, population, sets, swatch_list, truly
from tests.paints.test_mixing import STRONG

TOLERANCE, PARTS, DOUBTS = 3.0, 10, (0.0, 0.5, 1.0, 1.5)
POPULATIONS = ("kinds", "held back", "with surfaces", "acrylics")


def acrylics(count: int, seed: int) -> Iterator[tuple[np.random.Generator, Array, Array]]:
    """As `sets`: the measured ones among others."""
    white = Swatch("W", "white", np.array([96.5, -0.8, 2.5]), "lab")
    strong = (
        Swatch(id, id, np.array(lab, float), "lab", tint_lab=np.array(down, float), tint_share=0.1,
               tint_white="W")
        for id, (lab, down) in STRONG.items()
    )  # fmt: skip
    measured = colourants(SwatchList((white, *strong)))
    for rng, k, s in sets(*held_back(500, 950 + seed), count, seed):
        yield (
            rng,
            np.concatenate([measured.absorption, k[1:15]]),
            np.concatenate([measured.scattering, s[1:15]]),
        )


def kits(name: str, count: int, seed: int = 5) -> Iterator[tuple[Array, Array, Array]]:
    """K and S (n, 31) of a set, and the colours (PARTS, 3) of a kit."""
    some = acrylics(count, seed) if name == "acrylics" else sets(*population(name, 950 + seed), count, seed)
    for rng, k, s in some:
        shares = np.zeros((PARTS, len(k)))
        for row in shares:
            first = 5 if name == "acrylics" else len(k)  # the measured ones are in each of their colours
            one = rng.integers(1, first)
            other = rng.choice([i for i in range(len(k)) if i != one])
            row[[one, other]] = rng.dirichlet([1.0, 1.0])
        yield k, s, truly(k, s, shares)


def chosen(k: Array, s: Array, labs: Array, knowledge: str, doubt: float) -> tuple[Array, Array, int]:
    """What goes on the brush: really off (PARTS,), called a match (PARTS,), and pots to buy."""
    listed = swatch_list(k, s, knowledge)
    owned = SwatchList(tuple(replace(p, owned=i % 2 == 0) for i, p in enumerate(listed.swatches)))
    with TemporaryDirectory() as folder, mock.patch.dict(os.environ, PALETTE_CACHE=folder):
        memory.MEMORY.clear()
        with mock.patch.object(likely, "DOUBT", doubt):
            bought = basket(labs, owned, TOLERANCE)
    share = np.zeros((len(labs), len(k)))
    for row, recipe in zip(share, bought.chosen_recipes, strict=True):
        assert recipe is not None
        for id, drops in recipe.drops:
            row[int(id[1:])] = drops / sum(n for _, n in recipe.drops)
    called = np.array([recipe is not None and recipe.within for recipe in bought.chosen_recipes])
    return difference(labs, truly(k, s, share)), called, len(bought.chosen.buy)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sets", type=int, default=8)
    given = parser.parse_args()
    for name in POPULATIONS:
        every = list(kits(name, given.sets))
        for knowledge in ("Lab only", "tint"):
            print(f"\n{name}, {knowledge}: {given.sets} kits of {PARTS} parts, tolerance {TOLERANCE:g}")
            for doubt in DOUBTS:
                got = [chosen(*kit, knowledge, doubt) for kit in every]
                off = np.concatenate([one for one, _, _ in got])
                called = np.concatenate([one for _, one, _ in got])
                true = (off <= TOLERANCE)[called].mean() if called.any() else np.nan
                pots = sum(n for *_, n in got) / len(got)
                print(
                    f"  × {doubt:3.1f} of the error: called {called.sum():3}, true {100 * true:3.0f} %, "
                    f"off {np.median(off):4.2f} median, {off.mean():4.2f} mean, "
                    f"{np.percentile(off, 95):5.2f} 95th; {pots:.1f} pots a kit"
                )


if __name__ == "__main__":
    main()
