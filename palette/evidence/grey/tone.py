"""From levels back to signals: the tone curve, unknown, integrated over.

A surface sends the signal S (what the response makes of its light, 1 for the perfect white) through

    log exposure  e = ln S + ln E + place        place ~ N(0, uneven)
    density side  z = exp(γ e + wander(e))       wander: a small smooth curve
    print side    u = z / (1 + κ z)              κ: shoulder
    file          level = u lifted by the black level, in linear light or in encoded levels, then clipped

with E, γ, κ and the black level unknown. For one *shape* (where the lift is added, how much, κ), a
level gives h = ln z exactly and the rest is linear in a = 1/γ and ln E: s = a h - ln E + noise, with
Gaussian noise. So shapes are laid out on a grid, a on a few nodes around its posterior, and ln E and
the wandering are integrated in closed form. Levels at an end of the range become one-sided bounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, srgb_decode

TOP = 254.0 / 255.0  # from here on a level counts as clipped
BOTTOM = 0.5 / 255.0
LEVEL_FLOOR = 0.0012  # standard deviation of a mean level at best: rounding to 8 bits

# What is believed of curves before any anchor is seen; from memory of negatives, prints and scans.
_CONTRAST_SD = 0.55  # of ln γ, γ = 1 where the picture is true to the scene
_TYPICAL_GAMMA = 1.0
# Whether the black level is added to encoded levels, κ / (1 + κ), weight: fitted to the mean log posterior of
# measured surfaces through five simulated families of curves, so that none is read with too much confidence.
_BENDS = (
    (False, 0.0, 0.32),
    (False, 0.4, 0.08),
    (False, 0.65, 0.14),
    (False, 0.83, 0.06),
    (True, 0.0, 0.15),
    (True, 0.992, 0.25),
)
_STEEPER = 0.15  # of ln γ with ln(1 + κ): a curve that bends over is steeper below the bend
_LIFTS = 40
_WANDER = 0.045  # standard deviation of what the family of curves cannot follow, in log exposure
_WANDER_LENGTH = 1.2  # over how much log exposure it stays
_EXPOSURE_SD = 1.5
_NEVER = 1e-12  # a density that is but the rounding of its transforms
_NODES = np.linspace(-2.4, 2.4, 7)


@dataclass(frozen=True)
class Level:
    """A region's mean encoded level (0..1), the standard error of that mean, and whether it is clipped."""

    value: float
    deviation: float
    end: int = 0  # +1 clipped at the top, -1 at the bottom, 0 not


@dataclass(frozen=True)
class AnchorSignal:
    """A surface in the picture: its level and what its signal must be under each member."""

    level: Level
    log_signal: Array  # (m,) mean under each member
    deviation: float  # standard deviation of it: the anchor's own spread, its unknown spectrum


@dataclass(frozen=True)
class Shapes:
    """A grid of curves up to exponent and exposure; arrays (k,)."""

    encoded: np.ndarray  # bool: the black level is added to encoded levels, not to linear light
    lift: Array  # encoded level of no light at all; negative where the shadows are crushed
    cell: Array  # width of the lift's cell, in encoded level
    shoulder: Array  # κ / (1 + κ)
    log_prior: Array


def shapes(lowest: float, crushed: bool = False) -> Shapes:
    """The grid for a picture whose lowest level is `lowest`: no light gives at most about that.

    `crushed`: something in it is clipped black, so the shadows may be cut off far higher.
    """
    depth = 0.40 if crushed else 0.10
    top = min(max(lowest, 0.0) + 0.02, 0.6)
    edges = np.concatenate([np.linspace(-depth, 0.0, 7), np.linspace(0.0, top, _LIFTS - 5)[1:]])
    lift = (edges[1:] + edges[:-1]) / 2
    width = np.diff(edges)
    weight = width * np.where(lift < 0, np.exp(lift / (0.4 * depth)) * 0.6, np.exp(-lift / 0.2))
    rows = [
        (encoded, level, cell, shoulder, np.log(w * share))
        for encoded, shoulder, share in _BENDS
        for level, cell, w in zip(lift, width, weight, strict=True)
    ]
    columns = list(zip(*rows, strict=True))
    return Shapes(np.array(columns[0]), *(np.array(column, dtype=np.float64) for column in columns[1:]))


@dataclass(frozen=True)
class _Exposed:
    """What a level is under each shape: h = ln z (k,), its noise, ln |dh/dlevel|, and which side is open."""

    h: Array
    noise: Array
    log_slope: Array
    open: np.ndarray  # (k,) int: 0 a value, +1 at least h, -1 at most h


