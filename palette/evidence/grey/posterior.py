"""Levels to probabilities: each row of each surface weighed by every picture that shows a part."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.evidence.grey.picture import AnchorLevel, GreyPicture
from palette.evidence.grey.surfaces import Surfaces, log_deviation, of_labs
from palette.evidence.grey.tone import AnchorSignal, Curves, Level, Signals, fit, signals_for
from palette.memory import remembered

# What any picture may be wrong by, however much it is trusted: a shadow, a stain, a repaint.
OUTLIER = 0.01
# Half of the outliers are so by a shadow or an anchor misjudged, which change what is seen by about this,
# in ln signal; of the rest nothing is known. So of paints that all contradict a picture the
# nearest lead.
_SHADOW = 0.6
# Two pictures of one class may well be from the same stock: half the time, a guess.
SAME_STOCK = 0.5
# Where a part speaks of the curve to the others, its paint may be in none of the kit's lists: as often as
# this many more paints would be chosen. A curve must not be bent to a list that is all there is.
_UNLISTED = 10
# ln signal of whatever a wrong anchor lies on, of a neutral of unknown lightness, and of the lightest and
# darkest of a scene: from memory.
_ANYTHING = (-1.5, 1.5)
_NEUTRAL = (-1.2, 0.9)
_LIGHTEST = (-0.35, 0.6)
_DARKEST = (-3.2, 0.8)


@dataclass(frozen=True)
class Calibrated:
    """A picture whose curves are weighed by its anchors."""

    picture: GreyPicture
    curves: Curves
    signals: Signals
    firm: int  # anchors of known colour


@remembered(kept=True)
def calibrate(picture: GreyPicture, without: str | None = None) -> Calibrated:
    """Weigh a picture's curves by its anchors, leaving out those that are the part `without`."""
    anchors = [a for a in picture.anchors if without is None or a.part != without]
    signals = _anchor_signals(picture, anchors)
    m = picture.sensitivity.count
    firm = sum(a.lab is not None for a in anchors)
    if firm < 2 and picture.lightest is not None and picture.darkest is not None:
        for value, (mean, deviation) in ((picture.lightest, _LIGHTEST), (picture.darkest, _DARKEST)):
            signals.append(AnchorSignal(Level(value, 0.01), np.full(m, mean), deviation))
    return Calibrated(picture, _fitted(picture, anchors, signals), signals_for(picture.uneven), firm)


@remembered(kept=True)
def log_evidence(picture: GreyPicture, wrong: Collection[int] = ()) -> float:
    """How likely a picture's anchors make their levels, where some, by their place, lie on anything: a
    logarithm, up to a constant of the picture."""
    anything = np.full(picture.sensitivity.count, _ANYTHING[0])
    signals = [
        AnchorSignal(s.level, anything, _ANYTHING[1]) if i in wrong else s
        for i, s in enumerate(_anchor_signals(picture, picture.anchors))
    ]
    return _fitted(picture, picture.anchors, signals).log_evidence


def _fitted(picture: GreyPicture, anchors: Sequence[AnchorLevel], signals: Sequence[AnchorSignal]) -> Curves:
    lows = [a.level.value for a in anchors] + [v.value for levels in picture.levels.values() for v in levels]
    lows += [picture.darkest] if picture.darkest is not None else []
    every = [a.level for a in anchors] + [v for levels in picture.levels.values() for v in levels]
    crushed = any(level.end < 0 for level in every)
    return fit(signals, picture.sensitivity.count, picture.uneven, min(lows, default=0.3), crushed)


def _anchor_signals(picture: GreyPicture, anchors: Sequence[AnchorLevel]) -> list[AnchorSignal]:
    signals = []
    for anchor in anchors:
        if anchor.lab is None:
            unknown = np.full(picture.sensitivity.count, _NEUTRAL[0])
            signals.append(AnchorSignal(anchor.level, unknown, _NEUTRAL[1]))
            continue
        if anchor.reflectance is not None:
            surface = Surfaces(anchor.lab[None], anchor.reflectance[None], np.zeros(1, np.intp))
        else:
            surface = of_labs(anchor.lab[None])
        rows = picture.sensitivity.log_signals(surface)
        own = log_deviation(anchor.lab, np.asarray(anchor.spread))
        deviation = float(np.sqrt(rows.var(axis=0).mean() + own**2))
        signals.append(AnchorSignal(anchor.level, rows.mean(axis=0), deviation))
    return signals


