"""How long the demo guide takes from nothing, beside the import of two libraries of the trade.

    python -m tests.benchmarks.guide

Both are fresh processes, the best of three each: `palette guide` on the laid-out demo kit (pictures, scheme,
grey inference, mixtures, PDF and web page) with nothing remembered from an earlier run, and
`python -c "import colour, sklearn.cluster"`.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from swatches_demo import lay_out

RIVAL = "import colour, sklearn.cluster"
GOAL = 5.0


def seconds(*arguments: str) -> float:
    """The best wall time of three runs of this Python."""
    best = float("inf")
    for _ in range(3):
        with tempfile.TemporaryDirectory() as empty:
            environment = os.environ | {"XDG_CACHE_HOME": empty}
            start = time.perf_counter()
            subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=environment)
            best = min(best, time.perf_counter() - start)
    return best


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        kit = lay_out(Path(folder) / "demo")
        guide = seconds("-m", "palette", "guide", str(kit))
    rival = seconds("-c", RIVAL)
    print(f"palette guide, demo kit       {guide:6.2f} s")
    print(f"python -c '{RIVAL}'  {rival:6.2f} s")
    print(f"ratio                         {guide / rival:6.2f}   (goal: below {GOAL:g})")


if __name__ == "__main__":
    main()