def _exposed(level: Level, grid: Shapes) -> _Exposed:
    deviation = max(level.deviation, LEVEL_FLOOR)
    value = TOP if level.end > 0 else (max(level.value, BOTTOM) if level.end < 0 else level.value)
    # a level within its noise of the black level says only "at most this"
    floor = grid.lift + 2.5 * deviation
    low = (value < floor) | (level.end < 0)
    used = np.clip(np.maximum(value, floor), 1e-4, 1.0)
    decoded, base = srgb_decode(used), srgb_decode(grid.lift)
    slope_decode = np.where(used <= 0.04045, 1 / 12.92, 2.4 / 1.055 * ((used + 0.055) / 1.055) ** 1.4)
    share = np.where(grid.encoded, (used - grid.lift) / (1 - grid.lift), (decoded - base) / (1 - base))
    slope = np.where(grid.encoded, 1 / (1 - grid.lift), slope_decode / (1 - base))
    share = np.clip(share, 1e-6, 1.0)
    bent = 1 - grid.shoulder * share
    unit = np.where(grid.encoded, 2.2, 1.0)  # an encoded level is a power of light already
    h = unit * (np.log(share) - np.log(bent))
    dh = unit * slope * (1 / share + grid.shoulder / bent)
    # far below the black level: as unlikely as the distance, in cells of the lift's grid
    miss = np.maximum(grid.lift - value, 0.0) / (grid.cell + deviation)
    cost = -0.5 * miss**2 if level.end >= 0 else np.zeros_like(h)
    log_slope = np.where(low, np.log(1 / (grid.cell + 2.5 * deviation)) * (level.end >= 0) + cost, np.log(dh))
    side = np.where(low, -1, 0) if level.end <= 0 else np.ones(len(h), dtype=np.int64)
    noise = np.where(side == 0, deviation * dh, 0.0)
    if level.end > 0:
        log_slope = np.zeros_like(h)
    return _Exposed(h, noise, log_slope, side)


@dataclass(frozen=True)
class Curves:
    """The posterior over curves and members, given the anchors.

    Shapes (k,), nodes of a (k, m, j), log weights (k, m, j) that sum to 1 over all three. What is large and
    follows from the rest is worked out when it is asked for: a kit has a hundred of these.
    """

    grid: Shapes
    a_mean: Array  # (k, m), a = 1/γ
    a_sd: Array  # (k, 1)
    log_weight: Array  # (k, m, j)
    h: Array  # (k, n) of the anchors
    beyond: Array  # (k, n) how far beyond the end a clipped anchor lies
    seen: Array  # (m, n) the anchors' log signals
    whitened: Array  # (k, n, n) inverse covariance of the anchors' residuals
    centre: float  # prior mean of -ln E
    uneven: float
    log_evidence: float = 0.0  # log likelihood of the anchors' levels, up to a constant of their number

    @property
    def slope(self) -> Array:
        """(k, m, j), a = 1/γ."""
        return _slopes(self.a_mean, self.a_sd)[0]

    @property
    def residual(self) -> Array:
        """(k, m, j, n), what ln E and the wandering must explain."""
        return _residual(self.seen, self.beyond, self.slope, self.h, self.centre)

    def signal_density(self, levels: Sequence[Level], signals: Signals, scaled: bool = True) -> Array:
        """What levels of one surface (several places of the same paint) say of its log signal.

        Returns:
            (m, g): the likelihood at each of `signals`' points under each member, times that member's
            posterior weight: to be summed over members. `scaled` frees it of a constant, which keeps
            many places from underflowing; without, it is a density per unit of level.
        """
        read = _read(self, levels)
        log_weight = self.log_weight + read.log_factor
        if scaled:
            log_weight = log_weight - log_weight.max()
        return _bells(read.middle, read.variance, np.exp(log_weight), read.side, signals)

    def likelihood(self, levels: Sequence[Level], density: Array, signals: Signals) -> Array:
        """How likely each curve makes levels of a surface whose log signal is only known to be spread as
        `density` (m, g) over `signals`' points under each member: (k, m, j), 1 in the mean, and everywhere
        if none does."""
        weighed = _weigh(_read(self, levels), density, signals)
        mean = float((weighed * np.exp(self.log_weight)).sum())
        return weighed / mean if mean > _NEVER else np.ones_like(weighed)

    def given(self, log_likelihood: Array) -> Curves:
        """The curves weighed anew by a log likelihood (k, m, j)."""
        log_weight = self.log_weight + log_likelihood
        return replace(self, log_weight=log_weight - _log_sum(log_weight, (0, 1, 2)))