def together(
    pictures: Mapping[str, Calibrated],
    shown: Mapping[str, Mapping[str, Sequence[Level]]],
    signals: Mapping[str, NDArray[np.intp]],
    paints: Surfaces,
) -> dict[tuple[str, str], Calibrated]:
    """By picture and part, the pictures with their curves weighed by what all the other parts show in them.

    All parts of a picture went through one curve and one stock. A part of unknown paint says little of
    them, yet not nothing: that its level is one that some paint makes, and where a second picture shows
    it, one of the paints that fit there. No part speaks to itself. Pictures that fewer than two anchors
    calibrate are left alone: by chance, or taste, all that they show may be dark.

    `shown` are the levels by part and picture, `signals` as for `likelihood`; the rows of `paints` stand
    first there, those of surfaces at large after them.
    """
    if not pictures:
        return {}
    listed, split = len(paints.lab), len(paints.reflectance)
    shares = paints.equal_shares() * listed / (listed + _UNLISTED)
    prior: Array = np.zeros(len(next(iter(signals.values()))))
    prior[:split] = shares
    prior[split:] = (1 - shares.sum()) / len(prior[split:])
    alone = {name: _spread(prior, signals[name], one) for name, one in pictures.items()}
    by_part: dict[tuple[str, str], Array] = {}
    for part, levels in shown.items():
        seen = {
            name: _alone(pictures[name], readings, signals[name], slice(split, None))
            for name, readings in levels.items()
            if len(levels) > 1
        }
        for name, readings in levels.items():
            one = pictures[name]
            if one.firm < 2:
                continue
            elsewhere = [rows for other, rows in seen.items() if other != name]
            weight = np.prod([prior, *elsewhere], axis=0)
            density = _spread(weight, signals[name], one) if elsewhere else alone[name]
            likely = _likely(one, readings, density)
            if elsewhere:  # this picture may be the outlier, if what the others show is not in it
                likely = likely * (weight @ seen[name]) / (weight.sum() * (prior @ seen[name]))
            honest = one.picture.trust * (1 - OUTLIER)
            by_part[name, part] = np.log(honest * likely + 1 - honest)
    whole = {
        name: sum((log_odds for (other, _), log_odds in by_part.items() if other == name), np.zeros(()))
        for name in pictures
    }
    return {
        (name, part): replace(pictures[name], curves=pictures[name].curves.given(whole[name] - log_odds))
        for (name, part), log_odds in by_part.items()
    }


@remembered()
def _likely(one: Calibrated, levels: Sequence[Level], density: Array) -> Array:
    return one.curves.likelihood(levels, density, one.signals)


@remembered()
def _spread(weight: Array, signals: NDArray[np.intp], one: Calibrated) -> Array:
    """How surfaces of that weight (r,) spread over the log signals of each member: (m, g), rows sum to 1."""
    count = one.signals.count
    spread = np.stack([np.bincount(column, weight, minlength=count) for column in signals.T])
    return np.asarray(spread / weight.sum())


@remembered()
def likelihood(
    seen: Sequence[tuple[Calibrated, Sequence[Level]]],
    signals: Mapping[str, NDArray[np.intp]],
    baseline: slice,
) -> Array:
    """How likely each row's spectrum makes what every picture shows of one paint: (r,), up to a factor.

    `signals` are the rows' log signals (r, m) as indices on each view's axis, by view; `baseline` are
    the rows that say what a surface seen at random would give, for pictures that may be outliers.
    """
    total: Array | None = None
    groups: dict[str, list[Array]] = {}
    for one, levels in seen:
        rows = _rows(one, levels, signals[one.picture.name], baseline)
        total = rows.sum(axis=0) if total is None else total * rows.sum(axis=0)
        if one.picture.sensitivity.response.is_class and one.picture.sensitivity.table is not None:
            groups.setdefault(one.picture.sensitivity.response.name, []).append(rows)
    assert total is not None
    for members in groups.values():
        if len(members) > 1 and len({len(rows) for rows in members}) == 1:
            count = len(members[0])
            apart = np.prod([rows.sum(axis=0) for rows in members], axis=0)
            one_stock = np.prod(members, axis=0).sum(axis=0) * count ** (len(members) - 1)
            total = total * (1 - SAME_STOCK + SAME_STOCK * one_stock / np.maximum(apart, 1e-300))
    return total


@remembered()
def _alone(one: Calibrated, levels: Sequence[Level], signals: NDArray[np.intp], baseline: slice) -> Array:
    return np.asarray(_rows(one, levels, signals, baseline).sum(axis=0))


def _rows(one: Calibrated, levels: Sequence[Level], signals: NDArray[np.intp], baseline: slice) -> Array:
    """How likely each row makes one picture's levels under each member: (m, r), up to a factor."""
    table = one.curves.signal_density(levels, one.signals)
    rows = np.take_along_axis(table, signals.T, axis=1)
    shadowed = _shadowed(table.sum(axis=0), one.signals)[signals].mean(axis=1)
    at_random = rows.sum(axis=0)[baseline].mean()
    shadowed = shadowed / max(float(shadowed[baseline].mean()), 1e-300)
    honest, shadow = one.picture.trust * (1 - OUTLIER), one.picture.trust * OUTLIER / 2
    rows = honest * rows + (1 - honest - shadow + shadow * shadowed) * at_random / len(rows)
    return np.asarray(rows / rows.sum(axis=0).max())


def _shadowed(density: Array, signals: Signals) -> Array:
    """A density (g,) over the log signal, blurred by what a shadow may do to it."""
    reach = int(4 * _SHADOW / signals.step)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * signals.step / _SHADOW) ** 2)
    return np.asarray(np.convolve(density, kernel)[reach : reach + len(density)])


def bits(probability: Array) -> float:
    """Divergence of a distribution (n,) from the equal one, in bits."""
    p = probability[probability > 0]
    return float(np.sum(p * np.log2(p * len(probability))))
