"""Where the label of something marked stands in a picture: pure geometry, in whatever unit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple, TypeAlias

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
    besides: Callable[[Box], float] = lambda box: 0.0,
) -> Box:
    """The candidate that hides least in a picture of that size, of labels that are `taken` and of what is
    marked; the first of equals. `besides` is what else a box costs."""

    def cost(box: Box) -> float:
        area = (box[2] - box[0]) * (box[3] - box[1])
        return (
            weights.outside * (area - overlap(box, (0.0, 0.0, *size)))
            + weights.label * sum(overlap(box, other) for other in taken)
            + weights.mark * sum(overlap(box, other) for other in marks)
            + besides(box)
        )

    return min(candidates, key=cost)
