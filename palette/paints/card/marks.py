"""The printed marks: the 5 × 5 dictionary of 250 ArUco marks, as OpenCV numbers them (DICT_5X5_250).

Bundled, so that a card can be printed without OpenCV; a test holds the table to OpenCV's own. Source:
Garrido-Jurado et al., "Automatic generation and detection of highly reliable fiducial markers under
occlusion", Pattern Recognition 47 (2014) 2280-2292.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from palette.paints.card.layout import MARKS

SIDE = 5
MODULES = SIDE + 2  # with the black border


@cache
def _table() -> tuple[str, ...]:
    return tuple(files("palette.paints.card").joinpath("marks.txt").read_text("ascii").split())


def modules(number: int) -> NDArray[np.bool_]:
    """The modules (7, 7) of a mark, border included; True is white."""
    bits = np.array([bit == "1" for bit in f"{int(_table()[number], 16):025b}"])
    return np.pad(bits.reshape(SIDE, SIDE), 1)


def number(sheet: int, position: int) -> int:
    """The mark at a position of `layout.MARKS` on a sheet."""
    return sheet * len(MARKS) + position


def place(number: int) -> tuple[int, int]:
    """The sheet and the position of a mark."""
    return divmod(number, len(MARKS))
