"""Swatch lists: CSV as spreadsheets write it, CGATS as instruments do."""

from __future__ import annotations

import json
import random
from pathlib import Path

from tests.faults.budget import cpu_seconds
from tests.faults.registry import answered, mutated, text

TRIES = 8
_CSV = """# illuminant: D50
id,name,range,finish,medium,owned,price,lab_l,lab_a,lab_b,hex,tint_l,tint_a,tint_b,tint_share,tint_white
W,White,Bench,matt,water,yes,3.10,96,0,2,,,,,,
B-01,"Red, deep",Bench,gloss,enamel,x,"2,5",30.1,40.5,20.2,,55,40,10,0.1,W
B-02,Blue,,flat,,no,,40,0,-30,#204080,,,,,
"""
_CGATS = """CGATS.17
ORIGINATOR "bench"
ILLUMINATION_NAME "D50"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 "Red one" 40.1 50.2 20.3
2 "Grey" 60 0 1
END_DATA
"""


def check(rng: random.Random, folder: Path) -> None:
    """A list in either form, changed in any way, is read, or refused with its lines."""
    data = rng.choice((_CSV, _CGATS)).encode()
    if rng.random() < 0.6:
        data = mutated(data, rng)
    else:
        cells = data.decode().split(",")
        for _ in range(rng.randint(1, 4)):
            cells[rng.randrange(len(cells))] = text(rng)
        delimiter = rng.choice((",", ";", "\t"))
        data = delimiter.join(cells).encode("utf-8", "replace")
    path = folder / "list.csv"
    path.write_bytes(data)
    with cpu_seconds(10):
        checked = answered(["swatches", "check", path, "--json"])
        matched = answered(["match", "--lab", "50", "10", "10", "--swatches", path, "--json"])
    if matched.exit_code == 0:
        for paint in json.loads(matched.stdout)["matches"][0]["paints"]:
            assert -1 <= paint["lab"][0] <= 101 and paint["difference"] >= 0, paint
        assert checked.exit_code == 0
