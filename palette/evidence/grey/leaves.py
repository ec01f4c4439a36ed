"""What a grey picture leaves of a surface of any level, marked or not: for the colour under the hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.grey import posterior, surfaces
from palette.evidence.grey.inference import interval, signal_index
from palette.evidence.grey.picture import GreyPicture
from palette.evidence.grey.suspects import judged
from palette.evidence.grey.tone import Level
from palette.swatches.model import SwatchList

LEVELS: Array = np.linspace(0.0, 1.0, 65)  # encoded
_STEADY = 0.004  # standard error of a level, as that of a few pixels
_MOST = 6  # paints told


@dataclass(frozen=True)
class Leaves:
    """What one picture, as its anchors calibrate it, leaves at each of `LEVELS`."""

    lightness: Array  # (g, 2), 90 % interval of L*
    likely: tuple[tuple[tuple[str, float], ...], ...]  # (swatch id, probability if it is one of these)


def leaves(picture: GreyPicture, swatches: SwatchList, pause: Callable[[], None] = lambda: None) -> Leaves:
    """What a picture leaves of a surface of which nothing else is known. `pause` is called now and then, and
    may raise."""
    paints, large = surfaces.of_swatches(swatches), surfaces.at_large()
    split = len(paints.reflectance)
    whole = posterior.calibrate(judged({picture.name: picture}).pictures[picture.name])
    index = {picture.name: signal_index(whole.signals, picture.sensitivity, paints, large)}
    lightness = large.lab[large.owner][:, 0]
    bounds, likely = [], []
    for value in LEVELS:
        pause()
        level = Level(float(value), _STEADY, int(value >= 1.0) - int(value <= 0.0))
        rows = posterior.likelihood([(whole, (level,))], index, slice(split, None))
        bounds.append(interval(lightness, rows[split:] / rows[split:].sum()))
        probability = paints.mean(rows[:split]) if len(swatches) else np.zeros(0)
        best = np.argsort(-probability, kind="stable")[:_MOST].tolist()
        total = float(probability.sum()) or 1.0
        likely.append(tuple((swatches.swatches[i].id, float(probability[i]) / total) for i in best))
    return Leaves(np.array(bounds), tuple(likely))
