"""The body colour of the lit surface, told from gloss, shadow and other surfaces.

The dichromatic reflection model (Shafer, Color Research & Application 10 (1985) 210-218): light from a
painted surface is s · body + g · gloss, where s follows the shading and the gloss has the lamp's colour.
Matt pixels thus lie on a line from black through the body colour; gloss leaves it upwards towards the lamp,
another paint lies on another line. The work is done on means of small cells of pixels, whose noise is less,
and nothing is taken away that noise could have made: a flat patch gives the plain mean of its pixels.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, linear_to_lab
from palette.evidence.measure.defects import srgb_slope
from palette.evidence.measure.grain import clumping, neighbours
from palette.evidence.measure.notes import GlossTakenOff, LeftOut, LightEdge, SeveralColours, Shaded
from palette.evidence.pictures.blocks import sums
from palette.notes import Note

_CELLS = 1600  # cells that a region is cut into at most
_OFF_LINE = 6.0  # a cell this many noise widths off the body line is not the body
_NOISE_FLOOR = 0.006  # of the body's own light: differences of 3.6 % and less are never called foreign
_LEVEL_FLOOR = 1 / 255  # of the encoded range: what compression does to colour is never called foreign
_BLOCK_FLOOR = 4 / 255  # the same where it is seen to be strong
_BUMP = 0.15  # a cell this much brighter or darker than the smooth shading is a spot
_SPOTS = 0.12  # of the area at most: beyond, they are the surface
_GLARE = 0.45  # the same for a highlight that has a peak
_GLOW = 0.35  # of a highlight's radius: as far again it still lifts what is around it
_MIXED = 0.25  # share of other colour from which the sample is of two surfaces
_PATCHED = 0.15  # the same where the two are told by chroma alone …
_APART = 15.0  # … which differs by this much, CIELAB a* and b* at one lightness; common practice, no source
_CLIPPED = 0.02  # share of a cell's pixels from which its channel is not trusted
_VEIL = 0.03  # of the light: less of it is not called gloss
_LEAN = 0.05  # sine of the angle between body and lamp from which gloss is told from body
_PEAK = 1.08  # times what shading gives, from which a peak of the light is gloss
_LIT = 0.05  # the lit part is this share of the surface, its brightest by the smooth shading
_FLAT, _SHADED = 0.06, 0.15  # log range of the shading: below, unevenness; above, shape
# The range of the smooth run of the light in errors of it: below, chance (a normal spread has 4); above,
# shading.
_CHANCE, _SURE = 6.0, 10.0
_LEVELS = 0.94  # of the variance of the light that three levels take away, from which it is in levels …
_STEP, _SIDE = 0.12, 0.1  # … where the brighter of two has so much more, and each so much of the surface
_PATCHES = 36  # whose means tell how far chance goes that is alike from pixel to pixel


Light = NDArray[np.float32]  # what there is of every pixel: half the memory, and more precise than any file


@dataclass(frozen=True)
class Body:
    """`linear` (3,); `kept` (h, w) where the body was seen; `rest` (h, w, 3) what the pixels there depart by
    from the body under the shading found, 0 elsewhere; `clipped` (3,) the share there at an end of its range;
    `ambiguity` (3, 3) covariance of what the separation left open; notes."""

    linear: Array
    kept: np.ndarray
    rest: Light
    clipped: Array
    ambiguity: Array
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class _Cells:
    colour: Array  # (m, 3)
    weight: Array  # (m,)
    place: Array  # (m, 2) in -1..1
    index: tuple[np.ndarray, np.ndarray]  # (m,) row and column in the grid of cells
    grid: tuple[int, int]
    step: int
    unclipped: Array  # (m, 3) 1 where the channel is not clipped, 0 where it is (1 where all are)

    def spread(self, values: np.ndarray, shape: tuple[int, int]) -> np.ndarray:
        """One value a cell (m, …) to one a pixel (h, w, …); zero where there is no cell."""
        grid = np.zeros((*self.grid, *values.shape[1:]), dtype=values.dtype)
        grid[self.index] = values
        return np.repeat(np.repeat(grid, self.step, 0), self.step, 1)[: shape[0], : shape[1]]


def body(linear: Light, weights: np.ndarray, ends: np.ndarray, blocks: bool = False) -> Body:
    """The body colour in linear light (h, w, 3), zero outside the region, weighted by `weights` (h, w), which
    may be the region's mask; `ends` (h, w, 3) marks clipped channels, or gives their shares; `blocks` says
    that JPEG blocks show."""
    mask = weights > 0
    mean = _mean(linear, weights)
    cells = _cut(linear, weights, mask, ends)
    # Where most of it is without any light there is no line to find: black is its colour.
    if len(cells.weight) < 9 or _weighted_median(cells.colour.sum(axis=1), cells.weight) <= 0:
        return Body(mean, mask, _rest(linear, mean, mask), _lost(ends, mask), np.zeros((3, 3)), ())

    noise = _noise(cells)
    floor = _BLOCK_FLOOR if blocks else _LEVEL_FLOOR
    foreign, line = _foreign(cells, noise, floor)
    light = _along(cells, line)
    spots = _spots(cells, light, ~foreign)
    ambiguity, notes = _explain(cells, foreign, spots, line)
    own = ~foreign & (spots == 0)
    if not any(isinstance(note, SeveralColours) for note in notes):
        other = _other(cells, own, light, noise)
        if other.any():
            notes.insert(0, SeveralColours(_share(cells, other)))
            ambiguity = ambiguity + _either(cells, other, own & ~other)
    if not own.all():
        own = _clear(cells, own, foreign & _brighter(cells, own) | (spots > 0))
    terms = _terms(cells, own)
    edge = _edge(light[own], cells.weight[own])
    veil = None if edge else _veil(cells, own, line, noise, floor, terms)
    if veil:
        cells = replace(cells, colour=cells.colour - veil.light)
        line = _line(cells, own)
        light = _along(cells, line)
        ambiguity = ambiguity + veil.ambiguity
        notes.append(GlossTakenOff(veil.share))
    smooth = _smooth(terms, light, cells.weight * own)
    lit, range_, peak = (*edge[:2], 0.0) if edge else _lit(cells, line, light, smooth, own, terms.shape[1])

    kept = cells.spread(own, mask.shape) & mask
    if veil:
        linear = linear - cells.spread(veil.light.astype(np.float32), mask.shape)
    if veil or not own.all():
        mean = _mean(linear, weights * kept)
    shaded = _step((range_ - _FLAT) / (_SHADED - _FLAT))
    colour = mean
    if shaded > 0:
        bright = own & (light >= 0.6 * lit)
        direction = np.average(cells.colour[bright], axis=0, weights=cells.weight[bright])
        direction = direction / (direction @ line / (line @ line))
        middle = float(mean @ line / (line @ line))
        colour = (1 - shaded) * mean + shaded * lit * direction
        # Which part of a shaded surface is the lit one is a guess in proportion to the shading, and whether
        # a peak of the light is gloss another.
        guess = colour * shaded * (0.15 * np.log(max(lit / middle, 1.0)) + 0.3 * peak / max(lit, 1e-9))
        ambiguity = ambiguity + np.outer(guess, guess)
        factor = float(np.exp(range_))
        notes.append(LightEdge(float(edge[2]), factor) if edge else Shaded(factor))
    model = mean
    if shaded > 0:
        unit = mean / max(float(mean @ line / (line @ line)), 1e-9)
        # What is not called shading stays in the residuals, as grain.
        run = shaded * smooth + (1 - shaded) * float(mean @ line / (line @ line))
        model = cells.spread((run[:, None] * unit).astype(np.float32), mask.shape)
    lost = _lost(ends, kept)
    return Body(np.asarray(colour), kept, _rest(linear, model, kept), lost, ambiguity, tuple(notes))


def _mean(linear: Light, weights: np.ndarray) -> Array:
    """Summed row by row, and the rows in double precision."""
    rows = weights[:, None, :].astype(np.float32) @ linear
    return np.asarray(rows[:, 0].sum(axis=0, dtype=np.float64) / weights.sum(dtype=np.float64))


def _lost(ends: np.ndarray, kept: np.ndarray) -> Array:
    return _mean(ends.astype(np.float32), kept) if ends.any() else np.zeros(3)


def _rest(linear: Light, model: Array, kept: np.ndarray) -> Light:
    rest = linear - model.astype(np.float32)
    return rest if kept.all() else rest * kept[..., None]


def _cut(linear: Light, weights: np.ndarray, mask: np.ndarray, ends: np.ndarray) -> _Cells:
    step = max(1, int(np.ceil(np.sqrt(mask.sum() / _CELLS))))

    def total(values: np.ndarray) -> Array:
        return sums(values, step).astype(np.float64)

    weight = total(weights)
    full = weight >= 0.5 * weight.max()  # scraps at the region's edge are noisy
    index = np.nonzero(full)
    sides = zip(index[::-1], full.shape[::-1], strict=True)
    place = np.stack([2 * i / max(side - 1, 1) - 1 for i, side in sides], axis=-1)
    lost = np.zeros((len(index[0]), 3), dtype=bool)
    if ends.any():
        inside = total(mask)[full]
        lost = total(ends * mask[..., None])[full] > _CLIPPED * inside[:, None]
    weighted = linear if weights.dtype == bool else linear * weights[..., None]
    return _Cells(
        total(weighted)[full] / weight[full][:, None],
        weight[full],
        place,
        (index[0], index[1]),
        full.shape,
        step,
        np.where(lost.all(axis=1, keepdims=True), 1.0, 1.0 - lost),
    )


def _noise(cells: _Cells) -> Array:
    """Standard deviation (3,) of a cell, from the median difference of neighbours."""
    grid = np.full((*cells.grid, 3), np.nan)
    grid[cells.index] = cells.colour
    steps = [np.diff(grid, axis=axis).reshape(-1, 3) for axis in (0, 1)]
    steps_all = np.concatenate(steps)
    if len(cells.weight) < cells.grid[0] * cells.grid[1]:
        steps_all = steps_all[np.isfinite(steps_all).all(axis=1)]
    if len(steps_all) == 0:
        return np.zeros(3)
    return np.asarray(_median(np.abs(steps_all)) / 0.6745 / np.sqrt(2))


def _foreign(cells: _Cells, noise: Array, floor: float) -> tuple[np.ndarray, Array]:
    """Cells off the body line (m,), and the line's direction (3,): the majority's."""
    line = _line(cells, np.ones(len(cells.weight), dtype=bool))
    square = _off(cells, line, noise, floor)
    foreign = square > _OFF_LINE**2
    for _ in range(3):
        if not foreign.any() or cells.weight[foreign].sum() > 0.5 * cells.weight.sum():
            break
        line = _line(cells, ~foreign)
        square = _off(cells, line, noise, floor)
        before, foreign = foreign, square > _OFF_LINE**2
        if (before == foreign).all():
            break
    if foreign.all():  # no majority: the half nearest to the line stands for it
        foreign = square > _median(square)
    return foreign, line


def _line(cells: _Cells, of: np.ndarray) -> Array:
    """Direction of the body line: the median chromaticity, dark cells counting for less, times mean light."""
    colour, weight = (values.take(np.flatnonzero(of), axis=0) for values in (cells.colour, cells.weight))
    light = np.maximum(colour.sum(axis=1), 1e-9)
    chromaticity = colour / light[:, None]
    # No more for the brightest: they are the gloss.
    weight = weight * np.minimum(light, _weighted_median(light, weight)) ** 2
    line = np.array([_weighted_median(chromaticity[:, c], weight) for c in range(3)])
    if line.sum() <= 0:  # no colour has a majority, and each lacks a channel
        line = cells.weight[of] @ colour
    return np.asarray(line / line.sum() * np.average(light, weights=cells.weight[of]))


def _along(cells: _Cells, line: Array) -> Array:
    """Each cell's light along the body line (m,), from the channels that are not clipped."""
    along = (cells.colour * cells.unclipped) @ line / np.maximum((cells.unclipped * line) @ line, 1e-12)
    return np.asarray(along)


