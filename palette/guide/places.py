"""Where on a small picture each sampled place is drawn, and where its label goes: pure geometry.

Everything comes out in fractions of the picture's width and height, so that the printed page and the
screen draw the same figure at any size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.evidence.pictures.labels import Box, Weights, least_hidden
from palette.kit.model import Polygon, Rect, Region, Spot

WIDTH, HEIGHT = 78.0, 74.0  # mm: the figure is as large as fits into this
TAG = 4.1  # mm, the height of a label
LETTER = 1.55  # mm, the width of a letter in a label
_HIDING = Weights(outside=60, label=30, mark=4)

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Outline:
    """A region to draw, in pixels, and its label; an anchor is drawn dashed."""

    label: str
    region: Region
    anchor: bool = False


@dataclass(frozen=True)
class Place:
    """A region as drawn, and its label's box (x, y, width, height). `leader` runs from the box to the region
    where they stand apart, as (x, y, x, y)."""

    label: str
    anchor: bool
    points: Points
    box: tuple[float, float, float, float]
    leader: tuple[float, float, float, float] | None


def figure_size(width: int, height: int) -> tuple[float, float]:
    """Width and height of the figure in mm."""
    scale = min(WIDTH / width, HEIGHT / height)
    return max(width * scale, 1.0), max(height * scale, 1.0)


def places(outlines: Sequence[Outline], width: int, height: int) -> tuple[Place, ...]:
    """Regions of a picture of `width` × `height` pixels with labels that keep clear of each other, of the
    regions and of the picture's edge as far as there is room."""
    across, down = figure_size(width, height)
    shapes = [points(outline.region, width, height) for outline in outlines]
    frames = [
        (
            min(x for x, _ in shape) * across,
            min(y for _, y in shape) * down,
            max(x for x, _ in shape) * across,
            max(y for _, y in shape) * down,
        )
        for shape in shapes
    ]
    taken: list[Box] = []
    placed = []
    for outline, shape, frame in zip(outlines, shapes, frames, strict=True):
        size = (2.0 + LETTER * len(outline.label), TAG)
        middle = _middle(frame)
        box = least_hidden(
            _candidates(frame, size),
            (across, down),
            taken,
            frames,
            _HIDING,
            lambda boxes, middle=middle: np.hypot(*((boxes[:, :2] + boxes[:, 2:]) / 2 - middle).T),  # type: ignore[misc]
        )
        taken.append(box)
        placed.append(
            Place(
                outline.label,
                outline.anchor,
                shape,
                (box[0] / across, box[1] / down, size[0] / across, size[1] / down),
                _leader(box, frame, across, down),
            )
        )
    return tuple(placed)


def points(region: Region, width: int, height: int) -> Points:
    """The corners of a region, as fractions of a picture of `width` × `height` pixels."""
    if isinstance(region, Rect):
        x0, y0, x1, y1 = region.x, region.y, region.x + region.width, region.y + region.height
        corners: Sequence[tuple[float, float]] = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    elif isinstance(region, Spot):
        turns = [2 * math.pi * i / 24 for i in range(24)]
        corners = [
            (region.x + region.radius * math.cos(t), region.y + region.radius * math.sin(t)) for t in turns
        ]
    else:
        assert isinstance(region, Polygon)
        corners = region.points
    return tuple((min(max(x / width, 0.0), 1.0), min(max(y / height, 0.0), 1.0)) for x, y in corners)


def _candidates(frame: Box, size: tuple[float, float]) -> list[Box]:
    """Boxes about a region: above, below, beside, then further out; in mm."""
    x0, y0, x1, y1 = frame
    w, h = size
    corners = []
    for gap in (0.6, 3.0, 6.5, 11.0, 17.0):
        for x in (x0, (x0 + x1 - w) / 2, x1 - w):
            corners += [(x, y0 - gap - h), (x, y1 + gap)]
        for y in (y0, (y0 + y1 - h) / 2, y1 - h):
            corners += [(x1 + gap, y), (x0 - gap - w, y)]
        corners += [
            (x1 + gap, y0 - gap - h),
            (x0 - gap - w, y0 - gap - h),
            (x1 + gap, y1 + gap),
            (x0 - gap - w, y1 + gap),
        ]
    corners.append(((x0 + x1 - w) / 2, (y0 + y1 - h) / 2))
    return [(x, y, x + w, y + h) for x, y in corners]


def _middle(frame: Box) -> tuple[float, float]:
    return (frame[0] + frame[2]) / 2, (frame[1] + frame[3]) / 2


def _leader(box: Box, frame: Box, across: float, down: float) -> tuple[float, float, float, float] | None:
    """From the nearest point of the label to the nearest of the region, where they are over 1 mm apart."""
    x, y = _middle(frame)
    start = (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3]))
    end = (min(max(start[0], frame[0]), frame[2]), min(max(start[1], frame[1]), frame[3]))
    if math.dist(start, end) < 1.0:
        return None
    return start[0] / across, start[1] / down, end[0] / across, end[1] / down
