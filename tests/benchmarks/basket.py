"""What the exact choice of paints is worth, and what it costs, beside picking greedily.

    python -m tests.benchmarks.basket

Kits of 12 parts and lists of 60 paints, all drawn at random with fixed seeds. One rival buys, pot by pot, the
paint that brings the most further parts within reach (any two paints where no single one does); the other
buys for every part the paints of its own nearest recipe. All three go by what is likely: the error of a
mixture's prediction counts.
"""

from __future__ import annotations

import time
from itertools import combinations

import numpy as np

from palette.paints.basket import basket
from palette.paints.choosing.target import Target
from palette.paints.recipes import RecipeSets, recipe_sets
from palette.paints.shop import Shop
from palette.swatches.model import Swatch, SwatchList

KITS, PARTS, PAINTS, TOLERANCE = 6, 12, 60, 3.0


def drawn(seed: int, share: int) -> tuple[np.ndarray, SwatchList]:
    rng = np.random.default_rng(seed)

    def colours(count: int) -> np.ndarray:
        chroma, hue = rng.gamma(2.0, 12.0, count), rng.uniform(0, 2 * np.pi, count)
        return np.column_stack([rng.uniform(18, 90, count), chroma * np.cos(hue), chroma * np.sin(hue)])

    paints = colours(PAINTS)
    swatches = tuple(
        Swatch(f"P{i}", f"P{i}", lab, "lab", owned=bool(share and i % share == 0))
        for i, lab in enumerate(paints)
    )
    return colours(PARTS), SwatchList(swatches)


def greedy(shop: Shop, most: float) -> int:
    """Pots bought until as many parts are reached as can be."""
    buy: list[int] = []
    while shop.reached(buy) < most:
        sets = [[paint] for paint in shop.bought if paint not in buy]
        best = max(sets, key=lambda new: shop.reached([*buy, *new]))
        if shop.reached([*buy, *best]) == shop.reached(buy):
            best = max(map(list, combinations(shop.bought, 2)), key=lambda new: shop.reached([*buy, *new]))
        buy += best
    return len(set(buy))


def one_by_one(recipes: list[RecipeSets], owned: np.ndarray) -> int:
    """Pots bought where every part that owned paints do not reach gets the nearest recipe of its own."""
    buy: set[int] = set()
    for each in recipes:
        used = each.paints >= 0
        if not (each.good(TOLERANCE, 0.0, False) & (owned[each.paints] | ~used).all(axis=1)).any():
            best = each.paints[int(np.argmin(each.expected))]
            buy |= {int(i) for i in best if i >= 0 and not owned[i]}
    return len(buy)


def main() -> None:
    print(f"{KITS} kits of {PARTS} parts, {PAINTS} paints")
    recipes, whole = 0.0, 0.0
    for share in (3, 0):
        pots = []
        for seed in range(KITS):
            labs, swatches = drawn(seed, share)
            start = time.perf_counter()
            sets = recipe_sets([Target(lab) for lab in labs], swatches, TOLERANCE)
            recipes += time.perf_counter() - start
            start = time.perf_counter()
            answer = basket(labs, swatches, TOLERANCE)
            whole += time.perf_counter() - start
            owned = np.array([bool(s.owned) for s in swatches.swatches])
            shop = Shop.of(
                sets,
                [each.good(TOLERANCE, 0.0, False) for each in sets],
                np.ones(PARTS),
                owned,
                np.ones(PAINTS, dtype=bool),
            )
            pots.append((len(answer.chosen.buy), greedy(shop, answer.chosen.served), one_by_one(sets, owned)))
        exact, rival, apart = np.array(pots).T
        print(f"pots to buy, {'a third of the paints owned' if share else 'nothing owned'}")
        print(f"  exactly              {exact.mean():6.2f}")
        print(
            f"  greedily             {rival.mean():6.2f}   (more in {(rival > exact).sum()} of {KITS} kits)"
        )
        print(
            f"  part by part         {apart.mean():6.2f}   (more in {(apart > exact).sum()} of {KITS} kits)"
        )
    print(f"time to choose, to that of finding the recipes {whole / recipes:6.2f}")


if __name__ == "__main__":
    main()