def _off(cells: _Cells, line: Array, noise: Array, level_floor: float) -> Array:
    """By how many noise widths each cell is off the line, squared (m,)."""
    along = np.maximum(_along(cells, line), 0.0)
    rest = (cells.colour - along[:, None] * line) * cells.unclipped
    # Coarse grain of the dyes shows in the residuals, not in neighbours: believe it, within reason.
    seen = _median(np.abs(rest)) / 0.6745
    width = np.maximum(noise, np.minimum(seen, 3 * noise))
    step = level_floor * srgb_slope(along[:, None] * line)
    floor = np.maximum(_NOISE_FLOOR * np.maximum(along, 0.3)[:, None] * line.mean(), step)
    return np.asarray((rest**2 / (width**2 + floor**2)).sum(axis=1))


def _explain(cells: _Cells, foreign: np.ndarray, spots: np.ndarray, line: Array) -> tuple[Array, list[Note]]:
    """What is left out, and the covariance for what that leaves open."""
    from scipy.ndimage import label

    notes: list[Note] = []
    open_ = np.zeros((3, 3))
    total = cells.weight.sum()
    own = ~foreign & (spots == 0)
    if cells.weight[foreign].sum() > _MIXED * total:
        open_ = _either(cells, foreign, own)
        notes.append(SeveralColours(_share(cells, foreign)))
        foreign = np.zeros_like(foreign)
    out = foreign | (spots != 0)
    if not out.any():
        return open_, notes
    brighter = _brighter(cells, own)
    grid = np.zeros(cells.grid, dtype=bool)
    grid[cells.index] = out
    patches = label(np.pad(grid, 1, constant_values=False))[0][1:-1, 1:-1]
    ring = np.ones(cells.grid, dtype=bool)
    ring[1:-1, 1:-1] = False
    rim = np.isin(patches, np.unique(patches[ring & grid]))[cells.index] & out
    inner = out & ~rim
    for cause, what in (
        (rim, "rim"),
        (inner & (brighter | (spots > 0)), "highlight"),
        (inner & (spots < 0), "dark"),
        (inner & foreign & ~brighter, "other"),
    ):
        if cause.any():
            notes.append(LeftOut(what, _share(cells, cause)))
    return open_, notes


