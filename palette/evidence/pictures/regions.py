"""Regions of a picture as pixels: those whose centres lie in the region, as given, not shrunk.

Pixel (column i, row j) covers [i, i + 1) × [j, j + 1) and has its centre at (i + 0.5, j + 0.5),
counted from the top left of the picture after its orientation tag is applied.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from palette.kit.model import Polygon, Rect, Region, Spot

Box: TypeAlias = tuple[int, int, int, int]  # x0, y0, x1, y1; half open
Mask: TypeAlias = NDArray[np.bool_]


def _first_centre(edge: float) -> int:
    """The first pixel whose centre is at or beyond `edge`."""
    return math.ceil(edge - 0.5)


def _clip(x0: float, y0: float, x1: float, y1: float, width: int, height: int) -> Box:
    """The pixels with centres in [x0, x1) × [y0, y1) that the picture has; an empty box is (x, y, x, y)."""
    left, right = (min(max(_first_centre(edge), 0), width) for edge in (x0, x1))
    top, bottom = (min(max(_first_centre(edge), 0), height) for edge in (y0, y1))
    return left, top, max(right, left), max(bottom, top)


def pixels(region: Region, width: int, height: int) -> tuple[Box, Mask]:
    """The pixels of a region that a picture of `width` × `height` pixels has.

    Returns:
        The bounding box (x0, y0, x1, y1) in pixels, half open and inside the picture, and a mask of
        its shape (y1 - y0, x1 - x0). A region that holds no pixel's centre gives a mask without a True.
    """
    if isinstance(region, Rect):
        box = _clip(region.x, region.y, region.x + region.width, region.y + region.height, width, height)
        return box, np.ones((box[3] - box[1], box[2] - box[0]), dtype=bool)
    if isinstance(region, Spot):
        r = max(region.radius, 0.0)
        # One pixel wider than the circle: its own rim counts as inside.
        box = _clip(region.x - r, region.y - r, region.x + r + 1, region.y + r + 1, width, height)
        x, y = _centres(box)
        return box, (x - region.x) ** 2 + (y - region.y) ** 2 <= r * r
    xs = [point[0] for point in region.points] or [0.0]
    ys = [point[1] for point in region.points] or [0.0]
    box = _clip(min(xs), min(ys), max(xs), max(ys), width, height)
    return box, _inside(region, box)


def _centres(box: Box) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """x (1, w) and y (h, 1) of the centres of a box's pixels."""
    x, y = (np.arange(start, stop, dtype=np.float64) + 0.5 for start, stop in (box[0::2], box[1::2]))
    return x[None, :], y[:, None]


def _inside(polygon: Polygon, box: Box) -> Mask:
    """Even-odd: a centre is inside when a ray to its left crosses the outline an odd number of times.

    Each edge is half open in y, so that a corner counts once; centres on a left edge are in, on a
    right edge out, like a rectangle's.
    """
    x, y = _centres(box)
    inside = np.zeros((box[3] - box[1], box[2] - box[0]), dtype=bool)
    points = polygon.points
    for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1], strict=True):
        if ay == by:
            continue
        rows = ((ay <= y) != (by <= y))[:, 0]
        crossing = ax + (y[rows] - ay) * (bx - ax) / (by - ay)
        inside[rows] ^= crossing <= x
    return inside


def holds(region: Region, width: int, height: int) -> bool:
    """Whether the whole region lies inside a picture of that size (a part outside is cut off by `pixels`)."""
    if isinstance(region, Rect):
        x0, y0, x1, y1 = region.x, region.y, region.x + region.width, region.y + region.height
    elif isinstance(region, Spot):
        x0, y0 = region.x - region.radius, region.y - region.radius
        x1, y1 = region.x + region.radius, region.y + region.radius
    else:
        x0, y0 = (min(point[axis] for point in region.points) for axis in (0, 1))
        x1, y1 = (max(point[axis] for point in region.points) for axis in (0, 1))
    return x0 >= 0 and y0 >= 0 and x1 <= width and y1 <= height
