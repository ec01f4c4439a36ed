"""How well a paint covers: over which primer, in how many coats, and how much of it that takes.

A film of thickness X over a ground that reflects Rg reflects, inside the film, what Kubelka & Munk found:

    R = (1 − Rg (a − b coth bSX)) / (a − Rg + b coth bSX)      a = 1 + K/S,  b = √(a² − 1)

K and S of each paint are those that mixtures are predicted from. How thick one coat is, is told by the
opacity the list gives: the contrast ratio, Y of one coat over black to Y over white (ISO 6504-3, from
memory; the grounds there are charts of Y < 5 % and 78 to 82 %). Where the list is silent, a coat is taken to
be as thick as one of a strong white that hides 0.9: common practice, no source. It covers when what is still
seen of the ground is a difference that nobody sees.

Sources: Kubelka & Munk, Z. tech. Physik 12 (1931) 593; Kubelka, JOSA 38 (1948) 448.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.colour.spectra import tristimulus
from palette.paints.mixing import law
from palette.paints.mixing.colourants import Colourants, colourants
from palette.paints.mixing.inference import lab_of
from palette.paints.mixing.promising import named
from palette.swatches.model import SwatchList

PRIMERS = {"white": 0.85, "mid grey": 0.20, "black": 0.04}  # reflectance, at every wavelength
UNSEEN = 1.0  # CIEDE2000 from the colour of a thick film
MOST = 6  # coats; a paint that needs more does not cover
RATE = 100.0  # cm² that 1 ml covers once: 10 m² a litre, common practice, from memory
ASSUMED = 0.9  # opacity of one coat of a strong white, where a list is silent
_WHITE_CHART, _BLACK_CHART = 0.80, 0.01
_HIDES = 0.995  # an opacity of 1 was rounded from here up
_THINNEST, _THICKEST = 1e-3, 1e3


@dataclass(frozen=True)
class Coats:
    """One recipe over each primer."""

    coats: dict[str, int | None]  # by primer; None where it does not cover in `MOST`
    left: dict[str, float]  # CIEDE2000 that still shows after so many coats
    opacity: float  # of one coat: contrast ratio, 0..1
    stated: bool  # whether the list gives the opacity of all its paints
    area_per_ml: float  # cm² that 1 ml covers once
    rate_stated: bool  # whether the list gives that of all its paints


def film(k: ArrayLike, s: ArrayLike, thickness: ArrayLike, ground: ArrayLike) -> Array:
    """Reflectance inside a film, 0..1, of absorption and scattering k, s (…, 31) a unit of thickness, over a
    ground of that reflectance; all broadcast."""
    a = 1 + np.asarray(k, dtype=np.float64) / np.asarray(s, dtype=np.float64)
    b = np.sqrt(a * a - 1)
    ground = np.asarray(ground, dtype=np.float64)
    x = np.maximum(b * np.asarray(s) * np.asarray(thickness), 1e-12)
    turned = b / np.tanh(np.minimum(x, 50.0))
    return np.asarray((1 - ground * (a - turned)) / (a - ground + turned))


def coats(recipes: Sequence[Mapping[str, int]], swatches: SwatchList) -> list[Coats]:
    """What it takes to cover with each recipe, drops by swatch id.

    Metallic, fluorescent and clear paints do not obey the law; `mixing.unmixable` says which they are.

    Raises:
        KeyError: a recipe names a paint that the list has not.
    """
    swatches = named(swatches, {id for recipe in recipes for id in recipe})
    paints = colourants(swatches)
    row = {id: i for i, id in enumerate(paints.ids)}
    return [_coats({row[id]: n for id, n in recipe.items()}, paints, swatches) for recipe in recipes]


def _coats(drops: Mapping[int, int], paints: Colourants, swatches: SwatchList) -> Coats:
    which = np.array(list(drops))
    shares = np.array(list(drops.values())) / sum(drops.values())
    k, s = shares @ paints.absorption[which], shares @ paints.scattering[which]
    members = [swatches.swatches[i] for i in which]
    thick = [
        _standard()
        if m.opacity is None
        else _thickness(paints.absorption[i], paints.scattering[i], m.opacity)
        for m, i in zip(members, which, strict=True)
    ]
    coat = float(shares @ thick)
    # colours inside the film are compared outside it; the surface's own gloss is the same for both
    full = lab_of(law.reflectance(k / s))
    number = np.arange(1, MOST + 1)
    coats: dict[str, int | None] = {}
    left: dict[str, float] = {}
    for name, ground in PRIMERS.items():
        inside = film(k, s, coat * number[:, None], _inside(ground))
        off = difference(lab_of(_outside(inside)), full)
        done = np.flatnonzero(off <= UNSEEN)
        coats[name] = int(number[done[0]]) if len(done) else None
        left[name] = float(off[done[0]] if len(done) else off[-1])
    rates = [m.coverage_cm2_per_ml for m in members]
    known = np.array([rate if rate else RATE for rate in rates])
    return Coats(
        coats,
        left,
        _contrast(k, s, coat),
        all(m.opacity is not None for m in members),
        float(1 / (shares @ (1 / known))),
        all(rates),
    )


def _standard() -> float:
    """The thickness of a coat of a strong white (S = 1 a unit of thickness, K/S next to none) that hides
    `ASSUMED`."""
    return _thickness(np.full(31, 0.002), np.ones(31), ASSUMED)


def _thickness(k: Array, s: Array, opacity: float) -> float:
    """The thickness at which a paint has that contrast ratio; found by halving, in logarithms."""
    wanted = min(opacity, _HIDES)
    low, high = np.log(_THINNEST), np.log(_THICKEST)
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if _contrast(k, s, float(np.exp(middle))) < wanted else (low, middle)
    return float(np.exp(high))


def _contrast(k: Array, s: Array, thickness: float) -> float:
    table, _ = tristimulus("D65")
    grounds = _inside(np.array([_BLACK_CHART, _WHITE_CHART]))[:, None]
    black, white = _outside(film(k, s, thickness, grounds)) @ table[:, 1]
    return float(black / white)


def _inside(measured: ArrayLike) -> Array:
    """What a primer that measures so reflects under a film, without a surface of its own."""
    seen = np.asarray(measured, dtype=np.float64)
    return np.asarray(seen / ((1 - law.K1) * (1 - law.K2) + law.K2 * seen))


def _outside(inside: Array) -> Array:
    return np.asarray((1 - law.K1) * (1 - law.K2) * inside / (1 - law.K2 * inside))
