"""What starting costs: `palette --help` beside `import click`: python -m tests.benchmarks.startup"""

import subprocess
import sys
import time

from tests.benchmarks.processes import as_installed


def _seconds(*words: str) -> float:
    best = float("inf")
    for _ in range(7):
        start = time.perf_counter()
        subprocess.run([sys.executable, *words], check=True, capture_output=True, env=as_installed())
        best = min(best, time.perf_counter() - start)
    return best


def main() -> None:
    rival, ours = _seconds("-c", "import click"), _seconds("-m", "palette", "--help")
    print(
        f"import click {rival * 1000:.0f} ms, palette --help {ours * 1000:.0f} ms: {ours / rival:.2f} times"
    )


if __name__ == "__main__":
    main()
