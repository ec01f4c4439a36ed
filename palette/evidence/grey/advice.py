"""What one more piece of evidence would tell, as expected bits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour import responses
from palette.colour.spaces import Array
from palette.evidence.grey.answer import GreyPart
from palette.evidence.grey.inference import Working
from palette.evidence.grey.picture import Sensitivity
from palette.evidence.grey.surfaces import Surfaces

# A picture yet to be found is thought of as three anchors would leave it: its unevenness, and as much again
# for what remains unknown of its curve.
_NEW_NOISE = float(np.hypot(0.10, 0.08))
_STOCKS = ("panchromatic", "orthochromatic", "blue-sensitive")
_STEP = 0.02


@dataclass(frozen=True)
class Advice:
    what: str
    bits: float  # expected gain over what is known, about the kit's paints or, without any, colours at large


def advice(part: GreyPart, working: Working) -> tuple[Advice, ...]:
    """Each thing one could still look for, the most telling first."""
    surfaces, rows = _asked(part, working)
    weight = rows / rows.sum()
    owners = surfaces.owner
    advised: list[Advice] = []
    key = working.paint[part.part]
    shown = [picture for picture in working.pictures.values() if key in picture.levels]
    for name in _STOCKS:
        sensitivity = Sensitivity.of(responses.named(name), "D55")
        again = any(picture.sensitivity.response.name == name for picture in shown)
        gain = _information(sensitivity.log_signals(surfaces), weight, owners, _NEW_NOISE)
        word = "another picture" if again else "a picture"
        advised.append(Advice(f"{word} on {sensitivity.response.title} stock, with three anchors", gain))
    for picture in shown:
        one = working.calibrated[picture.name, key]
        table = one.curves.signal_density(picture.levels[key], one.signals).sum(axis=0)
        points = one.signals.points
        table = table / table.sum()
        middle = float(table @ points)
        width = float(np.sqrt(max(table @ (points - middle) ** 2, 1e-6)))
        if width > 1.15 * picture.uneven:
            signals = picture.sensitivity.log_signals(surfaces)
            # the same level, read through a curve that an anchor beside it has fixed
            equal = _equal(surfaces)
            sharp = _information(signals, equal, owners, 1.2 * picture.uneven)
            blunt = _information(signals, equal, owners, width)
            shade = "dark" if middle < -2.0 else "light" if middle < -0.45 else "nearly white"
            shade = "mid-grey" if -2.0 <= middle < -1.0 else shade
            advised.append(
                Advice(
                    f"one more anchor in {picture.name!r}, {shade} like the part itself",
                    max(sharp - blunt, 0.0),
                )
            )
    return tuple(sorted(advised, key=lambda a: -a.bits))


def _asked(part: GreyPart, working: Working) -> tuple[Surfaces, Array]:
    rows = working.rows[working.paint[part.part]]
    split = len(working.paints.reflectance)
    if len(working.swatches):
        counts = np.bincount(working.paints.owner)
        return working.paints, rows[:split] / counts[working.paints.owner]
    return working.large, rows[split:]


def _equal(surfaces: Surfaces) -> Array:
    counts = np.bincount(surfaces.owner)
    return np.asarray(1 / counts[surfaces.owner] / len(counts))


def _information(log_signals: Array, weight: Array, owner: np.ndarray, noise: float) -> float:
    """Mutual information, in bits, of the surface and a reading of its signal with that much noise.

    `log_signals` (r, m) under each member, `weight` (r,) of the rows, `owner` (r,) the surface of each.
    """
    room = max(1.0, 5.0 * noise)  # what is blurred over one end must not come in at the other
    low, high = float(log_signals.min()) - room, float(log_signals.max()) + room
    count = int(np.ceil((high - low) / _STEP))
    n, m = int(owner.max()) + 1, log_signals.shape[1]
    place = ((log_signals - low) / _STEP).astype(np.intp).clip(0, count - 1)
    flat = (owner[:, None] * count + place).ravel()
    joint = np.bincount(flat, np.repeat(weight / m, m), minlength=n * count).reshape(n, count)
    keep = joint.sum(axis=1) > 1e-6
    frequency = 2 * np.pi * np.fft.rfftfreq(count, _STEP)
    blurred = np.fft.irfft(np.fft.rfft(joint[keep], axis=1) * np.exp(-0.5 * (noise * frequency) ** 2), count)
    blurred = np.maximum(blurred, 0.0) / max(blurred.sum(), 1e-300)
    whole = blurred.sum(axis=0, keepdims=True) * blurred.sum(axis=1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        terms = blurred * np.log2(blurred / whole)
    return float(np.nansum(np.where(blurred > 1e-15, terms, 0.0)))
