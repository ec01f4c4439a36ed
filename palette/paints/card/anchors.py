"""What is known on a sheet: the grey card or the chart in its frame, or only its paper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array, lab_to_linear
from palette.errors import InputError, Problem
from palette.evidence.correction import AnchorReading
from palette.notes import Note
from palette.paints.card import charts, layout
from palette.paints.card.box import evened, fall_covariance
from palette.paints.card.light import LUMINANCE, Light
from palette.paints.card.notes import ByPaper, GreyCardUnstated
from palette.paints.card.sheet import Sheet

# Plain white printing paper under D65, from memory: L* 90 to 97, often bluish by its brightener.
_PAPER = np.array([94.0, 0.5, -4.0])
_PAPER_COVARIANCE = np.diag([2.0, 1.0, 4.0]) ** 2
_CHART_SPREAD = 2.0  # published sets of the chart lie that far apart, nine times in ten
_PITCH = np.arange(9.0, 18.2, 0.4)  # millimetres from patch to patch that fit the frame
_LEAST_FIT = 0.75  # share of the variance of published colours that those seen must explain


@dataclass(frozen=True)
class Known:
    """Anchors of a sheet, and what to tell of them."""

    anchors: tuple[AnchorReading, ...]
    notes: tuple[Note, ...] = ()


def known(sheet: Sheet, light: Light, grey: float | None, chart: str | None) -> Known:
    """The anchors of a sheet: a chart (its name), a grey card of lightness `grey`, or what lies there.

    Raises:
        InputError: the chart or card that is said to lie in the frame does not.
    """
    frame = layout.PLACE
    corners = [
        (frame.x + across, frame.y + down) for across in (0, frame.width) for down in (0, frame.height)
    ]
    if any(light.lost(place) for place in (frame.centre, *corners)):
        remedy = "expose it darker, so that the paper is light grey in the picture"
        raise InputError(Problem(str(sheet.file), None, "is overexposed round the frame", remedy))
    if chart is not None:
        return Known(_chart(sheet, light, chart))
    pixels, clipped = evened(sheet, light, layout.PLACE.inside(32, 20, 32, 20))
    flat = pixels.reshape(-1, 3)
    mean = np.median(flat, axis=0)
    bare = float(np.abs(mean / light.paper - 1).max()) < 0.06
    if grey is None and bare:
        return Known((_paper(light),), (ByPaper(),))
    if bare and grey is not None and grey < 88:
        what = "shows no grey card in the frame"
        raise InputError(Problem(str(sheet.file), None, what, "lay it there, or leave out --grey"))
    spread = 1.4826 * np.median(np.abs(flat @ LUMINANCE - mean @ LUMINANCE)) / max(mean @ LUMINANCE, 1e-6)
    if spread > 0.1:
        what = "shows something patterned in the frame, not a grey card"
        remedy = "say --chart if it is one; else photograph it without shadow, glare or grain on it"
        raise InputError(Problem(str(sheet.file), None, what, remedy))
    covariance = np.cov(flat.T) / 50 + fall_covariance(light, mean, layout.PLACE.centre)
    share = clipped.reshape(-1, 3).mean(axis=0)
    lab = None if grey is None else np.array([grey, 0.0, 0.0])
    card = AnchorReading("the grey card", mean, covariance, lab, clipped=share)
    return Known((card, _paper(light)), () if grey is not None else (GreyCardUnstated(),))


def _paper(light: Light) -> AnchorReading:
    covariance = np.diag((light.noise * light.paper) ** 2 + 1e-6)
    return AnchorReading("the paper", light.paper, covariance, _PAPER, _PAPER_COVARIANCE)


def _chart(sheet: Sheet, light: Light, name: str) -> tuple[AnchorReading, ...]:
    pixels, clipped = evened(sheet, light, layout.PLACE)
    patches, lab = charts.chart(name)
    place = _find_chart(pixels, sheet.scale, lab)
    if place is None:
        raise InputError(
            Problem(
                str(sheet.file),
                None,
                "shows no 24-patch chart in the frame",
                "lay it inside the frame, its rows along the longer side",
            )
        )
    centres, half = place
    anchors = []
    for patch, truth, (x, y) in zip(patches, lab, centres, strict=True):
        seen = pixels[_square(x, y, half)].reshape(-1, 3)
        centre = (layout.PLACE.x + x / sheet.scale, layout.PLACE.y + y / sheet.scale)
        mean = np.median(seen, axis=0)
        covariance = np.cov(seen.T) / max(len(seen) / 16, 1) + fall_covariance(light, mean, centre)
        share = clipped[_square(x, y, half)].reshape(-1, 3).mean(axis=0)
        anchors.append(AnchorReading(patch, mean, covariance, truth, spread=_CHART_SPREAD, clipped=share))
    return tuple(anchors)


def _find_chart(pixels: Array, scale: float, lab: Array) -> tuple[Array, float] | None:
    """Where the patches of a chart lie: centres (24, 2) in pixels, and half the side to measure.

    Every pitch and place is tried, both ways up, for squares that are uniform and whose light differs from
    the published by one gain a channel; then the best is turned and moved until it sits amid its patches.
    What is found is a chart if the published colours follow from the seen ones.
    """
    height, width = pixels.shape[:2]
    log = np.log(np.maximum(pixels, 1e-3))
    sums = _summed(log), _summed((log**2).sum(axis=-1, keepdims=True))
    want = np.log(np.maximum(lab_to_linear(lab), 0.01))
    column, row = np.meshgrid(np.arange(6) - 2.5, np.arange(4) - 1.5)
    grid = np.stack([column.ravel(), row.ravel()], axis=1)
    tried: list[tuple[float, Array, float]] = []
    for pitch in _PITCH * scale:
        half = max(int(0.2 * pitch), 1)
        reach_x, reach_y = 2.5 * pitch + half + 1, 1.5 * pitch + half + 1
        if 2 * reach_x >= width or 2 * reach_y >= height:
            continue
        step = max(0.08 * pitch, 1.0)
        xs, ys = np.arange(reach_x, width - reach_x, step), np.arange(reach_y, height - reach_y, step)
        middles = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        for sign in (1.0, -1.0):
            cost = _misfit(sums, middles[:, None] + sign * pitch * grid, half, want)[0]
            i = int(np.argmin(cost))
            tried.append((float(cost[i]), middles[i], sign * pitch))
    if not tried:
        return None
    _, middle, pitch = min(tried, key=lambda each: each[0])
    size, turn = abs(pitch), 0.0
    half = int(0.36 * size)  # wide enough to feel the gaps between the patches
    for reach in (0.24, 0.12, 0.06, 0.03):
        moves = np.stack(np.meshgrid(*[np.linspace(-1, 1, 5)] * 4, indexing="ij"), axis=-1).reshape(-1, 4) * [
            reach * size,
            reach * size,
            reach * size / 3,
            reach / 4,
        ]
        pitches = pitch + np.sign(pitch) * moves[:, 2]
        turned = np.array([grid @ _turned(turn + move) for move in moves[:, 3]])
        places = middle + moves[:, None, :2] + pitches[:, None, None] * turned
        inside = ((places > half + 1) & (places < [width - half - 2, height - half - 2])).all(axis=(1, 2))
        if not inside.any():
            return None
        moves, places = moves[inside], places[inside]
        best = int(np.argmin(_misfit(sums, places, half, want)[1]))
        middle, pitch = middle + moves[best, :2], pitch + np.sign(pitch) * moves[best, 2]
        turn += float(moves[best, 3])
    centres = middle + pitch * grid @ _turned(turn)
    half = max(0.28 * abs(pitch), 1.0)
    return (centres, half) if _follows(pixels, centres, half, lab) > _LEAST_FIT else None


def _square(x: float, y: float, half: float) -> tuple[slice, slice]:
    return slice(int(y - half), int(y + half) + 1), slice(int(x - half), int(x + half) + 1)


def _turned(angle: float) -> Array:
    return np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])


def _follows(pixels: Array, centres: Array, half: float, lab: Array) -> float:
    """The share of the variance of the published colours that a straight map of the seen ones explains."""
    seen = np.array([np.median(pixels[_square(x, y, half)], axis=(0, 1)) for x, y in centres])
    terms = np.column_stack([np.ones(len(seen)), np.cbrt(seen)])
    want = np.cbrt(lab_to_linear(lab))
    left = want - terms @ np.linalg.lstsq(terms, want, rcond=None)[0]
    return float(1 - (left**2).sum() / ((want - want.mean(axis=0)) ** 2).sum())


def _summed(values: Array) -> Array:
    return np.pad(values.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0), (0, 0)))


def _misfit(sums: tuple[Array, Array], places: Array, half: int, want: Array) -> tuple[Array, Array]:
    """How far squares round `places` (n, 24, 2) are from a chart, and from uniform, as log light (n,)."""
    x, y = np.rint(places).astype(int)[..., 0], np.rint(places).astype(int)[..., 1]
    area = (2 * half + 1) ** 2

    def total(table: Array) -> Array:
        return np.asarray(
            table[y + half + 1, x + half + 1] - table[y - half, x + half + 1]
            - table[y + half + 1, x - half] + table[y - half, x - half]
        )  # fmt: skip

    mean = total(sums[0]) / area
    rough = np.maximum(total(sums[1])[..., 0] / area - (mean**2).sum(axis=-1), 0) / 3
    off = mean - want
    off = off - np.median(off, axis=1, keepdims=True)
    uneven = rough.mean(axis=1)
    return np.sqrt((np.minimum(np.abs(off), 1.5) ** 2).mean(axis=(1, 2)) + uneven), np.sqrt(uneven)
