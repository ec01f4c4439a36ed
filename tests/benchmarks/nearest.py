"""The nearest paints beside brute force by others: python -m tests.benchmarks.nearest [QUERIES] [PAINTS]

Pairs compared (in effect) per second, against the faster of colour-science and scikit-image, which are given
as many pairs as take them about a second; and how the time grows with the list.
"""

import sys
import time

import colour
import numpy as np
from skimage.color import deltaE_ciede2000

from palette.colour.difference import difference
from palette.colour.nearest import NearestIndex
from palette.colour.spaces import linear_to_lab, srgb_decode


def _random(rng: np.random.Generator, count: int) -> np.ndarray:
    return linear_to_lab(srgb_decode(rng.uniform(0, 1, (count, 3))))


def _rate(function: object, first: np.ndarray, second: np.ndarray) -> float:
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        function(first, second)  # type: ignore[operator]
        best = min(best, time.perf_counter() - start)
    return len(first) / best


def main() -> None:
    numbers = [int(word) for word in sys.argv[1:]]
    queries, paints = (numbers + [100_000, 5_000][len(numbers) :])[:2]
    rng = np.random.default_rng(1)
    wanted, listed = _random(rng, queries), _random(rng, paints)
    # in blocks of the size that suits them, the second colours repeated as a search by them would
    first, second = np.repeat(wanted[:100], 5000, axis=0), np.tile(_random(rng, 5000), (100, 1))
    rivals = {
        "colour-science": _rate(lambda a, b: colour.delta_E(a, b, method="CIE 2000"), first, second),
        "scikit-image": _rate(deltaE_ciede2000, first, second),
    }
    for name, rate in rivals.items():
        print(f"{name:24s} {rate / 1e6:8.1f} million pairs/s")
    print(f"{'palette.difference':24s} {_rate(difference, first, second) / 1e6:8.1f}")
    for count in (1, 5):
        start = time.perf_counter()
        NearestIndex(listed).query(wanted, count)
        rate = queries * paints / (time.perf_counter() - start)
        print(
            f"{f'nearest, {count} of {paints}':24s} {rate / 1e6:8.1f}   "
            f"{rate / max(rivals.values()):.0f} times the faster rival"
        )
    for size in (paints // 4, paints, paints * 4):
        index = NearestIndex(_random(rng, size))
        start = time.perf_counter()
        index.query(wanted[:20_000], 5)
        print(f"20,000 colours against {size:6d} paints: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
