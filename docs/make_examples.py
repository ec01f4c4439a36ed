"""Run what the tutorial shows and paste what it prints: python docs/make_examples.py

In a page, a block marked `console` holds commands, each after a `$`, and what they print; they are run one
after another in an empty folder, and must succeed, or after `<!-- refused -->` must not. A block after
`<!-- write FILE -->` is that file, one after `<!-- append FILE -->` is added to it, and
`<!-- replace FILE: OLD -->` puts the block where OLD stands; OLD may be `FIRST … LAST`.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

PAGES = (Path(__file__).parent / "tutorial.md",)
BLOCK = re.compile(
    r"(?:<!-- (?:(write|append|replace) ([^\s:]+)(?:: ([^\n]*?))?|(refused)) -->\n)?^```(\w+)\n(.*?)^```$",
    re.S | re.M,
)


def shell(command: str, folder: Path, refused: bool = False) -> str:
    """What a command prints, on both its streams; it must succeed, or be `refused`."""
    environment = {
        **os.environ,
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
        "PALETTE_CACHE": os.environ.get("PALETTE_CACHE") or str(folder / ".cache"),
        "OMP_NUM_THREADS": "1",
        "OPENBLAS_NUM_THREADS": "1",
        "COLUMNS": "100",
        "LC_ALL": "C.UTF-8",
    }
    done = subprocess.run(
        ["bash", "-o", "pipefail", "-c", command],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    if (done.returncode == 1) != refused or done.returncode not in (0, 1):
        raise RuntimeError(f"$ {command}\n{done.stdout}")
    return done.stdout


def _console(block: str, folder: Path, refused: bool, run: Callable[[str, Path, bool], str]) -> str:
    lines = []
    for line in block.splitlines():
        if line.startswith("$ "):
            printed = run(line[2:], folder, refused).strip("\n")
            lines += [line, *(text.rstrip() for text in printed.split("\n") if printed)]
    return "\n".join(lines) + "\n"


def refreshed(page: str, folder: Path, run: Callable[[str, Path, bool], str] = shell) -> str:
    """The page with what its commands print now; `run` does them in `folder`, which is empty."""

    def block(match: re.Match[str]) -> str:
        how, name, old, refused, language, inside = match.groups()
        if how is None:
            if language != "console":
                return match[0]
            start = match.start(6) - match.start()
            return match[0][:start] + _console(inside, folder, bool(refused), run) + "```"
        file = folder / name
        if how == "write":
            file.write_text(inside, "utf-8")
        elif how == "append":
            file.write_text(file.read_text("utf-8") + "\n" + inside, "utf-8")
        else:
            before = file.read_text("utf-8")
            first, _, last = old.partition(" … ")
            if last and before.count(first) == before.count(last) == 1:
                old = before[before.index(first) : before.index(last) + len(last)]
            if before.count(old) != 1:
                raise RuntimeError(f"{name} holds {old!r} {before.count(old)} times, not once")
            file.write_text(before.replace(old, inside.rstrip("\n")), "utf-8")
        return match[0]

    return BLOCK.sub(block, page)


def main() -> None:
    from palette.files import replace_whole

    for page in PAGES:
        with tempfile.TemporaryDirectory() as folder:
            replace_whole(page, refreshed(page.read_text("utf-8"), Path(folder)))
        print(page)


if __name__ == "__main__":
    main()