@dataclass(frozen=True)
class Signals:
    """The points of the log-signal axis."""

    low: float
    step: float
    count: int

    @property
    def points(self) -> Array:
        return np.asarray(self.low + self.step * np.arange(self.count), dtype=np.float64)

    def index(self, log_signal: Array) -> NDArray[np.intp]:
        """The nearest points."""
        return np.clip(np.rint((log_signal - self.low) / self.step), 0, self.count - 1).astype(np.intp)


def signals_for(uneven: float) -> Signals:
    """Fine enough for the unevenness: no structure is narrower than that."""
    step = float(np.clip(max(uneven, 0.01) / 3, 0.004, 0.02))
    low, high = -7.0, 0.6
    return Signals(low, step, int(np.ceil((high - low) / step)))


def _kernel(h_one: Array, h_other: Array) -> Array:
    """Covariance (k, i, j) of the wandering between places on the curve."""
    away = (h_one[:, :, None] - h_other[:, None, :]) / _WANDER_LENGTH
    return np.asarray(_WANDER**2 * np.exp(-0.5 * away**2))


def _slopes(a_mean: Array, a_sd: Array) -> tuple[Array, NDArray[np.bool_]]:
    """The nodes of a (k, m, j), and which of them can be."""
    slope = a_mean[..., None] + a_sd[..., None] * _NODES
    usable = slope > 0.08
    return np.where(usable, slope, 1.0), usable


def _residual(seen: Array, beyond: Array, slope: Array, h: Array, centre: float) -> Array:
    return np.asarray(
        seen[None, :, None, :] - beyond[:, None, None, :] - slope[..., None] * h[:, None, None, :] - centre
    )


def _squared(off: Array, precision: NDArray[Any]) -> Array:
    """The squares (k, m, j) of distances (k, m, j, n) under (k, n, n): einsum takes ten times as long."""
    k, m, j, n = off.shape
    flat = off.reshape(k, m * j, n)
    return np.asarray(((flat @ precision) * flat).sum(axis=-1).reshape(k, m, j))


