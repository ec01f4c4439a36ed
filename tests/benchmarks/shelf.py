"""How long a shelf takes: the first time, after one kit's change, and after none; and how its page searches.

    python -m tests.benchmarks.shelf [KITS] [--jobs N] [--search 2000]

Kits are made from the demo by a seed: some of its paints and its parts under other titles, with colours
decided by the seed and no pictures, so that many can be built. Ratios are to one kit built alone in the same
run; memory is that of the largest process, of a shelf of a quarter of the kits and of all of them. The page
is searched in Chromium, with records drawn from the kits built, as many as are asked for.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from palette.shelf.pages import front
from palette.shelf.site import STATE, shelf
from swatches_demo import lay_out
from tests.benchmarks.processes import as_installed

PARTS = ("roof", "waist", "fenders")
WORDS = ("car", "deep reds", "dark greyish green", "gull grey", "no such thing", "")


def vary(kits: Path, number: int, seed: int) -> Path:
    """A kit with every ninth of the demo's paints, whose parts have colours of a seed."""
    rng = np.random.default_rng(seed)
    folder = kits / f"kit-{number}"
    folder.mkdir(parents=True, exist_ok=True)
    if not (kits / "swatches").exists():
        tram = lay_out(kits.parent / "tram")
        head, *rows = (tram.parent / "swatches" / "bench.csv").read_text("utf-8").splitlines()
        (kits / "swatches").mkdir()
        (kits / "swatches" / "few.csv").write_text("\n".join([head, *rows[::9]]), "utf-8")
    lines = ["schema = 1", "[kit]", f'title = "Car {number}"', 'version = "1.0"', 'licence = "CC-BY-4.0"']
    lines += ['swatches = ["../swatches/few.csv"]']
    for part in PARTS:
        colour = "#" + "".join(f"{v:02x}" for v in rng.integers(30, 220, 3))
        lines += ["[[part]]", f'id = "{part}"', "area_cm2 = 20", f'colour = {{ hex = "{colour}" }}']
        lines += ['why = "drawn by a seed"']
    (folder / "kit.toml").write_text("\n".join(lines), "utf-8")
    return folder


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def largest(kits: list[Path], site: Path, jobs: int) -> float:
    """Megabytes of the largest process that builds a shelf of kits."""
    words = [
        sys.executable,
        "-m",
        "palette",
        "shelf",
        *map(str, kits),
        "--out",
        str(site),
        "--jobs",
        str(jobs),
    ]
    code = (
        "import os, resource, subprocess, sys; subprocess.run(sys.argv[1:], check=True, stdout=-3);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    environment = as_installed(PALETTE_CACHE="")
    done = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True, env=environment
    )
    return int(done.stdout) / 1024


def searching(records: list[dict[str, object]], folder: Path) -> None:
    """Print how long the first page takes to find kits among `records`, once it is open."""
    from playwright.sync_api import sync_playwright

    folder.mkdir()
    for name, text in front(records).items():
        (folder / name).write_text(text, "utf-8")
    chromium = shutil.which("chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page()
        page.goto((folder / "index.html").as_uri())
        for words in WORDS:
            took = page.evaluate(
                """(words) => { const box = document.getElementById("words"); const times = [];
                for (let i = 0; i < 9; i++) { box.value = words; const start = performance.now();
                window.shelfSearch(words); const searched = performance.now();
                box.dispatchEvent(new Event("input")); document.body.offsetHeight;
                times.push([searched - start, performance.now() - searched]); }
                return times.sort((a, b) => a[0] + a[1] - b[0] - b[1])[4]; }""",
                words,
            )
            print(
                f"search {json.dumps(words):24} {took[0]:6.1f} ms to find, {took[1]:6.1f} ms to find and show"
            )
        browser.close()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kits", type=int, nargs="?", default=200)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--search", type=int, default=2000)
    parser.add_argument("--memory", action="store_true", help="build twice more, to tell the memory")
    given = parser.parse_args()
    os.environ["PALETTE_CACHE"] = ""
    with tempfile.TemporaryDirectory() as place:
        kits, site = Path(place, "kits"), Path(place, "site")
        made = [vary(kits, number, number) for number in range(given.kits)]
        shelf(made[:1], Path(place, "warm"))
        one = timed(lambda: shelf(made[1:2], Path(place, "alone")))
        first = timed(lambda: shelf([kits], site, given.jobs))
        none = timed(lambda: shelf([kits], site, given.jobs))
        vary(kits, 1, given.kits + 1)
        changed = timed(lambda: shelf([kits], site, given.jobs))
        share = first / one / given.kits
        print(f"{given.kits} kits, {given.jobs} at once; one alone {one:.2f} s")
        print(f"first build    {first:8.1f} s  {share:.2f} of one kit's time a kit (1 / {1 / share:.2f})")
        print(f"one changed    {changed:8.2f} s  one kit's time and {changed - one:.2f} s")
        print(f"none changed   {none:8.2f} s")
        print(f"first page     {(site / 'index.html').stat().st_size / 1000:8.1f} kB before pictures")
        if given.memory:
            for count in (given.kits // 4, given.kits):
                size = largest(made[:count], Path(place, f"memory-{count}"), given.jobs)
                print(f"memory         {size:8.0f} MB for {count} kits")
        state = json.loads((site / STATE).read_text("utf-8"))["kits"]
        records = [{**kit["record"], "slug": kit["slug"], "affected": []} for kit in state.values()]
        drawn = [
            {**records[i % len(records)], "title": f"Car {i}", "slug": f"k{i}"} for i in range(given.search)
        ]
        print(f"{len(drawn)} kits on the first page's own search:")
        searching(drawn, Path(place, "page"))


if __name__ == "__main__":
    main()