def _other(cells: _Cells, own: np.ndarray, light: Array, noise: Array) -> np.ndarray:
    """Cells (m,) of the smaller of two groups that differ in chroma, none where all are of one colour.

    The body line is the majority's, and believes coarse scatter about it to be grain. Tiles, slats or a
    frame beside a wall scatter as grain does, but still do when many cells are averaged: the colours of
    patches of cells are split in two where that takes away most of their variance (Otsu, IEEE Trans.
    Systems, Man, and Cybernetics 9 (1979) 62-66).
    """
    none = np.zeros(len(own), dtype=bool)
    # Chroma of what is hardly lit or clipped is no evidence.
    unclipped = own & (cells.unclipped.min(axis=1) > 0) & (light > 0.2 * _median(light[own]))
    if not unclipped.any():
        return none
    patch, full = _patches(cells, cells.weight * unclipped)
    count = np.bincount(patch, cells.weight * unclipped)
    if full.sum() < 9:
        return none
    sums = [np.bincount(patch[unclipped], (cells.weight * c)[unclipped], len(count)) for c in cells.colour.T]
    colour = np.stack(sums, axis=-1)[full] / count[full][:, None]
    top = _median(colour.sum(axis=1))
    # One paint in sun and shade has one chroma at one amount of light.
    even = colour * (top / np.maximum(colour.sum(axis=1), 1e-9))[:, None]
    chroma = linear_to_lab(even)[:, 1:]
    weight = count[full] / count[full].sum()
    rest = chroma - weight @ chroma
    axis = np.linalg.eigh((rest.T * weight) @ rest)[1][:, -1]
    along = rest @ axis
    order = np.argsort(along)
    share = np.cumsum(weight[order])[:-1]
    below = np.cumsum((weight * along)[order])[:-1]
    apart = -below / share / np.maximum(1 - share, 1e-9)  # the mean is zero
    cut = int(np.argmax(share * (1 - share) * apart**2))
    if min(share[cut], 1 - share[cut]) < _PATCHED or apart[cut] < _APART:
        return none
    few = np.zeros(len(count), dtype=bool)
    low = np.isin(np.arange(len(order)), order[: cut + 1])
    few[np.flatnonzero(full)] = low if share[cut] <= 0.5 else ~low
    # Grain, believed to be correlated over two cells, scatters patches by this much.
    middle = np.average(even, axis=0, weights=weight)
    grain = 2 * noise / np.sqrt(_median(np.bincount(patch[unclipped], minlength=len(count))[full]))
    by_grain = linear_to_lab(np.maximum(middle + np.diag(grain), 0.0))[:, 1:] - linear_to_lab(middle)[1:]
    if apart[cut] < 2.5 * float(np.hypot.reduce(by_grain @ axis)):
        return none
    return np.asarray(unclipped & few[patch])


