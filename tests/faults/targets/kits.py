"""Kits as people write them, and worse."""

from __future__ import annotations

import random
from pathlib import Path

from PIL import Image

from tests.faults.budget import cpu_seconds
from tests.faults.registry import answered, mutated, text

TRIES = 12
_KIT = """schema = 1
[kit]
title     = "Car 7"
date      = 2026-11-30
scale     = "1:35"
light     = "D65"
tolerance = 3.0
cover     = "slide"
files     = [{ file = "slide.png", what = "a slide" }]
[[part]]
id     = "waist"
finish = "gloss"
area_cm2 = 41.0
after  = ["roof"]
  [[part.hint]]
  words = "brownish red"
  trust = 0.6
  [[part.than]]
  lighter = "roof"
[[part]]
id      = "roof"
same_as = "hood"
[[part]]
id     = "hood"
colour = { hex = "#5b2c2f" }
why    = "paint book"
[[reference]]
id    = "slide"
file  = "slide.png"
light = 3200
year  = 1958
  [[reference.anchor]]
  rect   = [1, 1, 5, 5]
  colour = { munsell = "N 9/" }
  [[reference.sample]]
  part = "waist"
  polygon = [[8, 8], [14, 8], [14, 14]]
"""


def check(rng: random.Random, folder: Path) -> None:
    """A kit changed in any way is read, or refused with its lines, in a few seconds."""
    Image.new("RGB", (16, 16), (90, 80, 70)).save(folder / "slide.png")
    data = _KIT.encode()
    if rng.random() < 0.5:
        data = mutated(data, rng)
    else:  # a value, a key or a line that somebody typed
        lines = _KIT.splitlines()
        for _ in range(rng.randint(1, 3)):
            at = rng.randrange(len(lines))
            key, equals, value = lines[at].partition("=")
            lines[at] = rng.choice(
                (f"{key}{equals} {text(rng)}", f"{text(rng, 4)}{key}={value}", text(rng), value)
            )
        data = "\\n".join(lines).encode("utf-8", "replace")
    (folder / "kit.toml").write_bytes(data)
    with cpu_seconds(10):
        answered(["references", folder, "--json"])
