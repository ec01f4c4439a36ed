"""The levels and tiles that a picture is cut into, from its size alone."""

from __future__ import annotations

from palette.evidence.pictures.regions import Box

TILE = 512  # pixels of a tile's side


def levels(width: int, height: int) -> int:
    """How many levels a picture has."""
    return (max(width, height) - 1).bit_length() + 1


def level_size(width: int, height: int, level: int) -> tuple[int, int]:
    """Width and height of a level."""
    down = levels(width, height) - 1 - level
    more = (1 << down) - 1
    return (width + more) >> down, (height + more) >> down


def tile_box(width: int, height: int, level: int, x: int, y: int) -> Box | None:
    """The pixels of a tile in its level; None where there is none."""
    if not 0 <= level < levels(width, height):
        return None
    wide, high = level_size(width, height, level)
    x0, y0 = x * TILE, y * TILE
    if x < 0 or y < 0 or x0 >= wide or y0 >= high:
        return None
    return x0, y0, min(wide, x0 + TILE), min(high, y0 + TILE)