def _either(cells: _Cells, one: np.ndarray, other: np.ndarray) -> Array:
    """Covariance (3, 3) where nobody says which of two surfaces was meant: each is likely by its share."""
    weights = [cells.weight[of] for of in (one, other)]
    means = [
        np.average(cells.colour[of], axis=0, weights=w) for of, w in zip((one, other), weights, strict=True)
    ]
    share = float(weights[0].sum() / (weights[0].sum() + weights[1].sum()))
    return np.asarray(share * (1 - share) * np.outer(means[0] - means[1], means[0] - means[1]))


def _terms(cells: _Cells, own: np.ndarray) -> Array:
    """Polynomials of the place (m, k), of a degree that the number of cells can carry."""
    x, y = cells.place.T
    terms = [np.ones_like(x), x, y]
    if own.sum() >= 60:
        terms += [x * x, x * y, y * y]
    if own.sum() >= 400:
        terms += [x * x * x, x * x * y, x * y * y, y * y * y]
    return np.stack(terms, axis=-1)


def _smooth(terms: Array, light: Array, weight: Array) -> Array:
    """The smooth run of the light (m,): least squares."""
    pull = terms.T * weight
    ridge = 1e-9 * weight.sum() * np.eye(terms.shape[1])
    return np.asarray(terms @ np.linalg.solve(pull @ terms + ridge, pull @ light))


