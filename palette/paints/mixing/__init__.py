"""Mixing paints: the colour of a mixture, and the mixtures for a colour.

    mixture({"B-04": 3, "B-11": 1}, swatches)     # -> CIELAB (3,)
    mixes(lab, swatches)                          # -> recipes, best first

Each paint's absorption and scattering is inferred from what its list says of it (`colourants`), best
evidence first: measured reflectances before CIELAB, a let-down in white before what is typical of paints
that look alike (`prior`). Mixtures follow the two-constant law (`law`), and `search` finds the best of them.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from numbers import Integral

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.memory import remembered
from palette.paints.mixing.colourants import Colourants, as_mixed, colourants
from palette.paints.mixing.promising import MIXED, QUICK, named, promising
from palette.swatches.kinds import unmixable
from palette.swatches.mix import Mix
from palette.swatches.model import SwatchList

__all__ = [
    "NEAREST",
    "LeftOut",
    "Mix",
    "MixingWarning",
    "left_out",
    "mixes",
    "mixture",
    "notes",
    "predicted",
    "shortfall",
    "shortfall_of",
    "straight",
    "unsearched",
    "usable",
]


NEAREST = "the nearest that can be reached is"


class MixingWarning(UserWarning):
    """A mixture was asked for of paints for which the law of mixing does not hold."""


def mixture(drops: Mapping[str, int], swatches: SwatchList) -> Array:
    """The predicted CIELAB D65 (3,) of a mixture: drops by swatch id, all drops of one volume.

    One paint alone has the colour its list gives it. Metallic, fluorescent and clear paints do not
    obey the law; where one is in the mixture a `MixingWarning` says so.

    Raises:
        InputError: an unknown id, no drops, or a count that is no whole number of at least one.
    """
    return predicted(drops, swatches).lab


def predicted(drops: Mapping[str, int], swatches: SwatchList, target: ArrayLike | None = None) -> Mix:
    """As `mixture`, with the expected error and the spectrum; `difference` is from `target`, 0 without.

    Raises:
        InputError: as `mixture`.
    """
    row = {id: i for i, id in enumerate(swatches.ids)}
    problems = [
        Problem(None, None, f"no paint of the list has the id {id!r}", "use an id of the list")
        for id in drops
        if id not in row
    ]
    problems += [
        Problem(None, None, f"{count!r} drops of {id!r}", "use a whole number of drops, at least one")
        for id, count in drops.items()
        if not isinstance(count, Integral) or isinstance(count, bool) or count < 1
    ]
    if not drops:
        problems.append(Problem(None, None, "a mixture of no drops", "name at least one paint and its drops"))
    if problems:
        raise InputError.of(problems)
    swatches = named(swatches, drops)
    row = {id: i for i, id in enumerate(swatches.ids)}
    paints = colourants(swatches)
    for id in drops:
        if id in paints.unmixable:
            warnings.warn(
                f"{id} is {paints.unmixable[id]}: no law of mixing holds for it, the prediction is a guess",
                MixingWarning,
                stacklevel=3,
            )
    which, counts = [row[id] for id in drops], [int(count) for count in drops.values()]
    wanted = None if target is None else np.asarray(target, dtype=np.float64)
    return _mixes(paints, [which], [counts], wanted)[0]


_MOST_DROPS = 60
TOLD_APART = 0.5  # CIEDE2000
_MOST_TRIED = 50_000_000  # recipes of four paints and more: some ten seconds


def mixes(
    lab: ArrayLike,
    swatches: SwatchList,
    max_paints: int = 3,
    max_drops: int = 12,
    count: int = 5,
    surest: bool = False,
    wide: int | None = None,
) -> list[Mix]:
    """The best recipes for a colour, CIELAB D65 (3,), best first; one paint alone is a recipe.

    A recipe is of at most `max_paints` paints in whole drops, `max_drops` in all, in lowest terms
    (2 : 2 is 1 : 1). The answer is what trying every recipe would give, except that of lists of more than
    350 paints only the 350 that come nearest when mixed with one other are mixed by threes, and of more
    than 1,000 only the most `promising` are mixed at all, by threes 200 of them. The nearest
    comes first; of differences that agree to 0.001, fewer paints, fewer drops, and what suffers
    least from a drop too many. Fewer than `count` come where there are fewer recipes.

    The nearest as predicted is rarely the nearest as mixed: of many recipes the best owes that to luck. With
    `surest` what counts as near is √(difference² + (expected_error / 2)²), which on most invented paints
    comes nearer to the colour (`python -m tests.benchmarks.mixing`) and takes longer.

    `wide` is how many paints are mixed by threes instead of 350: few for a quick answer that may not be the
    nearest; then half as many are mixed of a very long list, too. Answers are remembered, from one process
    to the next (`palette.memory`).

    Every paint of the list is used, owned or not (`usable` picks), but metallic, fluorescent and clear
    ones never (`unmixable` says which they are).

    Raises:
        InputError: the colour is not three finite numbers, one of the limits is below one, `max_drops` is
            above 60, or more than three paints are asked for from a list too long to try every recipe.
    """
    from palette.paints.mixing.search import FEWER, WIDE

    target = np.array(lab, dtype=np.float64)
    problems = []
    if target.shape != (3,) or not np.isfinite(target).all():
        problems.append(Problem(None, None, "the colour is not three finite numbers", "give L*, a* and b*"))
    for name, value in (("max_paints", max_paints), ("max_drops", max_drops), ("count", count)):
        if value < 1:
            problems.append(Problem(None, None, f"{name} is {value}", "it is at least one"))
    if max_drops > _MOST_DROPS:
        what = f"{max_drops} drops are more than are searched"
        problems.append(Problem(None, None, what, f"{_MOST_DROPS} drops to a recipe are the most"))
    if problems:
        raise InputError.of(problems)
    able = sum(unmixable(swatch) is None for swatch in swatches.swatches)
    for p in range(4, min(max_paints, able, max_drops) + 1):  # threes are bounded, more are tried out
        if math.comb(able, p) * math.comb(max_drops, p) > _MOST_TRIED:
            what = f"mixtures of {p} paints from {able} are too many to try"
            raise InputError(Problem(None, None, what, f"mix at most {p - 1} paints, or give a shorter list"))
    some = promising(target, swatches, QUICK if wide else MIXED) if able > MIXED else swatches
    wide = wide or (WIDE if some is swatches else FEWER)
    return list(_searched(target, as_mixed(some), max_paints, max_drops, count, surest, wide))


@remembered(kept=True)
def _searched(
    target: Array, swatches: SwatchList, max_paints: int, max_drops: int, count: int, surest: bool, wide: int
) -> tuple[Mix, ...]:
    from palette.paints.mixing.search import searched

    paints = colourants(swatches)
    allowed = np.array([i for i, id in enumerate(paints.ids) if id not in paints.unmixable], dtype=np.int64)
    best = searched(paints, allowed, target, max_paints, max_drops, count, surest, wide)
    return tuple(_mixes(paints, [f.which for f in best.recipes], [f.drops for f in best.recipes], target))


def among(lab: ArrayLike, swatches: SwatchList, ids: Sequence[str], max_drops: int = 12) -> Mix:
    """The nearest recipe for a colour, CIELAB D65 (3,), of the paints of some `ids` and no others."""
    from palette.paints.mixing.search import searched

    swatches = named(swatches, ids)
    paints, target = colourants(swatches), np.array(lab, dtype=np.float64)
    rows = np.array(sorted(paints.ids.index(id) for id in ids), dtype=np.int64)
    (best,) = searched(paints, rows, target, len(rows), max_drops, 1).recipes
    return _mixes(paints, [best.which], [best.drops], target)[0]


def unsearched(swatches: SwatchList, max_paints: int = 3) -> str | None:
    """Which mixtures of a list `mixes` does not look at, in words; None where it looks at all."""
    from palette.paints.mixing.search import FEWER, WIDE

    able = sum(unmixable(swatch) is None for swatch in swatches.swatches)
    if able > MIXED and max_paints > 1:
        by_threes = f", and of these {FEWER} by threes" if max_paints > 2 else ""
        return (
            f"of {able} paints only the {MIXED} that look most promising for the colour are mixed"
            f"{by_threes}; others may come nearer"
        )
    if able <= WIDE or max_paints < 3:
        return None
    return (
        f"of {able} paints only the {WIDE} that come nearest when mixed with one other are mixed by threes; "
        "another three may come nearer"
    )


def _mixes(
    paints: Colourants, which: Sequence[ArrayLike], drops: Sequence[ArrayLike], target: Array | None
) -> list[Mix]:
    """Recipes of the paints `which` (p,) in `drops` (p,) each, the most of a paint first."""
    made: dict[int, Mix] = {}
    sizes = [np.size(of) for of in which]
    for p in sorted(set(sizes)):
        rows = [i for i, size in enumerate(sizes) if size == p]
        paint, count = np.array([which[i] for i in rows]), np.array([drops[i] for i in rows])
        order = np.argsort(-count, axis=1, kind="stable")
        paint, count = np.take_along_axis(paint, order, axis=1), np.take_along_axis(count, order, axis=1)
        shares = count / count.sum(axis=1, keepdims=True)
        lab = paints.predict(shares, paint)
        off = np.zeros(len(rows)) if target is None else difference(target, lab)
        error, moved = paints.expected_errors(paint, shares), paints.one_drop_off(paint, count)
        spectra = paints.spectra(shares, paint)
        for at, i in enumerate(rows):
            counted = zip(paint[at].tolist(), count[at].tolist(), strict=True)
            recipe = tuple((paints.ids[row], n) for row, n in counted)
            difference_of = round(float(off[at]), 3)
            made[i] = Mix(recipe, lab[at], difference_of, float(error[at]), float(moved[at]), spectra[at])
    return [made[i] for i in range(len(which))]


def usable(swatches: SwatchList) -> SwatchList:
    """The paints at hand: not retired, and owned where the list says anything of owning.

    A blank `owned` counts as owned: a list half filled in should not lose paints.
    """
    return swatches.where([not s.retired and s.owned is not False for s in swatches.swatches])


@dataclass(frozen=True)
class Straight:
    """A paint that is not mixed, as it comes."""

    id: str
    kind: str  # metallic | fluorescent
    difference: float  # CIEDE2000 from the colour asked for


def straight(lab: ArrayLike, swatches: SwatchList) -> Straight | None:
    """The metallic or fluorescent paint nearest to a colour, CIELAB D65 (3,): none is mixed, but one may be
    used straight. None where there is none; a clear has no colour of its own."""
    known = {s.id: kind for s in swatches.swatches if (kind := unmixable(s)) in ("metallic", "fluorescent")}
    if not known:
        return None
    paints = swatches.where([id in known for id in swatches.ids])
    (index, *_), (off, *_) = paints.nearest(lab, 1)
    id = paints.ids[int(index)]
    return Straight(id, known[id], round(float(off), 3))


@dataclass(frozen=True)
class LeftOut:
    """A paint of the list that no recipe may use."""

    id: str
    name: str
    why: str  # 'not owned' | 'retired'
    difference: float  # CIEDE2000 from the colour asked for


def left_out(
    lab: ArrayLike, recipes: Sequence[Mix], swatches: SwatchList, used: SwatchList, but: str | None = None
) -> LeftOut | None:
    """The paint of a list nearest to a colour, CIELAB D65 (3,), where it is not among those `used` and nearer
    than the best recipe by what could be seen; None where there is none. `but` is an id to pass over."""
    have = {*used.ids, but}
    rest = swatches.where([s.id not in have and unmixable(s) is None for s in swatches.swatches])
    if not len(rest):
        return None
    (row, *_), (off, *_) = rest.nearest(lab, 1)
    if recipes and off > recipes[0].difference - TOLD_APART:
        return None
    swatch = rest.swatches[int(row)]
    return LeftOut(swatch.id, swatch.name, "retired" if swatch.retired else "not owned", round(float(off), 3))


def notes(swatches: SwatchList) -> dict[str, str]:
    """By swatch id, what is left aside and why: paints that do not mix, let-downs of no use; and twins.

    Of a list of more than 1,000 paints the let-downs are not looked at: each is when its paint is mixed.
    """
    kinds = {s.id: kind for s in swatches.swatches if (kind := unmixable(s)) is not None}
    said = {id: f"it is {kind} and is left out of every mixture" for id, kind in kinds.items()}
    first: dict[tuple[float, ...], str] = {}
    for id, lab in zip(swatches.ids, swatches.lab, strict=True):
        twin = first.setdefault(tuple(lab), id)
        if twin != id and id not in said:
            said[id] = f"it has exactly the colour of {twin}"
    return said if len(swatches) > MIXED else {**said, **colourants(swatches).notes}


def shortfall(
    lab: ArrayLike, recipes: Sequence[Mix], swatches: SwatchList, max_paints: int = 3
) -> str | None:
    """Why the best recipe, of `max_paints` at most, stays further than 3 from a colour, in words; None where
    it does not."""
    if not recipes or recipes[0].difference <= 3.0:
        return None
    have = swatches.lab[[unmixable(swatch) is None for swatch in swatches.swatches]]
    near = recipes[0]
    return shortfall_of(np.asarray(lab, dtype=np.float64), near.lab, near.difference, have, max_paints)


def shortfall_of(target: Array, near: Array, off: float, have: Array, max_paints: int = 3) -> str:
    """Why paints of the colours `have` (n, 3), mixed by at most so many, come no nearer to a target (3,) than
    `near` (3,), which is `off` (CIEDE2000), in words."""
    what = "no paint" if max_paints == 1 else "no mixture of these paints"
    strength = float(np.hypot(*target[1:]) - np.hypot(*near[1:]))
    if target[0] > have[:, 0].max() + 1:
        reason = "no paint is this light"
    elif target[0] < have[:, 0].min() - 1:
        reason = "no paint is this dark"
    elif len(have) == 1:
        reason = "there is only one paint"
    elif strength > 2:
        reason = f"{what} is this strong in colour"
    elif abs(target[0] - near[0]) > 2:
        some = "no paint" if max_paints == 1 else "no mixture"
        reason = f"{some} of this hue is this {'light' if target[0] > near[0] else 'dark'}"
    else:
        reason = f"{what} has this hue"
    return f"{NEAREST} {off:.0f} off, because {reason}"
