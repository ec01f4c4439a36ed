"""What a target that finds something looks like; the tests of the long run use it."""

from __future__ import annotations

import random
from pathlib import Path

TRIES = 1


def check(rng: random.Random, folder: Path) -> None:
    """Never holds."""
    raise AssertionError("six and seven")
