"""Where the label of something marked stands in a picture: pure geometry, in whatever unit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple, TypeAlias

import numpy as np

from palette.colour.spaces import Array

Box: TypeAlias = tuple[float, float, float, float]  # x0, y0, x1, y1


class Weights(NamedTuple):
    """What an area hidden by a label costs."""

    outside: float  # of the label, beyond the picture's edge
    label: float  # of another label
    mark: float  # of what is marked


def overlap(one: Box, other: Box) -> float:
    """The area that two boxes have in common."""
    width, height = (min(one[i + 2], other[i + 2]) - max(one[i], other[i]) for i in (0, 1))
    return max(0.0, width) * max(0.0, height)


def least_hidden(
    candidates: Iterable[Box],
    size: tuple[float, float],
    taken: Sequence[Box],
    marks: Sequence[Box],
    weights: Weights,
    besides: Callable[[Array], Array | float] = lambda boxes: 0.0,
) -> Box:
    """The candidate that hides least in a picture of that size, of labels that are `taken` and of what is
    marked; the first of equals. `besides` is what else boxes (n, 4) cost."""

    boxes = np.array(list(candidates), dtype=np.float64)
    area = (boxes[:, 2] - boxes[:, 0]) * (boxes[:, 3] - boxes[:, 1])
    cost = weights.outside * (area - _hidden(boxes, [(0.0, 0.0, *size)]))
    cost += weights.label * _hidden(boxes, taken) + weights.mark * _hidden(boxes, marks)
    x0, y0, x1, y1 = boxes[int(np.argmin(cost + besides(boxes)))].tolist()
    return x0, y0, x1, y1


def _hidden(boxes: Array, others: Sequence[Box]) -> Array:
    """The area that each of some boxes (n, 4) hides of others, those one by one."""
    if not len(others):
        return np.zeros(len(boxes))
    beneath = np.array(others, dtype=np.float64)
    common = np.minimum(boxes[:, None, 2:], beneath[:, 2:]) - np.maximum(boxes[:, None, :2], beneath[:, :2])
    return np.asarray(np.prod(np.maximum(common, 0.0), axis=2).sum(axis=1))
