"""Matrix profiles read here against the ICC engine of imagecodecs: python -m tests.benchmarks.profiles

Prints how far apart their linear light lies at most, and how many times as long Little CMS takes, in the same
run. Profiles that are tables go through Little CMS anyway.
"""

from __future__ import annotations

import time

import numpy as np

from palette.evidence.pictures.profiles import CodedPoints, TableEncoding, read_profile

SIDE, TIMES = 600, 3


def main() -> None:
    rng = np.random.default_rng(15076)
    print(f"{'profile':34} {'bits':>4} {'farthest':>9} {'Little CMS takes':>17}")
    for points in (CodedPoints(12, 13), CodedPoints(9, 14), CodedPoints(1, 4)):
        icc = points.icc()
        ours, engine = read_profile(icc, "rgb"), TableEncoding(points.name, icc, "rgb")
        for kind in (np.uint8, np.uint16):
            levels = rng.integers(0, np.iinfo(kind).max, (SIDE, SIDE, 3), dtype=kind, endpoint=True)
            took, light = [], []
            for one in (ours, engine):
                runs = []
                for _ in range(TIMES):
                    start = time.perf_counter()
                    linear = one.to_linear(levels)
                    runs.append(time.perf_counter() - start)
                took.append(min(runs))
                light.append(linear)
            off = float(np.abs(light[0] - light[1]).max())
            bits = np.iinfo(kind).bits
            print(f"{points.name:34} {bits:4} {off:9.1e} {took[1] / took[0]:15.1f} ×")


if __name__ == "__main__":
    main()
