"""One painted box: its colour as the picture shows it, or why it cannot be read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, linear_to_lab
from palette.paints.card import layout
from palette.paints.card.light import LUMINANCE, Light
from palette.paints.card.sheet import Sheet

# Limits of what can be read; common practice, no source.
_SHOWS, _HIDES = 5.0, 1.5  # L* by which the black bar may show through: not at all, and without a word
_KEPT = 0.5  # share of a box that must be usable paint
_UNEVEN = 0.12  # sd of log light from cell to cell
_SHADOW = 0.06  # log light by which paper near a box may miss the smooth shape
_BARE = 0.06  # of the paper's light: a box this near to paper is unpainted where its bar shows
_SLOPE = 0.2  # sd of a camera's local contrast, log by log: dividing out light takes it for 1
_CELLS = 4
_ABOVE = 0.2  # how far a burnt-out channel may have been above the top of its range


@dataclass(frozen=True)
class BoxReading:
    """What a box shows: linear light with the light's fall divided out, (3,) and (3, 3), and remarks.

    `reason` says why it is left out; `painted` is False for a box with nothing in it.
    """

    linear: Array
    covariance: Array
    reason: str = ""
    notes: tuple[str, ...] = ()
    painted: bool = True


def _left_out(reason: str, painted: bool = True) -> BoxReading:
    return BoxReading(np.zeros(3), np.zeros((3, 3)), reason, painted=painted)


def evened(sheet: Sheet, light: Light, rect: layout.Rect) -> tuple[Array, NDArray[np.bool_]]:
    """The pixels (h, w, 3) of a rectangle as under the light of the sheet's middle, and which are clipped."""
    pixels, clipped = sheet.cut(rect)
    height, width = pixels.shape[:2]
    x = rect.x + (np.arange(width) + 0.5) / sheet.scale
    y = rect.y + (np.arange(height) + 0.5) / sheet.scale
    points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return pixels / np.exp(light.shape(points)).reshape(height, width, 3), clipped


def fall_covariance(light: Light, linear: Array, centre: tuple[float, float]) -> Array:
    """What dividing out the light leaves unsure of a reading, (3, 3)."""
    fall = light.shape(np.array([centre]))[0]
    sd = linear * np.hypot(_SLOPE * fall, light.noise)
    return np.asarray(np.outer(sd, sd))


def read_box(sheet: Sheet, light: Light, rect: layout.Rect) -> BoxReading:
    """Measure one box."""
    pixels, clipped = evened(sheet, light, rect)
    scale = sheet.scale
    ratio = pixels / light.paper

    def zone(left: float, right: float) -> tuple[slice, slice]:
        return (
            slice(round(1.6 * scale), round((rect.height - 1.6) * scale)),
            slice(round(left * scale), round(right * scale)),
        )

    bar = zone(1.2, layout.BAR - 1.0)
    field = zone(layout.BAR + 1.6, rect.width - 1.6)
    over_bar = ratio[bar].reshape(-1, 3)
    over_paper, burnt = ratio[field], clipped[field]
    if not np.isfinite(over_paper).all():
        return _left_out("the picture is transparent there")
    luminance = over_paper @ LUMINANCE
    middle = np.median(over_paper.reshape(-1, 3), axis=0)
    bar_middle = np.median(over_bar, axis=0)
    shows = float(_lightness(middle) - _lightness(bar_middle))
    if np.abs(middle - 1).max() < _BARE and shows > 20:
        if (np.abs(over_paper - 1).max(axis=-1) > 0.25).mean() > 0.05:
            return _left_out("most of it is bare")
        return _left_out("it is not painted", painted=False)
    if light.lost(rect.centre):
        return _left_out("the paper round it is burnt out")
    if light.miss(rect.centre) > _SHADOW:
        return _left_out("the light falls unevenly round it, as at a shadow's edge")

    noise = 1.4826 * float(np.median(np.abs(luminance - middle @ LUMINANCE)))
    limit = max(0.04 + 0.1 * float(middle @ LUMINANCE), 4 * noise)
    far = np.abs(luminance - middle @ LUMINANCE) > limit
    lighter = far & (luminance > middle @ LUMINANCE)
    burnt = burnt & (over_paper * light.paper > 0.5)  # those at the other end are for the correction to judge
    bare = lighter & (np.abs(over_paper - 1).max(axis=-1) < 0.2) & ~burnt.any(axis=-1)
    top = burnt.all(axis=-1)
    usable = ~_grown(far | top, round(0.4 * scale))
    kept = float(usable.mean())
    if kept < _KEPT:
        gaps, glare = float(bare.mean()), float(((lighter & ~bare) | top).mean())
        if max(gaps, glare) < 0.05:
            return _left_out("the paint lies too unevenly")
        if glare > gaps:
            return _left_out(f"glare lies on {100 * glare:.0f} % of it")
        return _left_out(f"{100 * gaps:.0f} % of it is bare")
    seen = over_paper[usable]
    cells = _cell_means(over_paper, usable)
    uneven = float(np.std(np.log(np.maximum(cells @ LUMINANCE, 1e-3) + 0.02)))
    if uneven > _UNEVEN:
        return _left_out(f"its light varies by {100 * uneven:.0f} % from place to place: paint or sheen")
    mean = seen.mean(axis=0)
    shows = float(_lightness(mean) - _lightness(bar_middle))
    if shows > _SHOWS and bare.mean() > 0.1:
        return _left_out(f"{100 * bare.mean():.0f} % of it is bare, and of its black bar too")
    if shows > _SHOWS:
        return _left_out(f"the black bar shows through, {shows:.0f} L* darker; brush on another coat")
    notes = []
    if shows > _HIDES:
        notes.append(f"the black bar shows through a little ({shows:.1f} L*)")
    if kept < 0.85:
        notes.append(f"{100 * (1 - kept):.0f} % of it, glare or gaps, is left out")
    # Cells of one brush stroke are alike: as if a quarter of them were independent.
    covariance = np.cov(cells.T) / max(1.0, len(cells) / 4) * np.outer(light.paper, light.paper)
    linear = mean * light.paper
    lost = burnt[usable].mean(axis=0)
    if lost.max() > 0.05:
        channels = ("red", "green", "blue")
        which = " and ".join(channel for channel, share in zip(channels, lost, strict=True) if share > 0.05)
        notes.append(f"burnt out in {which}, so it is wide; expose darker")
    linear = linear * (1 + _ABOVE / 2 * lost)
    covariance = covariance + np.diag((_ABOVE * lost * linear) ** 2)
    covariance = covariance + fall_covariance(light, linear, rect.centre)
    return BoxReading(linear, covariance, notes=tuple(notes))


def _lightness(ratio: Array) -> float:
    return float(linear_to_lab(np.maximum(ratio, 0.0))[0])


def _grown(mask: NDArray[np.bool_], by: int) -> NDArray[np.bool_]:
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(mask, iterations=by), dtype=np.bool_) if by else mask


def _cell_means(values: Array, usable: NDArray[np.bool_]) -> Array:
    """Means (n, 3) of a grid of cells, of the usable pixels of each that has a fair share of them."""
    means = []
    rows = zip(np.array_split(values, _CELLS, axis=0), np.array_split(usable, _CELLS, axis=0), strict=True)
    for row, good in rows:
        columns = zip(np.array_split(row, _CELLS, axis=1), np.array_split(good, _CELLS, axis=1), strict=True)
        means += [cell[keep].mean(axis=0) for cell, keep in columns if keep.mean() > 0.3]
    return np.array(means)
