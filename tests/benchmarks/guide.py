"""How long a guide takes: of a new kit, of one that has not changed, and of sixty parts.

    python -m tests.benchmarks.guide

Every figure is a fresh process, in seconds of the clock and of the processor. `palette guide` on the laid-out
demo kit (pictures, scheme, grey inference, mixtures, PDF and web page), first with nothing remembered, then
unchanged, stands beside `python -c "import colour, sklearn.cluster"` and beside Python and the typesetter
starting (one line of text as a PDF, with the same typefaces). Sixty parts are those of the demo under other
names, with nothing remembered.
"""

from __future__ import annotations

import re
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from swatches_demo import lay_out
from tests.benchmarks.processes import as_installed

RIVAL = "import colour, sklearn.cluster"
START = """
import typst
from importlib.resources import as_file, files

with as_file(files("palette.typeset.fonts")) as folder:
    typst.compile(b"A line", font_paths=typst.Fonts(font_paths=[str(folder)]))
"""


def seconds(*arguments: str, cache: Path | None = None, runs: int = 3) -> tuple[float, float]:
    """The best wall and processor time of some runs of this Python, with nothing remembered where no `cache`
    is given."""
    wall = processor = float("inf")
    for _ in range(runs):
        with tempfile.TemporaryDirectory() as empty:
            environment = as_installed(XDG_CACHE_HOME=str(cache or empty))
            start, before = time.perf_counter(), _used()
            subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=environment)
            wall = min(wall, time.perf_counter() - start)
            processor = min(processor, _used() - before)
    return wall, processor


def _used() -> float:
    """Processor seconds of the processes that have ended."""
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    return spent.ru_utime + spent.ru_stime


def many(text: str, count: int) -> str:
    """A kit.toml with `count` parts: its own, again and again under other names, sampled where they are."""
    head, rest = text.split("# --- parts", 1)
    body, references = rest.split("# --- references", 1)
    own = re.findall(r"\n\[\[part\]\].*?(?=\n\[\[part\]\]|\Z)", body, re.S)
    parts = []
    for index in range(count):
        turn, block = divmod(index, len(own))
        name = f"-{turn + 1}" if turn else ""
        made = re.sub(r'(?m)^(id       = "\w+)"', rf'\1{name}"', own[block])
        parts.append(re.sub(r"\n  \[\[part.than\]\]\n.*", "", made) if turn else made)
    ids = [match[1] for part in parts if (match := re.search(r'id       = "([\w-]+)"', part))]

    def again(match: re.Match[str]) -> str:
        same = [id for id in ids if id == match[2] or id.startswith(f"{match[2]}-")]
        return "".join(match[0].replace(f'"{match[2]}"', f'"{id}"') for id in same)

    sample = r'(\n  \[\[reference.sample\]\]\n  part = "(\w+)"\n  rect = [^\n]*\n)'
    return head + "".join(parts) + "\n#" + re.sub(sample, again, references)


def row(words: str, taken: tuple[float, float]) -> None:
    print(f"{words:44} {taken[0]:6.2f} s {taken[1]:6.2f} s")


def main() -> None:
    print(f"{'':44} {'clock':>8} {'processor':>8}")
    with tempfile.TemporaryDirectory() as folder:
        kit = lay_out(Path(folder) / "demo")
        kept = Path(folder) / "cache"
        guide = seconds("-m", "palette", "guide", str(kit), runs=1)
        row("palette guide, demo, nothing remembered", guide)
        seconds("-m", "palette", "guide", str(kit), cache=kept, runs=1)
        again = seconds("-m", "palette", "guide", str(kit), cache=kept)
        row("palette guide, demo, unchanged", again)
        kit.write_text(many(kit.read_text("utf-8"), 60), "utf-8")
        row(
            "palette guide, 60 parts, nothing remembered", seconds("-m", "palette", "guide", str(kit), runs=1)
        )
    rival, start = seconds("-c", RIVAL), seconds("-c", START)
    row(f"python -c '{RIVAL}'", rival)
    row("Python and the typesetter starting", start)
    print(f"new, to the two libraries        {guide[1] / rival[1]:6.2f}   (processor; goal: below 5)")
    print(f"unchanged, to the typesetter     {again[1] / start[1]:6.2f}   (processor; goal: below 1.5)")


if __name__ == "__main__":
    main()
