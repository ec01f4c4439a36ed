"""Run the benchmarks that the colour science names and paste what they print.

    python docs/make_figures.py [NAME...]

Runs every `$ python -m tests.benchmarks…` of docs/colour-science.md, or those whose command holds a NAME, one
after another, on one core. All of them take some thirty minutes.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from palette.files import replace_whole

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "colour-science.md"
BLOCK = re.compile(r"^```console\n\$ (python -m [^\n]*)\n(.*?)^```$", re.S | re.M)


def printed(command: str) -> str:
    """What a benchmark prints on standard output; stops where it fails."""
    threads = {name: "1" for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS")}
    words = [sys.executable, *command.split()[1:]]
    done = subprocess.run(
        words, cwd=ROOT, env={**os.environ, **threads}, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise SystemExit(f"$ {command}\n{done.stderr}")
    return "\n".join(line.rstrip() for line in done.stdout.strip("\n").splitlines())


def main() -> None:
    wanted = sys.argv[1:]
    for command in BLOCK.findall(PAGE.read_text("utf-8")):
        if wanted and not any(name in command[0] for name in wanted):
            continue
        print(f"$ {command[0]}", flush=True)
        block = f"```console\n$ {command[0]}\n{printed(command[0])}\n```"
        page = PAGE.read_text("utf-8")  # as it is now: the run before took minutes
        old = next(m for m in BLOCK.finditer(page) if m[1] == command[0])
        replace_whole(PAGE, page[: old.start()] + block + page[old.end() :])


if __name__ == "__main__":
    main()
