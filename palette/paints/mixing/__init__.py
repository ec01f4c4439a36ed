"""Mixing paints: the colour of a mixture, and the mixtures for a colour."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.paints.mixing.colourants import Colourants, colourants, unmixable
from palette.paints.swatches import SwatchList

__all__ = ["Mix", "mixes", "mixture", "unmixable"]


@dataclass(frozen=True)
class Mix:
    """One recipe."""

    drops: tuple[tuple[str, int], ...]  # (swatch id, count), most drops first; in lowest terms
    lab: Array  # (3,), the predicted colour
    difference: float  # CIEDE2000 from the colour asked for
    expected_error: float  # CIEDE2000 by which the real mixture may be expected to miss the prediction
    one_drop_off: float  # CIEDE2000 by which the colour moves if one drop too many or too few goes in


def mixture(drops: Mapping[str, int], swatches: SwatchList) -> Array:
    """The predicted CIELAB (3,) of a mixture in drops by swatch id.

    Raises:
        InputError: an unknown id, no drops, or a count below one.
    """
    paints = colourants(swatches)
    if not drops:
        raise InputError(
            Problem(None, None, "a mixture of no drops", "name at least one paint and its drops")
        )
    problems = [
        Problem(None, None, f"no paint has the id {id!r}", "use an id of the list")
        for id in drops
        if id not in swatches.ids
    ] + [
        Problem(None, None, f"{n} drops of {id!r}", "use a whole number of drops, one at least")
        for id, n in drops.items()
        if not (int(n) == n and n >= 1)
    ]
    if problems:
        raise InputError.of(problems)
    which = np.array([[paints.ids.index(id) for id in drops]])
    shares = np.array([[float(n) for n in drops.values()]])
    return np.asarray(paints.predict(shares / shares.sum(), which)[0])


def mixes(
    lab: ArrayLike, swatches: SwatchList, max_paints: int = 3, max_drops: int = 12, count: int = 5
) -> list[Mix]:
    """The best recipes for one colour (3,), best first."""
    from palette.paints.mixing.search import best

    target = np.asarray(lab, dtype=np.float64)
    paints = colourants(swatches)
    allowed = np.array([i for i, id in enumerate(paints.ids) if id not in paints.unmixable], dtype=np.int64)
    return [
        _describe(paints, target, np.array(which), np.array(drops))
        for _, _, _, _, which, drops in best(paints, allowed, target, max_paints, max_drops, count)
    ]


def _describe(paints: Colourants, target: Array, which: np.ndarray, drops: np.ndarray) -> Mix:
    order = np.argsort(-drops, kind="stable")
    which, drops = which[order], drops[order]
    shares = drops / drops.sum()
    lab = paints.predict(shares[None], which[None])[0]
    return Mix(
        tuple((paints.ids[i], int(n)) for i, n in zip(which, drops, strict=True)),
        lab,
        round(float(difference(target, lab)), 3),
        paints.expected_error(which, shares),
        paints.one_drop_off(which, drops),
    )