def _spots(cells: _Cells, light: Array, own: np.ndarray) -> np.ndarray:
    """Cells that stand out of the smooth run of the shading (m,): 1 brighter, -1 darker, 0 not."""
    terms = _terms(cells, own)
    top = max(float(_median(light[own])), 1e-9)
    smooth = np.full_like(light, top)
    width = np.inf
    for _ in range(10):
        rest = light - smooth
        before, width = width, max(float(_median(np.abs(rest[own]))) / 0.6745, 0.01 * top)
        if abs(width - before) < 0.01 * width:
            break
        # Tukey's biweight
        weight = cells.weight * own * np.maximum(1 - (rest / (4.685 * width)) ** 2, 0.0) ** 2
        smooth = _smooth(terms, light, weight)
    rest = light - smooth
    bump = own & (np.abs(rest) > 6 * width) & (np.abs(rest) > _BUMP * np.maximum(smooth, 0.2 * top))
    spots = np.where(bump, np.sign(rest), 0).astype(int)
    for sign in (1, -1):
        bumps = spots == sign
        most = _SPOTS
        if sign > 0 and bumps.any():
            # Light that falls off from a peak is gloss; a lit part beside a shadow is level.
            middle, high = np.quantile(rest[bumps], (0.5, 0.9))
            most = _GLARE if high > 1.6 * middle else _SPOTS
        if cells.weight[bumps].sum() > most * cells.weight[own].sum():
            spots[bumps] = 0
    return spots


def _brighter(cells: _Cells, own: np.ndarray) -> np.ndarray:
    """Cells with more of every channel than the body has (m,)."""
    colour = np.average(cells.colour[own], axis=0, weights=cells.weight[own])
    excess = cells.colour - colour
    return np.asarray((excess > 0).all(axis=1) & (excess.mean(axis=1) > 0.05 * colour.mean()))


