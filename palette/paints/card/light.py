"""How the light falls on a sheet, seen by its bare paper, so that it can be divided out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.paints.card import layout
from palette.paints.card.sheet import Sheet

_DEGREE = 3  # of the polynomial in log light; lamps and lenses fall off smoothly
_LEAST_SPOTS = 40
_NEAR = 4  # spots that judge the light round a box
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


@dataclass(frozen=True)
class Light:
    """Log light by place and channel, as seen on paper.

    `paper` (3,) is linear light of the paper as the middle of its log; `shape(points)` (n, 3) how far the log
    of the light lies off that; `spots` (n, 2) and `off` (n,) where paper was seen and what the smooth shape
    misses there, as log light; `burnt` (m, 2) where it was burnt out; `noise` the sd of what is missed;
    `range` the most light over the least.
    """

    paper: Array
    coefficients: Array
    spots: Array
    off: Array
    burnt: Array
    noise: float
    range: float

    def shape(self, points: Array) -> Array:
        return np.asarray(_terms(points) @ self.coefficients)

    def miss(self, point: tuple[float, float]) -> float:
        """How far the light round a place lies off the smooth shape: the median of the nearest spots."""
        near = np.argsort(np.linalg.norm(self.spots - point, axis=1))[:_NEAR]
        return float(np.median(np.abs(self.off[near])))

    def lost(self, point: tuple[float, float], spots: int = _NEAR) -> bool:
        """Whether most of the nearest paper round a place is burnt out, so that its light is not known."""
        far = np.linalg.norm(np.concatenate([self.spots, self.burnt]) - point, axis=1)
        return float(np.mean(np.argsort(far)[:spots] >= len(self.spots))) >= 0.5


def _terms(points: Array) -> Array:
    x, y = (np.asarray(points) / [layout.WIDTH, layout.HEIGHT] * 2 - 1).T
    powers = [(i, j) for i in range(_DEGREE + 1) for j in range(_DEGREE + 1 - i)][1:]
    return np.stack([x**i * y**j for i, j in powers], axis=-1)


def light_on(sheet: Sheet) -> Light:
    """Fit the light to the bare paper; spots with a stain or a stray brush stroke count for little. A channel
    that is burnt out falls off as the one that is burnt out least; where that is too, no more is known of the
    light than that it was as strong as can be told.

    Raises:
        InputError: too much of the paper is burnt out, too dark, or hidden.
    """
    centres, levels, lost = [], [], []
    for spot in layout.paper_spots():
        pixels, clipped = sheet.cut(spot)
        level = np.median(pixels.reshape(-1, 3), axis=0)
        if np.isfinite(level).all() and level.min() > 0.005:
            centres.append(spot.centre)
            levels.append(np.log(level))
            lost.append((clipped.reshape(-1, 3).mean(axis=0) > 0.3) & (level > 0.5))
    spots, log, burnt = (np.array(each) for each in (centres, levels, lost))
    if len(spots) >= _LEAST_SPOTS:
        first = int(burnt.mean(axis=0).argmin())
        both = ~burnt & ~burnt[:, [first]]
        if both.sum(axis=0).min() < _LEAST_SPOTS / 2:
            remedy = "expose it darker, so that the paper is light grey in the picture"
            raise InputError(Problem(str(sheet.file), None, "is overexposed: the paper is burnt out", remedy))
        for channel in range(3):
            known, gone = both[:, channel], burnt[:, channel] & ~burnt[:, first]
            gain = np.median(log[known, channel] - log[known, first])
            log[gone, channel] = np.maximum(log[gone, first] + gain, log[gone, channel])
        order = np.argsort(burnt[:, first], kind="stable")  # those of which nothing is known come last
        spots, log, seen = spots[order], log[order], int((~burnt[:, first]).sum())
    if len(spots) < _LEAST_SPOTS:
        what = "is too dark, or the paper round the boxes is hidden"
        raise InputError(Problem(str(sheet.file), None, what, "photograph the bare card in better light"))
    least = log[seen:].copy()
    terms = np.column_stack([np.ones(len(spots)), _terms(spots)])
    weight = np.ones(len(spots))
    for _ in range(20):  # Tukey's biweight
        root = np.sqrt(weight)[:, None]
        fitted = np.linalg.lstsq(terms * root, log * root, rcond=None)[0]
        log[seen:] = np.maximum(terms[seen:] @ fitted, least)
        off = np.abs(log - terms @ fitted).max(axis=1)
        spread = max(4.685 * 1.4826 * float(np.median(off[:seen])), 0.02)
        weight = np.where(off < spread, (1 - (off / spread) ** 2) ** 2, 1e-6)
    missed = ((log - terms @ fitted) @ LUMINANCE)[:seen]
    noise = float(np.sqrt(np.average(missed**2, weights=weight[:seen])))
    grid = np.stack(np.meshgrid(np.linspace(0, layout.WIDTH, 20), np.linspace(0, 232, 20)), axis=-1)
    shape = (_terms(grid.reshape(-1, 2)) @ fitted[1:]) @ LUMINANCE
    fall = float(np.exp(shape.max() - shape.min()))
    return Light(np.exp(fitted[0]), fitted[1:], spots[:seen], missed, spots[seen:], noise, fall)
