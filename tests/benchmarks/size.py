"""What commands cost as lists and kits grow: processor seconds and memory, from start to answer.

    python -m tests.benchmarks.size [--lists 100 1000 10000 100000] [--parts 10 50 200] [--strong 10]

Each line is one command in a process of its own, with nothing kept from before. Ratios are to the first
line of the same command: how much more there is to do, and how much longer it takes. Lists are of invented
paints; parts are decided colours, drawn by a seed; `strong` are colours that no paint of the demo's own lists
comes near, so that each is searched for by threes. Memory counts from what this program itself had.
"""

from __future__ import annotations

import argparse
import colorsys
import os
import sys
import tempfile
from pathlib import Path

import numpy as np

from palette.colour.spaces import lab_to_hex
from swatches_demo import lay_out
from tests.benchmarks.recipes import paint_list

_INVENTED = 5000  # whose physics is worked out


def write_list(path: Path, count: int) -> None:
    """Invented paints; from 5,000 on those that are there, moved a little."""
    rng = np.random.default_rng(1)
    invented = paint_list(min(count, _INVENTED)).lab
    moved = np.resize(invented, (count, 3)) + rng.normal(0, 2, (count, 3))
    moved[: len(invented)] = invented
    moved[:, 0] = moved[:, 0].clip(0, 100)
    rows = [f"p{i},paint p{i},{','.join(f'{v:.3f}' for v in lab)}" for i, lab in enumerate(moved)]
    path.write_text("\n".join(["id,name,lab_l,lab_a,lab_b", *rows]))


def write_kit(folder: Path, colours: list[str], lists: list[str]) -> Path:
    folder.mkdir()
    parts = [
        f'[[part]]\nid = "p{i}"\ncolour = {{ hex = "{c}" }}\nwhy = "so"\n' for i, c in enumerate(colours)
    ]
    head = f'schema = 1\n[kit]\ntitle = "kit"\nswatches = {lists}\n'.replace("'", '"')
    (folder / "kit.toml").write_text(head + "".join(parts))
    return folder


def strong(count: int) -> list[str]:
    """Colours at the edge of sRGB, around the hues."""
    made = [colorsys.hls_to_rgb(i / count, 0.5, 1.0) for i in range(count)]
    return ["#" + "".join(f"{round(255 * v):02x}" for v in one) for one in made]


def cost(words: list[str]) -> tuple[float, float]:
    """Processor seconds, children's included, and megabytes of the largest process of a command."""
    child = os.fork()
    if child == 0:
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.dup2(null, 2)
        os.environ["PALETTE_CACHE"] = ""
        os.execv(sys.executable, [sys.executable, "-m", "palette", *words])
    _, status, used = os.wait4(child, 0)
    if status:
        raise SystemExit(f"palette {' '.join(words)} failed")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def table(name: str, sizes: list[int], commands: list[list[str]]) -> None:
    first = None
    for size, words in zip(sizes, commands, strict=True):
        seconds, memory = cost(words)
        first = first or (size, seconds)
        ratio = f"{size / first[0]:6.0f} × the size, {seconds / first[1]:5.1f} × the time"
        print(f"{name:28} {size:7,} {seconds:8.1f} s {memory:6.0f} MB {ratio}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lists", type=int, nargs="*", default=[100, 1000, 10_000, 100_000])
    parser.add_argument("--parts", type=int, nargs="*", default=[10, 50, 200])
    parser.add_argument("--strong", type=int, nargs="*", default=[1, 10])
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        lists = [folder / f"list-{n}.csv" for n in given.lists]
        for n, path in zip(given.lists, lists, strict=True):
            write_list(path, n)
        mixed = ["mix", "--hex", "#5b2c2f", "--all", "--json", "--swatches"]
        table("mix --all, paints", given.lists, [[*mixed, str(path)] for path in lists])
        rng = np.random.default_rng(2)
        drawn = [lab_to_hex(lab) for lab in paint_list(400, 9).lab[rng.permutation(400)]]
        ten = [
            write_kit(folder / f"ten-{n}", drawn[:10], [f"../{p.name}"])
            for n, p in zip(given.lists, lists, strict=True)
        ]
        table("scheme of ten parts, paints", given.lists, [["scheme", str(kit), "--json"] for kit in ten])
        table("basket of ten parts, paints", given.lists, [["basket", str(kit), "--json"] for kit in ten])
        out = ["--out", str(folder / "out"), "--json"]
        table("guide of ten parts, paints", given.lists, [["guide", str(kit), *out] for kit in ten])
        tram = lay_out(folder / "tram").parent
        own = [f"../tram/swatches/{path.name}" for path in sorted((tram / "swatches").glob("*.csv"))]
        many = [write_kit(folder / f"parts-{n}", drawn[:n], own) for n in given.parts]
        table("scheme, parts", given.parts, [["scheme", str(kit), "--json"] for kit in many])
        table("guide, parts", given.parts, [["guide", str(kit), *out] for kit in many])
        edge = [write_kit(folder / f"strong-{n}", strong(n), own) for n in given.strong]
        table("scheme, strong colours", given.strong, [["scheme", str(kit), "--json"] for kit in edge])
        table("guide, strong colours", given.strong, [["guide", str(kit), *out] for kit in edge])


if __name__ == "__main__":
    main()
