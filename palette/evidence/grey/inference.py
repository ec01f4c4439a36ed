"""The posterior over a kit's paints, and over colours at large, for the parts seen in grey."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.families import even_normals
from palette.colour.spaces import Array
from palette.colour.uncertain import Uncertain
from palette.evidence.grey import posterior, surfaces
from palette.evidence.grey.answer import Candidate, GreyAnswer, GreyPart, GreyReading
from palette.evidence.grey.notes import (
    BeyondAnchors,
    IsCopy,
    NoContrast,
    NoExposure,
    PartClipped,
    WithComparison,
    WithHint,
)
from palette.evidence.grey.picture import GreyPicture, Sensitivity
from palette.evidence.grey.posterior import Calibrated
from palette.evidence.grey.reading import Read, counted_elsewhere, grey_picture, read_all
from palette.evidence.grey.surfaces import Surfaces
from palette.evidence.grey.suspects import judged
from palette.evidence.grey.testimony import (
    combined,
    hint_factor,
    lighter_factor,
    relations,
)
from palette.evidence.grey.tone import Level, Signals
from palette.kit.model import Kit
from palette.kit.paints import same_paint
from palette.memory import remembered
from palette.notes import Note
from palette.swatches.model import SwatchList

_SMOOTH = np.array([1.5, 2.0, 2.0])  # the points of the prior stand about so far apart, in L*, a*, b*


@dataclass(frozen=True)
class Working:
    """What the answer was made from, for the plots that explain it."""

    kit: Kit
    swatches: SwatchList
    paints: Surfaces
    large: Surfaces
    pictures: Mapping[str, GreyPicture]
    paint: Mapping[str, str]
    calibrated: Mapping[tuple[str, str], Calibrated]  # by picture and part's paint
    rows: Mapping[str, Array]  # by part's paint: posterior weight of each row, paints' then at large
    log_signals: Mapping[str, Array]  # by picture: (r, m)
    against: Mapping[str, tuple[str, ...]]  # by part's paint: pictures that contradict its known colour


def infer(
    kit: Kit, swatches: SwatchList, known: Mapping[str, Uncertain] | None = None, draws: int = 0
) -> GreyAnswer:
    """Likely colours of every part that a grey reference shows.

    `known` are parts whose colour is settled from elsewhere: in a picture they share they are anchors
    for the others, never for themselves. `draws` colours at large are drawn for each part. The same kit
    gives the same answer.

    Raises:
        InputError: with every problem of the grey references, and their pictures.
    """
    known = known or {}
    reads = read_all(kit)
    paint = same_paint(kit)
    warnings: list[Note] = []
    pictures: dict[str, GreyPicture] = {}
    instead = counted_elsewhere(reads, paint)
    for read in reads:
        id = read.reference.id
        seen, notes = grey_picture(
            read, paint, swatches, known, {key for other, key in instead if other == id}
        )
        warnings += notes
        if seen.levels:
            pictures[id] = seen
    trial = judged(pictures)
    pictures = dict(trial.pictures)
    warnings += trial.notes
    paints, large = surfaces.of_swatches(swatches), surfaces.at_large()
    split = len(paints.reflectance)
    signals = {name: _signals(v.sensitivity, paints, large) for name, v in pictures.items()}
    wanted = [p.id for p in kit.parts if any(s == p.id for read in reads for s, _ in read.samples)]

    whole = {name: posterior.calibrate(v) for name, v in pictures.items()}
    index = {name: _index(whole[name].signals, s) for name, s in signals.items()}
    keys = list(dict.fromkeys(paint[id] for id in wanted))
    calibrated: dict[tuple[str, str], Calibrated] = {}
    shown: dict[str, dict[str, tuple[Level, ...]]] = {key: {} for key in keys}
    for name, v in pictures.items():
        anchors = {a.part for a in v.anchors}
        for key in v.levels:
            calibrated[name, key] = posterior.calibrate(v, without=key) if key in anchors else whole[name]
            if key not in anchors:  # an anchor counts already
                shown[key][name] = v.levels[key]
    calibrated |= posterior.together(whole, shown, index, paints)
    pictured = {
        key: posterior.likelihood(
            [(calibrated[name, key], v.levels[key]) for name, v in pictures.items() if key in v.levels],
            index,
            slice(split, None),
        )
        for key in keys
    }
    lab = np.concatenate([paints.lab[paints.owner], large.lab[large.owner]])
    said, spoken = _testimony(kit, paint, keys, pictured, lab, large, split, known)
    rows = {key: pictured[key] * said[key] for key in keys}
    working = Working(kit, swatches, paints, large, pictures, paint, calibrated, rows, signals, trial.against)
    parts = tuple(
        _part(working, id, [r for r in reads if any(s == id for s, _ in r.samples)], instead, spoken, draws)
        for id in wanted
    )
    return GreyAnswer(parts, tuple(dict.fromkeys(warnings)), working)


@remembered()
def _signals(sensitivity: Sensitivity, paints: Surfaces, large: Surfaces) -> Array:
    return np.concatenate([sensitivity.log_signals(paints), sensitivity.log_signals(large)])


def signal_index(
    signals: Signals, sensitivity: Sensitivity, paints: Surfaces, large: Surfaces
) -> NDArray[np.intp]:
    """The rows' log signals under a picture's members as indices on its axis (r, m): the paints' rows, then
    those at large."""
    return _index(signals, _signals(sensitivity, paints, large))


@remembered()
def _index(signals: Signals, logs: Array) -> NDArray[np.intp]:
    return signals.index(logs)


def _testimony(
    kit: Kit,
    paint: Mapping[str, str],
    keys: list[str],
    pictured: Mapping[str, Array],
    lab: Array,
    large: Surfaces,
    split: int,
    known: Mapping[str, Uncertain],
) -> tuple[dict[str, Array], dict[str, list[Note]]]:
    """Factors (r,) of what people said, by paint, and what was made of it."""
    spoken: dict[str, list[Note]] = {key: [] for key in keys}
    hinted: dict[str, Array] = {}
    for key in {paint[p.id] for p in kit.parts}:
        factors = [
            hint_factor(hint, lab, large.lab) for p in kit.parts if paint[p.id] == key for hint in p.hints
        ]
        hinted[key] = combined(factors, len(lab))
        if key in spoken:
            spoken[key] += [
                WithHint(hint.words, hint.source or "")
                for p in kit.parts
                if paint[p.id] == key
                for hint in p.hints
            ]
    said = {key: hinted[key] for key in keys}
    settled = {paint[id]: u for id, u in known.items() if id in paint}
    for lighter, darker in relations(kit, paint):
        for one, other in ((lighter, darker), (darker, lighter)):
            if one not in said:
                continue
            if other in settled:
                deviation = float(np.sqrt(max(settled[other].covariance[0, 0], 1e-6)))
                lightness = settled[other].lab[0] + deviation * even_normals(64, 1)[:, 0]
                weight = np.full(64, 1 / 64)
            elif other in pictured:
                lightness = lab[split:, 0]
                weight = pictured[other][split:] * hinted[other][split:]
                weight = weight / weight.sum()
            else:
                continue
            said[one] = said[one] * lighter_factor(lab[:, 0], lightness, weight, one == lighter)
            spoken[one].append(WithComparison(one == lighter, other))
    return said, spoken


def _part(
    working: Working,
    id: str,
    reads: list[Read],
    instead: Mapping[tuple[str, str], str],
    spoken: Mapping[str, list[Note]],
    draws: int,
) -> GreyPart:
    key = working.paint[id]
    rows = working.rows[key]
    split = len(working.paints.reflectance)
    swatches = working.swatches.swatches
    probability = working.paints.mean(rows[:split]) if swatches else np.zeros(0)
    probability = probability / probability.sum() if swatches else probability
    order = np.argsort(-probability, kind="stable")
    large = working.large
    weight = rows[split:] / rows[split:].sum()
    lab = large.lab[large.owner]
    mean = weight @ lab
    covariance = (lab - mean).T @ ((lab - mean) * weight[:, None]) + np.diag(_SMOOTH**2)
    readings: list[GreyReading] = []
    notes: list[Note] = list(spoken[key])
    for read in reads:
        for part, level in read.samples:
            if part != id:
                continue
            response = read.reference.response
            name = response if isinstance(response, str) else str(response)
            one = read.reference.id
            other = instead.get((one, key), "")
            readings.append(GreyReading(one, level.value, name, level.end, other))
            if other:
                notes.append(IsCopy(one, other))
            else:
                notes += _level_notes(working.pictures[one], level)
    return GreyPart(
        id,
        tuple(readings),
        interval(lab[:, 0], weight),
        posterior.bits(probability),
        tuple(
            Candidate(swatches[i].id, swatches[i].name, swatches[i].lab, float(probability[i])) for i in order
        ),
        _draw(lab, weight, draws),
        mean,
        covariance,
        tuple(dict.fromkeys(notes)),
    )


def _level_notes(picture: GreyPicture, level: Level) -> list[Note]:
    notes: list[Note] = []
    firm = [a for a in picture.anchors if a.lab is not None]
    if level.end > 0:
        notes.append(PartClipped(picture.name, white=True))
    elif level.end < 0:
        notes.append(PartClipped(picture.name, white=False))
    elif firm:
        if level.value > max(a.level.value for a in firm) + 0.004:
            notes.append(BeyondAnchors(picture.name, lighter=True))
        elif level.value < min(a.level.value for a in firm) - 0.004:
            notes.append(BeyondAnchors(picture.name, lighter=False))
    if not firm:
        notes.append(NoExposure(picture.name))
    elif len(firm) == 1:
        notes.append(NoContrast(picture.name))
    return notes


def lightness_odds(lightness: Array, weight: Array) -> tuple[Array, Array]:
    """L* in steps of 0.25, and the probability that the surface is no lighter, both (g,).

    Of surfaces at `lightness` (r,) with posterior `weight` (r,), each of which stands for those around it.
    """
    edges = np.arange(-10.0, 110.01, 0.25)
    share, _ = np.histogram(lightness, edges, weights=weight)
    away = np.arange(-20, 21) * 0.25 / _SMOOTH[0]
    kernel = np.exp(-0.5 * away**2)
    cumulative = np.cumsum(np.convolve(share, kernel, mode="same"))
    return edges[1:], np.asarray(cumulative / cumulative[-1])


def interval(lightness: Array, weight: Array, share: float = 0.9) -> tuple[float, float]:
    """The bounds of L* that hold so large a share of surfaces at `lightness` (r,) of that weight (r,)."""
    points, odds = lightness_odds(lightness, weight)
    low, high = np.interp([(1 - share) / 2, (1 + share) / 2], odds, points)
    return max(float(low), 0.0), min(float(high), 100.0)


def _draw(lab: Array, weight: Array, count: int) -> Array:
    """(count, 3): by systematic resampling, blurred by the distance between the prior's points."""
    if count == 0:
        return np.zeros((0, 3))
    rng = np.random.default_rng(1666)
    ladder = (np.arange(count) + 0.5) / count
    chosen = np.searchsorted(np.cumsum(weight), ladder).clip(0, len(weight) - 1)
    drawn = lab[rng.permutation(chosen)] + rng.standard_normal((count, 3)) * _SMOOTH
    drawn[:, 0] = np.clip(drawn[:, 0], 0.0, 100.0)
    return np.asarray(drawn)
