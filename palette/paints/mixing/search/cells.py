"""How the recipes of three paints are cut into cells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array
from palette.paints.mixing.search.best import Floats, Ints


@dataclass(frozen=True, eq=False)
class Cell:
    """All that can be mixed from three or four mixtures."""

    corners: list[int]  # rows of the mesh's nodes
    drops: Ints  # (d, 3), its recipes; no recipe is in two cells
    weights: Floats  # (d, corners), the shares of the corners in each


@dataclass(frozen=True, eq=False)
class Mesh:
    """Some of the recipes of three paints, all of which can be mixed from a few mixtures."""

    outer: Floats  # (corners, 3) shares of the paints in those mixtures
    inner: Floats  # (3, 3) more between them
    cells: tuple[Cell, ...]  # what the nodes, the outer and then the inner ones, cut the whole into

    @property
    def nodes(self) -> Floats:
        return np.concatenate([self.outer, self.inner])


def corner(drops: Ints) -> Mesh | None:
    """Of all recipes (m, 3), those of over half of the first paint, a triangle; None where there is none."""
    shares = drops / drops.sum(axis=1, keepdims=True)
    ours = shares[:, 0] > 0.5
    if not ours.any():
        return None
    one = shares.min()
    # a hair less than any of them has, so that no triangle is a point
    least = shares[ours, 0].min() - 1e-3
    outer = np.array([(least, 1 - least - one, one), (least, one, 1 - least - one), (1 - 2 * one, one, one)])
    inner = (outer[[0, 0, 1]] + outer[[1, 2, 2]]) / 2
    return _cut(drops[ours], outer, inner, [[0, 3, 4], [1, 3, 5], [2, 4, 5], [3, 4, 5]])


def middle(drops: Ints) -> Mesh:
    """Of all recipes (m, 3), those of at most half of any paint: a triangle with its corners cut off."""
    shares = drops / drops.sum(axis=1, keepdims=True)
    one = min(shares.min(), 0.25)
    rest = 0.5 - one
    outer = np.array(
        [
            (0.5, rest, one),
            (rest, 0.5, one),
            (one, 0.5, rest),
            (one, rest, 0.5),
            (rest, one, 0.5),
            (0.5, one, rest),
        ]
    )
    inner = (outer[[5, 1, 3]] + outer[[0, 2, 4]]) / 2  # in the middle of the long sides
    cells = [[0, 1, 7, 6], [2, 3, 8, 7], [4, 5, 6, 8], [6, 7, 8]]
    return _cut(drops[(shares <= 0.5).all(axis=1)], outer, inner, cells)


def _cut(drops: Ints, outer: Array, inner: Array, cells: Sequence[list[int]]) -> Mesh:
    """Give each recipe to one cell; those with four corners count as two triangles."""
    nodes = np.concatenate([outer, inner])
    shares = drops / drops.sum(axis=1, keepdims=True)
    free = np.ones(len(drops), dtype=bool)
    made = []
    for corners in cells:
        weights = np.zeros((len(drops), len(corners)))
        taken = np.zeros(len(drops), dtype=bool)
        for last in range(2, len(corners)):
            three = [0, last - 1, last]
            triangle = nodes[[corners[i] for i in three]]
            if np.linalg.cond(triangle) > 1e6:  # of no area
                continue
            parts = np.linalg.solve(triangle.T, shares.T).T
            inside = free & (parts > -1e-9).all(axis=1)
            for at, part in zip(three, parts.T, strict=True):
                weights[inside, at] = np.maximum(part[inside], 0)
            taken |= inside
            free &= ~inside
        if taken.any():
            made.append(Cell(corners, drops[taken], weights[taken].astype(np.float32)))
    return Mesh(outer.astype(np.float32), inner.astype(np.float32), tuple(made))