def _clear(cells: _Cells, own: np.ndarray, gloss: np.ndarray) -> np.ndarray:
    """`own` without the rim of what is left out, where it shades off: a cell wide, and round a highlight a
    third of its radius more; as it was where that leaves too little."""
    from scipy.ndimage import distance_transform_edt, label

    def far(of: np.ndarray) -> Array:
        grid = np.zeros(cells.grid, dtype=bool)
        grid[cells.index] = of
        if not grid.any():
            return np.full(len(of), np.inf)
        return np.asarray(distance_transform_edt(~grid)[cells.index])

    grid = np.zeros(cells.grid, dtype=bool)
    grid[cells.index] = gloss
    sizes = np.bincount(label(grid)[0].ravel())[1:]
    reach = 1.5 + _GLOW * float(np.sqrt(sizes.max() / np.pi)) if len(sizes) else 0.0
    clear = own & (far(~own) > 1.5) & (far(gloss) > reach)
    return clear if cells.weight[clear].sum() > 0.4 * cells.weight[own].sum() else own


@dataclass(frozen=True)
class _Veil:
    """Broad gloss: its light (m, 3) in each cell, its share of all light, what taking it off left open."""

    light: Array
    share: float
    ambiguity: Array  # (3, 3)


def _veil(
    cells: _Cells, own: np.ndarray, line: Array, noise: Array, floor: float, terms: Array
) -> _Veil | None:
    """Gloss too broad to leave out, as on satin paint; None where nothing tells it from the body.

    It shows where chroma falls off towards the lamp's together with light that rises faster than any smooth
    shading does: cells then lie in the plane of the body's colour and the lamp's (Shafer 1985). Where chroma
    is highest there is no gloss. How much light goes with so much loss of chroma is told by how the two vary
    beside their smooth runs, and by the lamp being nearly neutral.
    """
    unclipped = own & (cells.unclipped.min(axis=1) > 0)
    weight = cells.weight * unclipped
    if unclipped.sum() < 60 or weight.sum() < 0.5 * cells.weight[own].sum():
        return None
    body = line / np.linalg.norm(line)
    neutral = np.full(3, 1 / np.sqrt(3))
    towards = neutral - (neutral @ body) * body
    lean = float(np.linalg.norm(towards))
    patch, full = _patches(cells, weight)
    if lean < _LEAN or full.sum() < 12:
        return None
    along = cells.colour @ body
    count = np.bincount(patch, weight)[full]
    colour = np.stack([np.bincount(patch, weight * c)[full] / count for c in cells.colour.T], axis=-1)
    light = colour @ body
    off = (colour - light[:, None] * body) / np.maximum(light, 1e-9)[:, None]
    heft = count * np.minimum(light, _median(light)) ** 2
    heft = heft / heft.sum()
    rest = off - heft @ off
    variance, axes = np.linalg.eigh((rest.T * heft) @ rest)
    axis = axes[:, -1] * np.sign(axes[:, -1] @ towards)
    grain = float(np.hypot.reduce(noise * axis))
    # Grain, believed to be correlated over two cells, scatters patches by this much.
    usual = max(float(_median(light)), 1e-9)
    scatter = 2 * grain / np.sqrt(len(patch) / len(full)) / usual
    levels = float(np.hypot.reduce(floor * srgb_slope(usual * body) * axis)) / usual
    clear = np.sqrt(max(variance[-1], 0.0)) > max(2.5 * scatter, levels)
    if not clear or axis @ towards < 0.6 * lean:
        return None
    run = off @ axis
    order = np.argsort(run)
    gloss = cells.colour @ axis - run[order][np.searchsorted(np.cumsum(heft[order]), 0.15)] * along
    sharp, bright = (values - _smooth(terms, values, weight) for values in (gloss, along))
    power = float(weight @ sharp**2 / weight.sum()) - grain**2
    if power <= 0.3 * grain**2:
        return None
    with_it = float(weight @ (bright * sharp) / weight.sum()) / power
    left = float(weight @ (bright - with_it * sharp) ** 2 / weight.sum())
    error = max(float(np.sqrt(left / (unclipped.sum() / 10) / power)), 1e-6)
    if with_it < 3 * error:
        return None
    # A lamp is neutral to a third or so.
    trust = np.array([error**-2, (lean**2 / 0.3) ** 2])
    with_it = float(trust @ [with_it, neutral @ body / lean] / trust.sum())
    veil = gloss[:, None] * (axis + with_it * body)
    # No gloss takes more of a channel than there is.
    there, taken = ((cells.weight * own) @ light for light in (cells.colour, veil))
    veil = veil * float(np.min(np.maximum(there, 0.0) / np.maximum(taken, there), initial=1.0))
    doubt = np.average(np.maximum(gloss, 0.0), weights=weight) / np.sqrt(trust.sum()) * body
    share = float((weight @ veil).sum() / (weight @ cells.colour).sum())
    return _Veil(veil, share, np.outer(doubt, doubt)) if share > _VEIL else None


