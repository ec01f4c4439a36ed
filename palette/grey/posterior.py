"""Levels to probabilities: each row of each surface weighed by every picture that shows a part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.grey.surfaces import Surfaces, log_deviation, of_labs
from palette.grey.tone import AnchorSignal, Curves, Level, Signals, fit, signals_for
from palette.grey.view import AnchorLevel, View

# What any picture may be wrong by, however much it is trusted: a shadow, a stain, a repaint.
ASTRAY = 0.01
# Two pictures of one class may well be from the same stock: half the time, a guess.
SAME_STOCK = 0.5
# ln signal of a neutral of unknown lightness, and of the lightest and darkest of a scene: from memory.
_NEUTRAL = (-1.2, 0.9)
_LIGHTEST = (-0.35, 0.6)
_DARKEST = (-3.2, 0.8)


@dataclass(frozen=True)
class Calibrated:
    """A picture whose curves are weighed by its anchors."""

    view: View
    curves: Curves
    signals: Signals
    notes: tuple[str, ...]


def calibrate(view: View, without: str | None = None) -> Calibrated:
    """Weigh a picture's curves by its anchors, leaving out those that are the part `without`."""
    anchors = [a for a in view.anchors if without is None or a.part != without]
    seen, deviations = _anchor_signals(view, anchors)
    contradicting, extra, notes = _order(view, anchors, seen, deviations)
    found = [
        AnchorSignal(a.level, s, float(np.hypot(d, e)))
        for a, s, d, e in zip(anchors, seen, deviations, extra, strict=True)
    ]
    m = view.sight.count
    firm = sum(a.lab is not None for a in anchors) - len(contradicting)
    if firm < 2 and view.lightest is not None and view.darkest is not None:
        for value, (mean, deviation) in ((view.lightest, _LIGHTEST), (view.darkest, _DARKEST)):
            found.append(AnchorSignal(Level(value, 0.01), np.full(m, mean), deviation))
    lows = [a.level.value for a in anchors] + [v.value for levels in view.levels.values() for v in levels]
    lows += [view.darkest] if view.darkest is not None else []
    every = [a.level for a in anchors] + [v for levels in view.levels.values() for v in levels]
    crushed = any(level.end < 0 for level in every)
    curves = fit(found, m, view.uneven, min(lows, default=0.3), crushed)
    return Calibrated(view, curves, signals_for(view.uneven), tuple(notes))


def _anchor_signals(view: View, anchors: Sequence[AnchorLevel]) -> tuple[list[Array], list[float]]:
    signals, deviations = [], []
    for anchor in anchors:
        if anchor.lab is None:
            signals.append(np.full(view.sight.count, _NEUTRAL[0]))
            deviations.append(_NEUTRAL[1])
            continue
        if anchor.reflectance is not None:
            surface = Surfaces(anchor.lab[None], anchor.reflectance[None], np.zeros(1, np.intp))
        else:
            surface = of_labs(anchor.lab[None])
        rows = view.sight.log_signals(surface)
        signals.append(rows.mean(axis=0))
        own = log_deviation(anchor.lab, np.asarray(anchor.spread))
        deviations.append(float(np.sqrt(rows.var(axis=0).mean() + own**2)))
    return signals, deviations


def _order(
    view: View, anchors: Sequence[AnchorLevel], seen: Sequence[Array], deviations: Sequence[float]
) -> tuple[set[int], list[float], list[str]]:
    """Anchors whose levels stand in the wrong order for their colours under every member.

    Returns which they are, by how much (in log signal) each must be mistrusted, and what to say of it.
    """
    extra = [0.0] * len(anchors)
    found: set[int] = set()
    notes = []
    for i in range(len(anchors)):
        for j in range(len(anchors)):
            if anchors[i].lab is None or anchors[j].lab is None:
                continue
            margin = float(np.min(seen[i] - seen[j]))
            noise = np.sqrt(2 * view.uneven**2 + deviations[i] ** 2 + deviations[j] ** 2)
            wrong = anchors[i].level.value < anchors[j].level.value - 0.004
            if margin > 2.5 * noise and wrong:
                found |= {i, j}
                extra[i], extra[j] = max(extra[i], margin), max(extra[j], margin)
                notes.append(
                    f"{anchors[i].name} ought to be lighter than {anchors[j].name} and is darker "
                    f"(levels {anchors[i].level.value:.3f} and {anchors[j].level.value:.3f}); "
                    "both are hardly believed"
                )
    return found, extra, notes


def likelihood(
    seen: Sequence[tuple[Calibrated, Sequence[Level]]],
    signals: Mapping[str, NDArray[np.intp]],
    baseline: slice,
) -> Array:
    """How likely each row's spectrum makes what every picture shows of one paint: (r,), up to a factor.

    `signals` are the rows' log signals (r, m) as indices on each view's axis, by view; `baseline` are
    the rows that say what a surface seen at random would give, for pictures that may be astray.
    """
    total: Array | None = None
    groups: dict[str, list[Array]] = {}
    for one, levels in seen:
        table = one.curves.signal_density(levels, one.signals)
        rows = np.take_along_axis(table, signals[one.view.name].T, axis=1)  # (m, r)
        honest = one.view.trust * (1 - ASTRAY)
        rows = honest * rows + (1 - honest) * (rows.sum(axis=0)[baseline].mean() / len(rows))
        rows = rows / rows.sum(axis=0).max()
        total = rows.sum(axis=0) if total is None else total * rows.sum(axis=0)
        if one.view.sight.response.is_class and one.view.sight.table is not None:
            groups.setdefault(one.view.sight.response.name, []).append(rows)
    assert total is not None
    for members in groups.values():
        if len(members) > 1 and len({len(rows) for rows in members}) == 1:
            count = len(members[0])
            apart = np.prod([rows.sum(axis=0) for rows in members], axis=0)
            together = np.prod(members, axis=0).sum(axis=0) * count ** (len(members) - 1)
            total = total * (1 - SAME_STOCK + SAME_STOCK * together / np.maximum(apart, 1e-300))
    return total


def bits(probability: Array) -> float:
    """Divergence of a distribution (n,) from the equal one, in bits."""
    p = probability[probability > 0]
    return float(np.sum(p * np.log2(p * len(probability))))
