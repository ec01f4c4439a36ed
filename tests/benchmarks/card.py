"""How well paints are measured from a photographed card.

    python -m tests.benchmarks.card [--photos 12]

Every photograph shows twelve published surfaces as paints and twelve paler ones as let-downs, taken with the
held-back cameras, lights and handling of tests/benchmarks/photo (nothing of palette was tuned to them), at an
angle, with the light falling off, noise, blur and JPEG drawn at random; some boxes have sheen or gaps. Two
tables: any light and a picture developed straight, and warm light with any handling (half of them left
unbalanced). Printed are the median and the 95th percentile of CIEDE2000 between the reading and the truth,
the share of readings within the `spread` that was stated, its median, and how many photographs and boxes were
left out; beside them what dividing by the grey card, or by the paper, gives from the same boxes.
"""

from __future__ import annotations

import argparse
import re
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab
from palette.errors import InputError
from palette.paints.card import layout
from palette.paints.card.anchors import known
from palette.paints.card.box import read_box
from palette.paints.card.light import light_on
from palette.paints.card.reading import read_cards
from palette.paints.card.sheet import find
from tests.benchmarks.photo import pictures
from tests.paints.card.photographs import Scene, photograph, some_paints

CASES = {
    "24-patch chart": ("chart", {"chart": "before-2014"}),
    "grey card": ("grey", {"grey": 49.5}),
    "paper only": ("nothing", {}),
}
LIGHTS = {"any light, developed straight": (False, True), "warm light, any handling": (True, None)}


@dataclass
class Row:
    off: list[float] = field(default_factory=list)
    spread: list[float] = field(default_factory=list)
    simple: list[float] = field(default_factory=list)
    photos: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    left_out: Counter[str] = field(default_factory=Counter)


def scene(rng: np.random.Generator, frame: str) -> Scene:
    paints = some_paints(layout.PER_SHEET, rng)
    keys = list(paints)
    odd = [keys[i] for i in rng.choice(len(keys), 4, replace=False)]
    straight = np.array([(0.06, 0.05), (0.94, 0.05), (0.94, 0.95), (0.06, 0.95)])
    corners = straight + rng.uniform(-1, 1, (4, 2)) * 0.05
    return Scene(
        paints,
        frame=frame,
        corners=[tuple(corner) for corner in corners],
        turn=int(rng.integers(4)),
        vignette=float(rng.uniform(0, 0.5)),
        glare={odd[0]: float(rng.uniform(0.1, 1.0)), odd[1]: float(rng.uniform(0.1, 1.0))},
        gaps={odd[2]: float(rng.uniform(0.05, 0.6)), odd[3]: float(rng.uniform(0.05, 0.6))},
        blur=float(rng.uniform(0.4, 1.4)),
        noise=float(rng.uniform(0.002, 0.015)),
        quality=int(rng.integers(70, 97)),
        seed=int(rng.integers(1 << 30)),
    )


def simple(path: Path, frame: str, options: dict[str, object]) -> dict[tuple[int, str], np.ndarray]:
    """What a careful user gets by dividing, channel by channel: boxes over the grey card, or the paper."""
    sheet = find(path)
    light = light_on(sheet)
    anchors = known(sheet, light, **{"grey": None, "chart": None, **options}).anchors  # type: ignore[arg-type]
    if frame == "chart":
        greys = [a for a in anchors if a.lab is not None and np.hypot(*a.lab[1:]) < 6 and 30 < a.lab[0] < 85]
    else:
        greys = [anchors[0]]
    gain = np.mean([lab_to_linear(a.lab) / a.linear for a in greys], axis=0)
    read = {}
    for pair in layout.pairs(0):
        for which, rect in (("straight", pair.straight), ("in white", pair.tint)):
            read[pair.number, which] = linear_to_lab(read_box(sheet, light, rect).linear * gain)
    return read


def run(photos: int, warm: bool, plain: bool | None, seed: int = 11) -> dict[str, Row]:
    """The rows of the table, each of so many photographs."""
    rows = {}
    for name, (frame, options) in CASES.items():
        rng = np.random.default_rng(seed)
        row = rows[name] = Row()
        for _ in range(photos):
            drawn = scene(rng, frame)
            made = pictures.make(pictures.HELD, rng, warm=warm, plain=plain)
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "card.jpg"
                path.write_bytes(photograph(drawn, made.render))
                row.photos += 1
                try:
                    reading = read_cards([path], **options)  # type: ignore[arg-type]
                except InputError as error:
                    row.refused[error.problems[0].what] += 1
                    continue
                rough = simple(path, frame, options)
            for gone in reading.left_out:
                row.left_out[re.sub(r"\d+", "N", gone.reason)] += 1
            for paint in reading.paints:
                for which, colour in (("straight", paint.straight), ("in white", paint.tint)):
                    if colour is not None:
                        key = paint.named.box, which
                        truth = pictures.lab_of(drawn.paints[key][None])[0]
                        row.off.append(float(difference(colour.lab, truth)))
                        row.spread.append(colour.spread)
                        row.simple.append(float(difference(rough[key], truth)))
    return rows


def report(rows: dict[str, Row]) -> None:
    print(
        "in the frame     median    95 %   within spread   spread   simple: median    95 %   photos   boxes"
    )
    for name, row in rows.items():
        off, spread, rough = np.array(row.off), np.array(row.spread), np.array(row.simple)
        if not len(off):
            print(f"{name:15s}  nothing read")
            continue
        read = row.photos - sum(row.refused.values())
        print(
            f"{name:15s}  {np.median(off):6.2f}  {np.quantile(off, 0.95):6.2f}"
            f"   {np.mean(off <= spread):13.2f}   {np.median(spread):6.2f}"
            f"   {np.median(rough):14.2f}  {np.quantile(rough, 0.95):6.2f}"
            f"   {read:2d} of {row.photos:2d}   {len(off):5d}"
        )
    for name, row in rows.items():
        for what, count in (row.refused + row.left_out).most_common():
            print(f"{name}: left out {count} times: {what}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--photos", type=int, default=12, help="of each kind")
    count = parser.parse_args().photos
    for title, (warm, plain) in LIGHTS.items():
        print(title)
        report(run(count, warm, plain))