def _patches(cells: _Cells, weight: Array) -> tuple[np.ndarray, np.ndarray]:
    """The number of each cell's patch (m,), ten of them along the longer side, and which are mostly full."""
    side = max(1, round(max(cells.grid) / 10))
    rows, columns = (index // side for index in cells.index)
    patch = rows * (cells.grid[1] // side + 1) + columns
    count = np.bincount(patch, weight)
    return patch, count >= 0.5 * count.max()


def _lit(
    cells: _Cells, line: Array, light: Array, smooth: Array, own: np.ndarray, terms: int
) -> tuple[float, float, float]:
    """Light of the lit part, the log range of the shading from its darkest to its brightest part, and by how
    much a peak goes beyond the lit part; `smooth` has so many `terms`.

    Cells are ranked by the smooth shading, not by themselves: picking the brightest would pick noise.
    """
    order = np.argsort(smooth[own], kind="stable")
    ranked, weight = light[own][order], cells.weight[own][order]
    place = (np.cumsum(weight) - weight / 2) / weight.sum()
    top, bottom = place > 1 - _LIT, place < 0.1
    if not top.any() or not bottom.any():
        return float(np.average(ranked, weights=weight)), 0.0, 0.0
    lit = float(np.average(ranked[top], weights=weight[top]))
    dark = float(np.average(ranked[bottom], weights=weight[bottom]))
    range_ = float(np.log(max(lit, 1e-9) / max(dark, 0.02 * lit, 1e-9)))
    if range_ <= _FLAT:
        return lit, 0.0, 0.0
    times = (lit - dark) / max(_smooth_error(cells, line, light - smooth, own, terms), 1e-12)
    sure = _step((times - _CHANCE) / (_SURE - _CHANCE))
    below, peak = _below_peak(cells, light, own) if sure > 0 else (np.inf, 0.0)
    return min(lit, below), range_ * sure, peak * sure


def _below_peak(cells: _Cells, light: Array, own: np.ndarray) -> tuple[float, float]:
    """The most light that shading alone gives where the light has a peak as of broad gloss, and by how much
    the peak goes beyond; infinity and 0 where it has none.

    On a matt plane, cylinder or ball the light flattens towards its brightest part; gloss gets steeper up to
    its point. The run of the light over the surface, from its darkest to its brightest twentieth, goes on as
    where it is flattest. Cells are ranked by their neighbours: picking the brightest would pick noise.
    """
    from scipy.ndimage import uniform_filter

    grid = np.zeros((*cells.grid, 2))
    weight = cells.weight * own
    grid[cells.index] = np.stack([light * weight, weight], axis=-1)
    size = max(3, 2 * (max(cells.grid) // 16) + 1)
    total = [uniform_filter(of, size, mode="constant") * size**2 - of for of in np.moveaxis(grid, -1, 0)]
    order = np.argsort((total[0] / np.maximum(total[1], 1e-9))[cells.index][own], kind="stable")
    ranked, weight = light[own][order], weight[own][order]
    steps = np.minimum(20 * (np.cumsum(weight) - weight / 2) / weight.sum(), 19).astype(int)
    count = np.bincount(steps, weight, 20)
    if count.min() <= 0:
        return np.inf, 0.0
    run = np.bincount(steps, weight * ranked, 20) / count
    slopes = (run[5:17] - run[:12]) / 5
    flat = 2 + int(np.argmin(slopes[2:]))
    # Chance makes a level run fall a little; where it falls more, neighbours do not tell what is lit.
    if 5 * slopes[flat] < -0.01 * run[19]:
        return np.inf, 0.0
    most = float(run[flat : flat + 6].mean() + max(slopes[flat], 0.0) * (19 - flat - 2.5))
    pointed = run[17] < (run[15] + run[19]) / 2 - 0.01 * run[19]
    if not pointed or run[19] < _PEAK * most:
        return np.inf, 0.0
    return most, float(run[19]) - most


def _edge(light: Array, weight: Array) -> tuple[float, float, float] | None:
    """Of light (m,) that runs in levels with edges between, as at a cast shadow: that of the brighter level,
    the log range to the darker, and the share of the darker; None where it runs smoothly, or as grain does.

    Two levels are told apart where that takes away most of the variance (Otsu 1979), and the one of them that
    varies more again; shading, and grain, spread over all levels between.
    """
    if light.std() < 0.5 * np.sqrt(_SIDE * (1 - _SIDE)) * _STEP * light.mean():
        return None  # two such levels would vary more
    order = np.argsort(light)
    light, weight = light[order], weight[order] / weight.sum()
    cut, gain = _cut_in_two(light, weight)
    total = float(weight @ (light - weight @ light) ** 2)
    below = float(weight[:cut].sum())
    if light[-1] <= 0 or not _SIDE < below < 1 - _SIDE:
        return None
    dark, bright = light[np.searchsorted(np.cumsum(weight), (below / 2, (1 + below) / 2))]
    if dark > (1 - _STEP) * bright:
        return None
    more = max(_cut_in_two(light[side], weight[side])[1] for side in (slice(cut), slice(cut, None)))
    if gain + more < _LEVELS * total:
        return None
    return float(bright), float(np.log(bright / max(dark, 0.02 * bright))), below


def _cut_in_two(values: Array, weight: Array) -> tuple[int, float]:
    """Where sorted values (m,) are cut for their two means to take away most variance, and how much."""
    below = np.cumsum(weight)[:-1]
    if len(below) == 0:
        return 0, 0.0
    total = float(weight.sum())
    off = np.cumsum(weight * (values - weight @ values / total))[:-1]
    taken = off**2 * total / np.maximum(below * (total - below), 1e-12)
    cut = int(np.argmax(taken))
    return cut + 1, float(taken[cut])


def _smooth_error(cells: _Cells, line: Array, rest: Array, own: np.ndarray, terms: int) -> float:
    """The standard deviation over the surface of what chance alone makes of the smooth run of its light;
    `rest` (m,) is what departs from that.

    Grain and what compression makes of it are alike over several cells, so that means of patches of them say
    how far it goes; half a level of the file it always does.
    """
    side = max(1, round(np.sqrt(own.sum() / _PATCHES)))
    grid = np.zeros((*cells.grid, 2))
    grid[cells.index] = np.stack([rest * cells.weight, cells.weight], axis=-1) * own[:, None]
    off, weight = sums(grid, side).reshape(-1, 2).astype(np.float64).T
    shape = [-(-sides // side) for sides in cells.grid]
    full = weight > 0.5 * weight.max()
    count = int(full.sum())
    departure = np.where(full, off / np.where(full, weight, 1.0), 0.0).reshape(shape)
    square = float((departure**2).sum())
    # Patches smaller than the grain's clumps are alike, too.
    alike = clumping(neighbours(departure, full.reshape(shape)), count, terms) if square > 0 else 1.0
    chance = alike * square / max(count - terms * alike, terms)
    body = np.average(cells.colour[own], axis=0, weights=cells.weight[own])
    level = float(srgb_slope(body) @ line / (line @ line)) / 255
    return float(np.hypot(np.sqrt(chance * (terms - 1) / count), level / 2))


def _step(value: float) -> float:
    """0 below 0, 1 above 1, smooth between."""
    t = min(max(value, 0.0), 1.0)
    return t * t * (3 - 2 * t)


def _median(values: Array) -> Array:
    """The upper median along the first axis, in a fraction of the time that the exact one takes."""
    middle = len(values) // 2
    return np.asarray(np.partition(values, middle, axis=0)[middle])


def _weighted_median(values: Array, weight: Array) -> float:
    order = np.argsort(values)
    total = np.cumsum(weight[order])
    return float(values[order][np.searchsorted(total, total[-1] / 2)])


def _share(cells: _Cells, of: np.ndarray) -> float:
    return float(cells.weight[of].sum() / cells.weight.sum())
