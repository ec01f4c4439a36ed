"""The scheme as something to paint from: the content as plain data, then PDF and HTML from templates."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.kit.model import Kit


def build(
    kit: Kit, out: Path, paper: str = "a4", progress: Callable[[int, int], None] | None = None
) -> list[Path]:
    """Write guide.pdf, guide.html and scheme.json into the folder `out`, making it where it is missing.

    `paper` is 'a4' or 'letter'. All three are made before the first is written, and each replaces its
    predecessor whole. `progress` is told how many references of how many have been read. Returns their paths.

    Raises:
        InputError: with every problem of the kit, or because `out` cannot be written.
    """
    from palette.guide.writing import write

    return write(kit, out, paper, progress)
