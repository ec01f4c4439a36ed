"""Colours as people and programs write them."""

from __future__ import annotations

import random
from pathlib import Path

from tests.faults.registry import answered, text

TRIES = 20
_WHOLE = {
    "hex": ["#7f8a66", "7F8A66", "#abc"],
    "munsell": ["5GY 4/3", "N 9/", "10RP 2.5/12"],
}
_LIST = "id,name,hex\nA,one,#102030\nB,two,#a0b0c0\n"


def check(rng: random.Random, folder: Path) -> None:
    """A colour in any notation, whole or broken, is matched or refused in one line."""
    (folder / "list.csv").write_text(_LIST)
    if rng.random() < 0.3:
        numbers = [
            rng.choice(("0", "-0", "50", "100", "1e308", "nan", "-inf", "1e-320", text(rng, 4)))
            for _ in "Lab"
        ]
        given = ["--lab", *numbers]
    else:
        notation = rng.choice(list(_WHOLE))
        word = list(rng.choice(_WHOLE[notation]))
        for _ in range(rng.randrange(4)):
            word.insert(rng.randrange(len(word) + 1), text(rng, 3))
        given = [f"--{notation}", "".join(word)]
    done = answered(["match", *given, "--swatches", folder / "list.csv", "--json"], (0, 1, 2))
    assert (done.exit_code == 0) == done.stdout.startswith('{"schema": 1')
