"""Where everything stands on a card, in millimetres from the upper left corner of its marks.

The same on every paper: a sheet is centred on the page, and a page printed larger or smaller is read all the
same. A sheet has eight marks, which say which sheet it is, twelve numbered pairs of boxes (straight, let down
in white), each with a black bar at its left that the paint has to hide, and a frame for a grey card or chart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array

WIDTH, HEIGHT = 186.0, 250.0
MARK = 14.0  # side of a mark, and the width of the blank strips between those at the sides
# upper left, upper middle, upper right, right, lower right, lower middle, lower left, left
MARKS = ((0, 0), (86, 0), (172, 0), (172, 118), (172, 236), (86, 236), (0, 236), (0, 118))
COLUMNS, ROWS = 3, 4
PER_SHEET = COLUMNS * ROWS
BOX = (20.0, 22.0)
BAR = 4.0  # width of the black bar in a box
LABEL = 6.0  # height of the line above a pair of boxes
SHEETS = 30  # as many as there are marks for


@dataclass(frozen=True)
class Rect:
    """A rectangle in millimetres."""

    x: float
    y: float
    width: float
    height: float

    @property
    def centre(self) -> tuple[float, float]:
        return self.x + self.width / 2, self.y + self.height / 2

    def inside(self, left: float, top: float, right: float, bottom: float) -> Rect:
        """What is left when so much is taken off at each side."""
        return Rect(self.x + left, self.y + top, self.width - left - right, self.height - top - bottom)


PLACE = Rect(18, 160, 110, 70)  # of the grey card or chart


@dataclass(frozen=True)
class Pair:
    """The two boxes of a paint; `number` runs on from sheet to sheet, from 1."""

    number: int
    straight: Rect
    tint: Rect


def pairs(sheet: int) -> tuple[Pair, ...]:
    """The boxes of a sheet, counted from 0, row by row."""
    boxes = []
    for i in range(PER_SHEET):
        row, column = divmod(i, COLUMNS)
        x, y = 18.0 + 53.0 * column, 18.0 + 33.5 * row + LABEL
        boxes.append(Pair(sheet * PER_SHEET + i + 1, Rect(x, y, *BOX), Rect(x + BOX[0] + 4, y, *BOX)))
    return tuple(boxes)


def sheets(count: int) -> int:
    """How many sheets `count` paints need."""
    return -(-count // PER_SHEET)


def mark_corners(position: int) -> Array:
    """The corners (4, 2) of a mark, clockwise from its upper left."""
    x, y = MARKS[position]
    return np.array([[x, y], [x + MARK, y], [x + MARK, y + MARK], [x, y + MARK]], dtype=np.float64)


def paper_spots() -> tuple[Rect, ...]:
    """Places that are bare paper on every sheet, to see by them how the light falls: down the blank strips
    at both sides, between the pairs of boxes, and between boxes and frame."""
    down_sides = [y for y in np.arange(17.0, 231.0, 6.0) if not 113 <= y <= 135]
    spots = [Rect(x, y, 8, 4) for x in (3.0, WIDTH - 11) for y in down_sides]
    spots += [Rect(x, y, 5, 4) for x in (64.0, 117.0) for y in np.arange(19.0, 150.0, 6.0)]
    return (*spots, *(Rect(x, 153.5, 6, 4) for x in np.arange(20.0, 166.0, 10.0)))


def centres(spots: Sequence[Rect]) -> Array:
    """The centres (n, 2) of rectangles."""
    return np.array([spot.centre for spot in spots])
