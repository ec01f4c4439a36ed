"""What the exact choice of paints is worth, and what it costs, beside picking greedily.

    python -m tests.benchmarks.basket

Kits of 12 parts and lists of 60 paints, all drawn at random with fixed seeds, a third of the paints owned.
The rival buys, pot by pot, the paint that brings the most further parts within the tolerance (any pair of
paints where no single one does), and takes the same time or less by nature: both need the same recipes.
"""

from __future__ import annotations

import time
from itertools import combinations

import numpy as np

from palette.paints.basket import _Shop, basket
from palette.paints.swatches import Swatch, SwatchList
from palette.paints.ways import ways

KITS, PARTS, PAINTS, TOLERANCE = 12, 12, 60, 3.0


def drawn(seed: int) -> tuple[np.ndarray, SwatchList]:
    rng = np.random.default_rng(seed)

    def colours(count: int) -> np.ndarray:
        chroma, hue = rng.gamma(2.0, 12.0, count), rng.uniform(0, 2 * np.pi, count)
        return np.column_stack([rng.uniform(18, 90, count), chroma * np.cos(hue), chroma * np.sin(hue)])

    paints = colours(PAINTS)
    swatches = tuple(
        Swatch(f"P{i}", f"P{i}", lab, "lab", owned=bool(i % 3 == 0)) for i, lab in enumerate(paints)
    )
    return colours(PARTS), SwatchList(swatches)


def greedy(shop: _Shop, most: float) -> int:
    """Pots bought until as many parts are reached as can be."""
    buy: list[int] = []
    while shop.reached(buy) < most:
        sets = [[paint] for paint in shop.bought if paint not in buy]
        best = max(sets, key=lambda new: shop.reached([*buy, *new]))
        if shop.reached([*buy, *best]) == shop.reached(buy):
            best = max(map(list, combinations(shop.bought, 2)), key=lambda new: shop.reached([*buy, *new]))
        buy += best
    return len(set(buy))


def main() -> None:
    exact, rival, recipes, programme = [], [], 0.0, 0.0
    for seed in range(KITS):
        labs, swatches = drawn(seed)
        start = time.perf_counter()
        found = ways(labs, swatches, 2 * TOLERANCE)
        recipes += time.perf_counter() - start
        start = time.perf_counter()
        answer = basket(labs, swatches, TOLERANCE)
        programme += time.perf_counter() - start
        owned = np.array([s.owned for s in swatches.swatches])
        shop = _Shop(found, np.ones(PARTS), TOLERANCE, owned, np.ones(PAINTS, dtype=bool))
        exact.append(len(answer.chosen.buy))
        rival.append(greedy(shop, answer.chosen.within))
    more = sum(b > a for a, b in zip(exact, rival, strict=True))
    print(f"{KITS} kits of {PARTS} parts, {PAINTS} paints of which a third owned")
    print(f"pots to buy, exactly          {np.mean(exact):6.2f}")
    print(f"pots to buy, greedily         {np.mean(rival):6.2f}   (more pots in {more} of {KITS} kits)")
    print(f"time, to finding the recipes  {programme / recipes:6.2f}")


if __name__ == "__main__":
    main()
