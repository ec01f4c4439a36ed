"""How long a shelf takes: the first time, after one kit's change, and after none.

    python -m tests.benchmarks.shelf [KITS]

Kits are made from the demo by a seed: other titles, versions and colours of one part. Ratios are to one kit
built alone in the same run.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from palette.shelf.site import shelf
from swatches_demo import lay_out


def vary(folder: Path, number: int) -> None:
    """The demo under another title, with one part decided by a seeded colour."""
    lay_out(folder)
    rng = np.random.default_rng(number)
    hex_colour = "#" + "".join(f"{v:02x}" for v in rng.integers(30, 220, 3))
    text = (folder / "kit.toml").read_text("utf-8")
    text = text.replace('title = "', f'title = "No. {number}, ', 1)
    extra = f'[[part]]\nid = "extra"\ncolour = {{ hex = "{hex_colour}" }}\nwhy = "seeded"\narea_cm2 = 5\n'
    (folder / "kit.toml").write_text(f"{text}\n{extra}", "utf-8")


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        kits, site = Path(place, "kits"), Path(place, "site")
        for number in range(count):
            vary(kits / f"kit-{number}", number)
        one = timed(lambda: shelf([kits / "kit-0"], Path(place, "alone")))
        first = timed(lambda: shelf([kits], site))
        none = timed(lambda: shelf([kits], site))
        vary(kits / "kit-1", count + 1)
        changed = timed(lambda: shelf([kits], site))
        print(f"{count} kits; one alone {one:.1f} s")
        print(f"first build    {first:8.1f} s  {first / one / count:.2f} of one kit's time a kit")
        print(f"one changed    {changed:8.1f} s  {changed / one:.2f} of one kit's time")
        print(f"none changed   {none:8.2f} s")
        size = (site / "index.html").stat().st_size
        print(f"first page     {size / 1000:8.1f} kB before pictures")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