def fit(
    anchors: Sequence[AnchorSignal], members: int, uneven: float, lowest: float, crushed: bool = False
) -> Curves:
    """The curves that agree with the anchors, each with its weight.

    `members` is the number of members of the response; `lowest` the picture's lowest level,
    `crushed` whether something in it is clipped black.
    """
    grid = shapes(lowest, crushed)
    uneven = max(uneven, 0.01)
    n, k = len(anchors), len(grid.lift)
    centre = 0.0
    exposed = [_exposed(a.level, grid) for a in anchors]
    # Whoever exposed and printed looked at the result: where the lights of the scene come to lie is
    # believed equally anywhere near there, whatever the contrast; not the exposure before the curve.
    brightest = _exposed(Level(min(max((a.level.value for a in anchors), default=0.85), 0.98), 0.0), grid)
    h = np.stack([e.h for e in exposed], axis=1) if n else np.zeros((k, 0))
    # a clipped anchor lies somewhere beyond the end: a quarter of a natural log unit or so
    beyond = np.stack([0.25 * e.open for e in exposed], axis=1) if n else np.zeros((k, 0))
    extra = np.stack([0.3 * (e.open != 0) for e in exposed], axis=1) if n else np.zeros((k, 0))
    noise = np.stack([e.noise for e in exposed], axis=1) if n else np.zeros((k, 0))
    s = np.stack([a.log_signal for a in anchors], axis=1) if n else np.zeros((members, 0))
    own = np.array([a.deviation for a in anchors])

    base = _kernel(h, h)
    rows = np.arange(n)
    base[:, rows, rows] += uneven**2 + own**2 + noise**2 + extra**2
    # a and the offset c = -ln E, Gaussian at first, to find where a's posterior lies
    prior_mean, prior_var = np.array([1.0, centre]), np.array([0.5**2, _EXPOSURE_SD**2])
    if n:
        design = np.stack([h, np.ones_like(h)], axis=2)  # (k, n, 2)
        inverse = np.linalg.inv(base)
        weighed = design.swapaxes(-1, -2) @ inverse  # (k, 2, n)
        precision = np.diag(1 / prior_var) + weighed @ design
        posterior = np.linalg.inv(precision)
        seen = s[None] - beyond[:, None]  # (k, m, n)
        pulled = seen @ weighed.swapaxes(-1, -2) + prior_mean / prior_var
        a_mean = np.einsum("ki,kmi->km", posterior[:, 0, :], pulled)
        a_sd = np.sqrt(posterior[:, 0, 0])[:, None]
    else:
        a_mean, a_sd = np.ones((k, members)), np.full((k, 1), 0.5)
    slope, usable = _slopes(a_mean, a_sd)
    total = base + _EXPOSURE_SD**2
    whitened = np.linalg.inv(total) if n else np.zeros((k, 0, 0))
    residual = _residual(s, beyond, slope, h, centre)
    expected = np.log(_TYPICAL_GAMMA) - _STEEPER * np.log(1 - grid.shoulder)
    log_weight = (
        -0.5 * _squared(residual, whitened)
        - 2 * np.log(slope)  # once for p(a) from p(ln a), once for the exposure
        - 0.5 * ((np.log(slope) + expected[:, None, None]) / _CONTRAST_SD) ** 2
        + np.log(a_sd)[..., None]
        + (grid.log_prior - brightest.log_slope)[:, None, None]
    )
    if n:
        _, volume = np.linalg.slogdet(total)
        values = np.stack([e.open == 0 for e in exposed], axis=1)
        log_weight = (
            log_weight
            + (-0.5 * volume + np.stack([e.log_slope for e in exposed], axis=1).sum(axis=1))[:, None, None]
        )
        log_weight = log_weight + values.sum(axis=1)[:, None, None] * np.log(slope)
    if usable.any():  # else the anchors run backwards: no curve fits, and a plain one is held against them
        log_weight = np.where(usable, log_weight, -np.inf)
    log_evidence = _log_sum(log_weight, (0, 1, 2))
    log_weight = log_weight - log_evidence

    keep = log_weight.max(axis=(1, 2)) > log_weight.max() - 11.0
    log_weight = log_weight[keep]
    grid = Shapes(*(getattr(grid, field.name)[keep] for field in fields(grid)))
    return Curves(
        grid, a_mean[keep], a_sd[keep], log_weight, h[keep], beyond[keep], s, whitened[keep], centre, uneven,
        float(log_evidence),
    )  # fmt: skip


def _log_sum(values: Array, axis: tuple[int, ...]) -> Array:
    top = np.max(values, axis=axis, keepdims=True)
    top = np.where(np.isfinite(top), top, 0.0)
    with np.errstate(divide="ignore"):
        total = np.log(np.sum(np.exp(values - top), axis=axis))
    return np.asarray(total + np.squeeze(top, axis=axis))


@dataclass(frozen=True)
class _Reading:
    """Levels of one surface under each curve: a Gaussian of its log signal, or of a bound to it."""

    middle: Array  # (k, m, j)
    variance: Array  # (k,)
    log_factor: Array  # (k, m, j) what makes of the Gaussian a density per unit of level
    side: NDArray[np.intp]  # (k,) 0 a value, +1 at least, -1 at most


def _read(curves: Curves, levels: Sequence[Level]) -> _Reading:
    grid = curves.grid
    exposed = [_exposed(level, grid) for level in levels]
    if any(level.end == 0 for level in levels):  # a clipped place beside one that is not adds little
        exposed = [e for e, level in zip(exposed, levels, strict=True) if level.end == 0]
    h = np.stack([e.h for e in exposed], axis=1)  # (k, g)
    noise = np.stack([e.noise for e in exposed], axis=1)
    g = h.shape[1]
    # covariance of the places given the anchors, and their means
    cross = _kernel(h, curves.h) + _EXPOSURE_SD**2 if curves.h.shape[1] else np.zeros((len(h), g, 0))
    gain = cross @ curves.whitened
    covariance = _kernel(h, h) + _EXPOSURE_SD**2 - gain @ cross.swapaxes(-1, -2)
    rows = np.arange(g)
    covariance[:, rows, rows] += curves.uneven**2 + noise**2
    inverse = np.linalg.inv(covariance)
    pull = inverse.sum(axis=2)  # (k, g)
    variance = 1 / pull.sum(axis=1)  # (k,)
    mean = (
        curves.slope[..., None] * h[:, None, None, :]
        + curves.centre
        + np.einsum("kmjn,kgn->kmjg", curves.residual, gain)
    )
    middle = np.einsum("kmjg,kg->kmj", mean, pull) * variance[:, None, None]
    log_factor = np.stack([e.log_slope for e in exposed], axis=1).sum(axis=1)[:, None, None]
    values = np.stack([e.open == 0 for e in exposed], axis=1)
    log_factor = log_factor + values.sum(axis=1)[:, None, None] * np.log(curves.slope)
    if g > 1:
        away = mean - middle[..., None]
        _, volume = np.linalg.slogdet(covariance)
        log_factor = (
            log_factor
            - 0.5 * _squared(away, inverse)
            + (0.5 * np.log(2 * np.pi * variance) - 0.5 * volume - 0.5 * g * np.log(2 * np.pi))[:, None, None]
        )
    open_ = exposed[0].open if g == 1 else np.zeros(len(h), dtype=np.intp)
    return _Reading(middle, variance, log_factor, open_)


def _bells(middle: Array, variance: Array, weight: Array, side: np.ndarray, signals: Signals) -> Array:
    """Sum of Gaussians (k, m, j) on the signal axis, (m, g): binned, then blurred by classes of width.

    Where `side` (k,) is +1 or -1 the Gaussian is that of a bound and its distribution counts.
    """
    _, m, _ = middle.shape
    pad, length, place = _places(middle, signals)
    width = np.sqrt(variance)
    smallest = max(width.min(), signals.step)
    classes = np.rint(np.log(np.maximum(width, smallest) / smallest) / 0.25).astype(np.intp)
    frequency = 2 * np.pi * np.fft.rfftfreq(2 * length, signals.step)
    answer = np.zeros((m, length))
    for bound in (-1, 0, 1):
        spectrum = np.zeros((m, len(frequency)), dtype=np.complex128)
        any_binned = False
        for number in np.unique(classes[side == bound]):
            chosen = (classes == number) & (side == bound)
            offset = (np.arange(m) * length)[None, :, None]
            binned = np.bincount(
                (place[chosen] + offset).ravel(), weights=weight[chosen].ravel(), minlength=m * length
            ).reshape(m, length)
            mean_variance = float(np.mean(variance[chosen]))
            spectrum += np.fft.rfft(binned, 2 * length, axis=1) * np.exp(-0.5 * mean_variance * frequency**2)
            any_binned = True
        if any_binned:
            bell = np.maximum(np.fft.irfft(spectrum, axis=1)[:, :length], 0.0)
            if bound == 0:
                answer += bell / signals.step
            elif bound > 0:
                answer += np.cumsum(bell, axis=1)
            else:
                answer += np.cumsum(bell[:, ::-1], axis=1)[:, ::-1]
    return answer[:, pad : pad + signals.count]


def _places(middle: Array, signals: Signals) -> tuple[int, int, NDArray[np.intp]]:
    """The signal axis with room on both sides, so that a centre beyond an end still counts: how much, the
    whole length, and the point nearest to each centre."""
    pad = int(np.ceil(2.0 / signals.step))
    length = signals.count + 2 * pad
    nearest = np.rint((middle - signals.low) / signals.step) + pad
    return pad, length, np.clip(nearest, 0, length - 1).astype(np.intp)


def _weigh(read: _Reading, density: Array, signals: Signals) -> Array:
    """The mean (k, m, j) of each curve's Gaussian over `density` (m, g), or of the bound it is: `_bells`
    read the other way."""
    pad, length, place = _places(read.middle, signals)
    classes = np.rint(np.log(read.variance) / 0.5).astype(np.intp)
    frequency = 2 * np.pi * np.fft.rfftfreq(2 * length, signals.step)
    spectrum = np.fft.rfft(np.pad(density, ((0, 0), (pad, length + pad))), 2 * length, axis=1)
    answer = np.empty_like(read.middle)
    member = np.arange(len(density))[None, :, None]
    for number in np.unique(classes):
        chosen = classes == number
        width = float(np.mean(read.variance[chosen]))
        blurred = np.fft.irfft(spectrum * np.exp(-0.5 * width * frequency**2), axis=1)[:, :length]
        blurred = np.maximum(blurred, 0.0)
        for bound in np.unique(read.side[chosen]):
            some = chosen & (read.side == bound)
            if bound == 0:
                table = blurred / signals.step
            elif bound > 0:
                table = np.cumsum(blurred[:, ::-1], axis=1)[:, ::-1]
            else:
                table = np.cumsum(blurred, axis=1)
            answer[some] = table[member, place[some]]
    return answer * np.exp(read.log_factor)
