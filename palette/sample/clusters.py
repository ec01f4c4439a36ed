"""The paints that a picture shows: one colour a painted surface, in sun and shade alike.

A surface in shade keeps the ratios of its linear light, so its colours lie on a ray from black. A plain
clustering cuts that ray into several colours and takes their middles. Here instead:

1. Pixels on edges are set aside: they are mixtures that nobody painted. The others are counted in bins
   of a perceptual space, so that the cost hardly grows with the picture.
2. Weighted k-means (scikit-learn) over the bins finds many more clusters than there are paints.
3. Clusters are merged where one is the other in shade: the same ratios of linear light within what noise
   does, no darker than shading makes, and, for greys and where ratios alone could mislead, one turning
   into the other without an edge. Paint changes at an edge, shading changes slowly. A hard shadow on a
   grey is told from a darker grey where coloured surfaces show a shadow that takes as much of the light.
4. What is brighter than the surface round it and on its way to white is a highlight, and no colour;
   spots that are burnt out are taken off before anything is counted (glare.py).
5. The colour given is that of the lit surface: the bright end of its shading, found as the edge of the
   distribution of light along its ray, so that neither the shaded half nor a few glints move it. Beyond
   what a fair share of the surface reaches it goes only where the shading is a smooth ramp.
   Sheen, which pales a surface as it brightens it, is no light of its own.
6. Where no count is told, colours are taken together that a painter would mix as one.
7. A small surface of a hue that no other has is kept (accents).

The count is where merging on would join what paint keeps apart; a count told by the user stops it there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palette.colour.difference import difference
from palette.colour.spaces import SRGB_TO_XYZ, Array, lab_to_linear, linear_to_lab, srgb_encode
from palette.notes import Note
from palette.sample.glare import glare
from palette.sample.notes import AsManyAsAsked, MostColours, NoMoreColours, ShadesTogether

_LUMINANCE = SRGB_TO_XYZ[1]

_BIN = 2.0  # CIELAB units a bin; below what anyone would call another paint
_SEEDS = 40  # clusters before merging
_LIGHTNESS = 0.5  # of a lightness step against a chroma step in k-means: shading is mostly lightness
_EDGE = 2.0  # step from pixel to pixel, in percent of the encoded range, beyond which there is an edge
_SMALLEST = 0.008  # of the picture: smaller surfaces are no colour unless asked for
_DARKEST = 0.40  # of the lit light: darker than this is no shade of the same surface
_DARKEST_FLOWING = 0.12  # the same where there is no edge between
_MERGE = 3.0  # cost up to which clusters are shades of one paint
_MOST = 12  # colours unless asked for more: beyond these a picture is a view and no set of paints
_GREY = 9.0  # C* below which equal ratios say little: every grey has them


@dataclass(frozen=True)
class PictureColour:
    """A colour of a picture: CIELAB D65 of the lit surface, and its share of the picture, 0..1."""

    lab: Array  # (3,)
    share: float


@dataclass(frozen=True)
class Clusters:
    """The colours found, largest first, and why there are so many."""

    colours: tuple[PictureColour, ...]
    reason: Note  # NoMoreColours, AsManyAsAsked, MostColours or ShadesTogether
    labels: tuple[NDArray[np.int32], ...]  # for each picture (h, w), which colour; -1 where transparent


def clusters(pictures: Sequence[ArrayLike], count: int | None = None) -> Clusters:
    """The colours of pictures in linear light, each (h, w, 3), NaN where transparent.

    `count` is how many to find; None decides. There are fewer where the pictures do not have as many.
    The same pictures give the same answer every time.

    Raises:
        ValueError: there is no opaque pixel.
    """
    views = [_view(np.asarray(picture, dtype=np.float64)) for picture in pictures]
    seeds = _seeds(views)
    group_of, itself = _merged(seeds, count)
    itself = _in_one_shadow(seeds, itself)
    alike, lab = _alike(views, seeds, itself)
    accents = _accents(views, seeds, alike, lab)
    if accents and int(alike.max()) + 1 + len(accents) > _MOST:
        alike, lab = _alike(views, seeds, itself, _MOST - len(accents))
    alike = _apart(alike, accents)
    if count is None:
        group_of = alike
    else:
        room = max(count - len(accents), 1)
        if accents and room < count:
            group_of = _merged(seeds, room)[0]
        group_of = _apart(group_of, accents[: count - int(group_of.max()) - 1])
    if count is not None or accents:
        lab = _colours(views, _labelled(seeds, group_of), int(group_of.max()) + 1)
    return _told(views, seeds, group_of, lab, _reason(group_of, itself, alike, count))


@dataclass(frozen=True)
class _View:
    linear: Array  # (h, w, 3), smoothed, not below black
    lab: Array  # (h, w, 3)
    luminance: Array  # (h, w)
    seen: NDArray[np.bool_]  # (h, w), opaque
    plain: NDArray[np.bool_]  # (h, w), seen and on no edge
    flat: tuple[NDArray[np.bool_], NDArray[np.bool_]]  # no edge to the next pixel: (h, w-1), (h-1, w)


@dataclass(frozen=True)
class _Seeds:
    """The clusters before merging, k of them, over all pictures."""

    labels: list[NDArray[np.int32]]  # for each picture (h, w), on every seen pixel; -1 elsewhere
    linear: Array  # (k, 3), mean
    weight: Array  # (k,), share of the pictures
    lightness_spread: Array  # (k,), standard deviation of L*
    fringe: Array  # (k,), how much of it lies along edges, 0..1
    solid: Array  # (k,), how much of its area is on no edge, 0..1
    smooth: Array  # (k, k), neighbouring pixels without an edge between them
    contact: Array  # (k, k), neighbouring pixels, edges left out of sight
    pixels: float  # in all


def _view(linear: Array) -> _View:
    from scipy.ndimage import median_filter

    seen = np.asarray(np.isfinite(linear).all(axis=-1))
    clean = np.where(seen[..., None], np.maximum(linear, 0.0), 0.0)
    smooth = np.stack([median_filter(clean[..., i], 3) for i in range(3)], axis=-1)
    # Steps are judged in encoded levels, where noise is about the same in light and dark.
    levels = 100 * srgb_encode(smooth)
    across = np.linalg.norm(np.diff(levels, axis=1), axis=-1)
    down = np.linalg.norm(np.diff(levels, axis=0), axis=-1)
    usual = float(np.median(np.concatenate([across.ravel(), down.ravel(), [0.0]])))
    limit = max(_EDGE, 4 * usual)
    flat = across <= limit, down <= limit
    plain = seen & _beside(flat[0], 1) & _beside(flat[1], 0)
    if plain.sum() < 0.1 * seen.sum():  # nothing but texture: every pixel counts
        plain = seen
    lab = linear_to_lab(smooth)
    burnt = glare(clean, lab[..., 0], seen)
    if (plain & ~burnt).any():
        plain = plain & ~burnt
    return _View(smooth, lab, smooth @ _LUMINANCE, seen, plain, flat)


def _beside(flat: NDArray[np.bool_], axis: int) -> NDArray[np.bool_]:
    """Whether a pixel goes over into one of its two neighbours along an axis without an edge.

    On an edge it goes over into neither; the outermost pixel of a surface still does into its own.
    """
    before = np.pad(flat, [(1, 0) if i == axis else (0, 0) for i in (0, 1)], constant_values=flat.size == 0)
    after = np.pad(flat, [(0, 1) if i == axis else (0, 0) for i in (0, 1)], constant_values=flat.size == 0)
    return np.asarray(before | after)


def _seeds(views: Sequence[_View]) -> _Seeds:
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    plain = np.concatenate([view.lab[view.plain] for view in views])
    if not len(plain):
        raise ValueError("there is no opaque pixel")
    linear = np.concatenate([view.linear[view.plain] for view in views])
    cells = np.floor(plain / _BIN).astype(np.int64) + 256
    _, bin_of, counts = np.unique(
        (cells[:, 0] * 1024 + cells[:, 1]) * 1024 + cells[:, 2], return_inverse=True, return_counts=True
    )
    means = np.stack([np.bincount(bin_of, plain[:, i]) for i in range(3)], axis=1) / counts[:, None]
    k = min(_SEEDS, len(counts))
    k = min(k, len(np.unique(means.round(6), axis=0)))
    with threadpool_limits(1):  # several threads add up in another order every time
        kmeans = KMeans(k, n_init=1, random_state=0)
        bin_label = kmeans.fit_predict(means * [_LIGHTNESS, 1, 1], sample_weight=counts**0.75)
    used, bin_label = np.unique(bin_label, return_inverse=True)  # none may be empty
    k = len(used)
    label = bin_label[bin_of]
    weight = np.bincount(label, minlength=k).astype(float)
    mean = np.stack([np.bincount(label, linear[:, i], k) for i in range(3)], axis=1) / weight[:, None]
    l_mean = np.bincount(label, plain[:, 0], k) / weight
    l_spread = np.sqrt(np.maximum(np.bincount(label, plain[:, 0] ** 2, k) / weight - l_mean**2, 0))
    smooth, contact, area = np.zeros((k, k)), np.zeros((k, k)), np.zeros(k)
    along = np.concatenate([_along_edges(view.plain)[view.plain] for view in views])
    fringe = np.bincount(label, along, k) / weight
    labels = []
    start = 0
    for view in views:
        size = int(view.plain.sum())
        sharp = np.full(view.plain.shape, -1, dtype=np.int32)
        sharp[view.plain] = label[start : start + size]
        start += size
        _count_pairs(sharp, smooth, view.flat)
        filled = _filled(sharp, view.seen)
        area += np.bincount(filled[filled >= 0], minlength=k)
        _count_pairs(filled, contact, None)
        labels.append(filled)
    solid = weight / np.maximum(area, 1)
    return _Seeds(
        labels, mean, area / area.sum(), l_spread, fringe, solid, smooth, contact, float(area.sum())
    )


def _along_edges(plain: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Whether a pixel is near an edge (h, w)."""
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(~plain, np.ones((3, 3)), iterations=_NEAR))


def _filled(labels: NDArray[np.int32], seen: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Labels with those of the nearest plain pixel on edges; -1 only where nothing is seen."""
    from scipy.ndimage import distance_transform_edt

    if not (labels >= 0).any():
        return labels
    at = distance_transform_edt(labels < 0, return_distances=False, return_indices=True)
    return np.where(seen, labels[tuple(at)], -1).astype(np.int32)


def _count_pairs(
    labels: NDArray[np.int32], table: Array, only: tuple[NDArray[np.bool_], NDArray[np.bool_]] | None
) -> None:
    """Add the neighbouring pixels of each two labels to a table (k, k)."""
    k = len(table)
    pairs_of = ((labels[:, 1:], labels[:, :-1]), (labels[1:], labels[:-1]))
    for axis, (first, second) in enumerate(pairs_of):
        both = (first >= 0) & (second >= 0) & (first != second)
        if only is not None:
            both &= only[axis]
        pairs = np.bincount(first[both] * k + second[both], minlength=k * k).reshape(k, k)
        table += pairs + pairs.T


@dataclass
class _Groups:
    """Seeds as they are merged: `of` says which group each seed belongs to."""

    of: NDArray[np.intp]
    linear: Array
    weight: Array
    low: Array  # luminance of the darkest and the brightest seed
    high: Array
    smooth: Array
    contact: Array
    spread: Array
    fringe: Array
    solid: Array
    pixels: float


def _merged(seeds: _Seeds, count: int | None) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Which group each seed belongs to, -1 for what is no colour: for the count, and for none told."""
    k = len(seeds.weight)
    luminance = seeds.linear @ _LUMINANCE
    groups = _Groups(
        np.arange(k), seeds.linear.copy(), seeds.weight.copy(), luminance.copy(), luminance.copy(),
        seeds.smooth.copy(), seeds.contact.copy(), seeds.lightness_spread.copy(), seeds.fringe.copy(),
        seeds.solid.copy(), seeds.pixels,
    )  # fmt: skip
    stages = [(0.0, groups.of.copy(), _colours_among(groups))] if count is not None else []
    while len(np.unique(groups.of)) > 1:
        alive = np.unique(groups.of)
        cost = _costs(groups, alive)
        i, j = np.unravel_index(int(np.argmin(cost)), cost.shape)
        if count is None and cost[i, j] > _MERGE:
            break
        _join(groups, int(alive[min(i, j)]), int(alive[max(i, j)]))
        if count is not None:
            stages.append((float(cost[i, j]), groups.of.copy(), _colours_among(groups)))
    if count is None:
        numbers = _numbered(groups.of, _colours_among(groups))
        return numbers, numbers
    natural = max(
        i for i, (cost, _, _) in enumerate(stages) if max(c for c, _, _ in stages[: i + 1]) <= _MERGE
    )
    have = [len(colours) for _, _, colours in stages]
    chosen = natural
    if count is not None and have[natural] > count:
        chosen = next((i for i in range(natural, len(stages)) if have[i] <= count), len(stages) - 1)
    elif count is not None:
        while chosen > 0 and have[chosen] < count and stages[chosen][0] > _SAME:
            chosen -= 1
    return _numbered(*stages[chosen][1:]), _numbered(*stages[natural][1:])


def _in_one_shadow(seeds: _Seeds, group_of: NDArray[np.intp]) -> NDArray[np.intp]:
    """The groups with greys taken together where one is the other in a shadow that coloured surfaces show.

    By itself nothing tells a grey in hard shadow from a darker grey. But one shadow takes the same share of
    the light wherever it falls: what two surfaces of some colour or more show, by their own halves of equal
    ratios, holds for the greys beside them.
    """
    number = int(group_of.max()) + 1
    light = np.log(np.maximum(seeds.linear @ _LUMINANCE, 1e-6))
    member = group_of[:, None] == np.arange(number)
    weight = seeds.weight @ member
    linear = (seeds.weight[:, None] * member).T @ seeds.linear / weight[:, None]
    grey = np.hypot(*linear_to_lab(linear)[:, 1:].T) < _GREY
    steps = [_step(seeds, light, np.flatnonzero(member[:, i])) for i in np.flatnonzero(~grey)]
    level = np.log(np.maximum(linear @ _LUMINANCE, 1e-6))
    of = group_of.copy()
    for dark in sorted(np.flatnonzero(grey), key=lambda i: weight[i]):
        for lit in np.flatnonzero(grey & (level > level[dark])):
            between = level[lit] - level[dark]
            if sum(step > 0 and abs(step - between) < _SHADOW for step in steps) < 2:
                continue
            contact = seeds.contact[np.ix_(member[:, lit], member[:, dark])].sum()
            tint = linear_to_lab(linear[lit]) - linear_to_lab(linear[dark] * np.exp(between))
            beside = contact > 0.3 * np.sqrt(min(weight[lit], weight[dark]) * seeds.pixels)
            if beside and np.hypot(tint[1], tint[2]) < _MERGE:
                of[of == dark] = of[member[:, lit]][0]
                break
    return _numbered(of, [int(i) for i in np.unique(of[of >= 0])])


def _step(seeds: _Seeds, light: Array, own: NDArray[np.intp]) -> float:
    """The logarithm by which the lit half of a surface is lighter than its half in hard shadow, from the
    light of its seeds; 0 where it has no such halves."""
    own = own[np.argsort(light[own])]
    gaps = np.diff(light[own])
    if not len(gaps):
        return 0.0
    cut = int(np.argmax(gaps)) + 1
    halves = own[:cut], own[cut:]
    weights = [seeds.weight[half] for half in halves]
    dark, lit = (float(np.average(light[h], weights=w)) for h, w in zip(halves, weights, strict=True))
    even = all(np.ptp(light[half]) < 0.5 * gaps[cut - 1] for half in halves)
    share = min(w.sum() for w in weights) / (weights[0].sum() + weights[1].sum())
    smooth, contact = (table[np.ix_(*halves)].sum() for table in (seeds.smooth, seeds.contact))
    return lit - dark if even and share > 0.03 and smooth < 0.3 * contact else 0.0


_SHADOW = 0.04  # of the logarithm of light, within which two shadows are one
_SAME = 1.0  # cost below which two clusters are one colour whatever the count told


def _numbered(of: NDArray[np.intp], colours: list[int]) -> NDArray[np.intp]:
    numbers = np.full(len(of), -1, dtype=np.intp)
    for number, group in enumerate(colours):
        numbers[of == group] = number
    return numbers


def _reason(
    group_of: NDArray[np.intp], itself: NDArray[np.intp], alike: NDArray[np.intp], count: int | None
) -> Note:
    have, shown, mixed = (int(of.max()) + 1 for of in (group_of, itself, alike))
    if count is not None:
        return NoMoreColours(have) if have < count else AsManyAsAsked(have, mixed)
    return MostColours(have) if mixed == _MOST < shown else ShadesTogether(have)


def _accents(
    views: Sequence[_View], seeds: _Seeds, group_of: NDArray[np.intp], lab: Array
) -> list[NDArray[np.intp]]:
    """The seeds of small surfaces of a hue and chroma that no colour found has, one array a surface.

    They are compared at one light, so that no shade of a surface is one; and they hold together in the
    picture, so that no speckle or fringe is one.
    """
    own = linear_to_lab(seeds.linear)
    level = linear_to_lab(lab_to_linear(lab)[None] * _to_light(lab, own[:, 0]))
    off = difference(own[:, None], np.where(np.isfinite(level), level, 0.0)).min(axis=1)
    chroma = np.hypot(own[:, 1], own[:, 2])
    likely = (off > _FAR) & (chroma > _GREY) & (seeds.weight < _ACCENT[1]) & (own[:, 0] > 12)
    likely &= seeds.fringe < _FRINGE
    accents: list[NDArray[np.intp]] = []
    left = list(np.flatnonzero(likely)[np.argsort(-off[likely])])
    while left:
        first = left[0]
        near = difference(_at_one_light(own[left]), _at_one_light(own[first])) < _ONE
        members = np.array([seed for seed, with_it in zip(left, near, strict=True) if with_it])
        left = [seed for seed in left if seed not in members]
        whole = group_of[first] >= 0 and np.array_equal(
            np.sort(members), np.flatnonzero(group_of == group_of[first])
        )
        if not whole and _held_together(seeds, members) >= _ACCENT[0]:
            accents.append(members)
    return accents


def _at_one_light(lab: Array) -> Array:
    """Colours as they look under the light that brings them to L* 50 (…, 3)."""
    light = lab_to_linear(lab)
    level = np.maximum(light @ _LUMINANCE, 1e-6)[..., None]
    return linear_to_lab(light * (_MIDDLE / level))


def _to_light(lab: Array, lightness: Array) -> Array:
    """By how much each colour's light changes to come to each lightness (m, n, 1)."""
    of = np.maximum(lab_to_linear(lab) @ _LUMINANCE, 1e-6)
    want = lab_to_linear(np.stack([lightness, 0 * lightness, 0 * lightness], axis=-1)) @ _LUMINANCE
    return np.asarray((want[:, None] / of[None])[..., None])


def _held_together(seeds: _Seeds, members: NDArray[np.intp]) -> float:
    """The share of the pictures that seeds take up where they are no fringe or speckle."""
    from scipy.ndimage import binary_opening

    whole = sum(int(binary_opening(np.isin(own, members), np.ones((5, 5))).sum()) for own in seeds.labels)
    return whole / max(seeds.pixels, 1.0)


def _apart(group_of: NDArray[np.intp], accents: Sequence[NDArray[np.intp]]) -> NDArray[np.intp]:
    """Groups with accents as groups of their own; what else a group had stays."""
    of = group_of.copy()
    for members in accents:
        of[members] = int(of.max()) + 1
    return _numbered(of, [int(i) for i in np.unique(of[of >= 0])])


_FAR = 8.0  # CIEDE2000 at one light: an accent from every colour found
_FRINGE = 0.95  # of a surface near edges: more is their colour, and none of its own
_ONE = 8.0  # the same, between the seeds of one accent
_ACCENT = 0.0018, 0.04  # of the pictures: what an accent has at least, and at most
_MIDDLE = 0.18419  # the luminance of L* 50


def _alike(
    views: Sequence[_View], seeds: _Seeds, group_of: NDArray[np.intp], most: int = _MOST
) -> tuple[NDArray[np.intp], Array]:
    """The groups with those taken together that a painter would mix as one, and their colours (n, 3).

    The smallest goes first, into the nearest. In a photograph light of several colours falls on one
    surface, so that its shades keep neither ratios nor edges; their colours in full light are yet near.
    """
    of = group_of.copy()
    number = int(of.max()) + 1
    labels = _labelled(seeds, of)
    calm = [_calm(views, labels, i) for i in range(number)]
    lab = np.array([_colour(views, labels, i, calm[i]) for i in range(number)])
    weight = np.bincount(of[of >= 0], seeds.weight[of >= 0], number)
    member = (of[:, None] == np.arange(number)).astype(float)
    smooth, contact = member.T @ seeds.smooth @ member, member.T @ seeds.contact @ member
    widest = _hues(lab)  # between any of what was taken together: chains of near colours lead far
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    vivid = (chroma > _VIVID)[:, None] & (chroma[:, None] > 1.25 * chroma) & np.less.outer(weight, weight)
    widest[vivid | vivid.T] = np.inf  # a small colour that stands out by its chroma is there on purpose
    alive = list(range(number))
    while len(alive) > 1:
        pair = np.ix_(alive, alive)
        lit = lab[alive]
        apart = difference(lit[:, None], lit[None])
        hues = _hues(lit)
        share = weight[alive]
        length = np.sqrt(np.minimum.outer(share, share) * seeds.pixels)
        flowing = (smooth[pair] > 0.35 * contact[pair]) & (contact[pair] > 0.3 * length)
        chroma = np.hypot(lit[:, 1], lit[:, 2])
        coloured = np.minimum.outer(chroma, chroma) > _GREY
        steps = np.abs(np.subtract.outer(lit[:, 0], lit[:, 0]))
        shades = flowing & coloured & (steps < _STEPS)
        apart = np.where(shades, np.minimum(apart, _FLOWING_ALIKE * hues), apart)
        # what is put off by 100 is joined only to keep to the most
        apart = np.where(widest[pair] > _WIDEST, apart + 100, apart)
        np.fill_diagonal(apart, np.inf)
        near = apart.min(axis=1)
        if len(alive) > most or near.min() < _ALIKE:
            few = near < _ALIKE if near.min() < _ALIKE else near == near.min()
            gone = min((i for i in range(len(alive)) if few[i]), key=lambda i: weight[alive[i]])
        else:
            break
        keep, small = alive[int(np.argmin(apart[gone]))], alive[gone]
        of[of == small] = keep
        for own in labels:
            own[own == small] = keep
        weight[keep] += weight[small]
        for table in (smooth, contact):
            table[keep] += table[small]
            table[:, keep] += table[:, small]
            table[keep, keep] = 0
        widest[keep] = widest[:, keep] = np.maximum(widest[keep], widest[small])
        alive.remove(small)
        for (light, area), (more_light, more_area) in zip(calm[keep], calm[small], strict=True):
            light += more_light
            area += more_area
        lab[keep] = _colour(views, labels, keep, calm[keep])
    return _numbered(of, alive), lab[alive]


_ALIKE = 7.5  # CIEDE2000 in full light: a painter mixes one paint for both
_FLOWING_ALIKE = 0.75  # of the difference of hue and chroma, where there is no edge between
_WIDEST = 9.6  # CIEDE2000 of hue and chroma between any two colours taken together
_VIVID = 30.0  # C* from which a smaller colour of a quarter more chroma stands out
_STEPS = 25.0  # of L*, the most between shades that flow into one another


def _costs(groups: _Groups, alive: NDArray[np.intp]) -> Array:
    """How far each two groups are from being shades of one paint (n, n), CIELAB; inf on the diagonal."""
    linear, weight = groups.linear[alive], groups.weight[alive]
    luminance = np.maximum(linear @ _LUMINANCE, 1e-5)
    common = np.sqrt(luminance[:, None] * luminance[None, :])
    lit = linear_to_lab(linear[:, None, :] * (common / luminance[:, None])[..., None])
    apart = lit - np.swapaxes(lit, 0, 1)
    chroma = np.hypot(lit[..., 1], lit[..., 2])
    chroma = (chroma + chroma.T) / 2
    ratios = np.hypot(apart[..., 1], apart[..., 2]) / (1 + 0.02 * chroma)
    lab = linear_to_lab(linear)
    whole = difference(lab[:, None], lab[None])
    low, high = groups.low[alive], groups.high[alive]
    reach = np.minimum(low[:, None], low[None]) / np.maximum(np.maximum(high[:, None], high[None]), 1e-5)
    pair = np.ix_(alive, alive)
    border = groups.contact[pair]
    length = np.sqrt(np.minimum(weight[:, None], weight[None]) * groups.pixels)
    flowing = (groups.smooth[pair] > 0.5 * border) & (border > 0.3 * length)
    shade = np.where(flowing, _FLOWING * ratios, np.where(chroma > _GREY, 1.5 * ratios, np.inf))
    shade = np.where(reach >= np.where(flowing, _DARKEST_FLOWING, _DARKEST), shade, np.inf)
    # A JPEG keeps colour coarser than lightness: along an edge a surface takes on a strip of its neighbour's.
    strip = (groups.fringe[alive] > 0.7) & (weight < _STRIP)
    level = np.abs(lab[:, None, 0] - lab[None, :, 0]) < 3
    smaller = weight[:, None] <= weight[None]
    stained = level & (border > 0) & ((strip[:, None] & smaller) | (strip[None] & ~smaller))
    cost = np.minimum(np.minimum(shade, whole), np.where(stained, _STAIN * whole, np.inf))
    np.fill_diagonal(cost, np.inf)
    return np.asarray(cost)


_STRIP = 0.03  # of the picture, the most that such a strip takes up
_NEAR = 3  # pixels from an edge
_STAIN = 0.35  # of the cost, for such a strip
_FLOWING = 0.5  # of the cost, where there is no edge between


def _join(groups: _Groups, keep: int, gone: int) -> None:
    a, b = groups.weight[keep], groups.weight[gone]
    groups.linear[keep] = (a * groups.linear[keep] + b * groups.linear[gone]) / (a + b)
    groups.spread[keep] = (a * groups.spread[keep] + b * groups.spread[gone]) / (a + b)
    groups.fringe[keep] = (a * groups.fringe[keep] + b * groups.fringe[gone]) / (a + b)
    groups.solid[keep] = (a * groups.solid[keep] + b * groups.solid[gone]) / (a + b)
    groups.weight[keep] = a + b
    groups.low[keep] = min(groups.low[keep], groups.low[gone])
    groups.high[keep] = max(groups.high[keep], groups.high[gone])
    for table in (groups.smooth, groups.contact):
        table[keep] += table[gone]
        table[:, keep] += table[:, gone]
        table[keep, keep] = 0
        table[gone] = table[:, gone] = 0
    groups.of[groups.of == gone] = keep


def _colours_among(groups: _Groups) -> list[int]:
    """The groups that are colours: neither specks nor highlights."""
    alive = [int(g) for g in np.unique(groups.of)]
    large = [g for g in alive if groups.weight[g] >= _SMALLEST] or alive
    return [g for g in large if not _is_highlight(groups, g, large)]


def _is_highlight(groups: _Groups, group: int, others: list[int]) -> bool:
    """Small, brighter than the surface it lies on, and white added to that surface's colour."""
    if groups.weight[group] > 0.04:
        return False
    contact = groups.contact[group]
    total = contact.sum()
    for other in others:
        if other == group or groups.weight[other] < 2 * groups.weight[group] or contact[other] < 0.5 * total:
            continue
        ground = groups.linear[other] * (groups.high[other] / max(groups.linear[other] @ _LUMINANCE, 1e-6))
        added = groups.linear[group] - ground
        if added.min() <= 0:
            continue
        white = added.min() / added.max() > 0.6
        # a highlight is slope for the most part; white paint in shade is even but for its edge
        slope = groups.spread[group] > 2.0 and groups.solid[group] < _SOLID
        uneven = slope or groups.smooth[group, other] > 0.3 * contact[other]
        if white and uneven:
            return True
    return False


_SOLID = 0.5  # of its area off edges, from which a surface is no slope


def _told(
    views: Sequence[_View], seeds: _Seeds, group_of: NDArray[np.intp], lab: Array, reason: Note
) -> Clusters:
    number = len(lab)
    labels = _labelled(seeds, group_of)
    labels = [_filled(own, view.seen) for own, view in zip(labels, views, strict=True)]
    area = np.zeros(number)
    for own in labels:
        area += np.bincount(own[own >= 0], minlength=number)
    order = np.argsort(-area, kind="stable")
    place = np.empty(number, dtype=np.int32)
    place[order] = np.arange(number)
    colours = tuple(PictureColour(lab[i], float(area[i] / area.sum())) for i in order)
    return Clusters(
        colours, reason, tuple(np.where(own >= 0, place[own], -1).astype(np.int32) for own in labels)
    )


def _hues(lab: Array) -> Array:
    """CIEDE2000 between colours of one lightness (n, n): what hue and chroma alone make."""
    level = lab.copy()
    level[:, 0] = 50.0
    return difference(level[:, None], level[None])


def _labelled(seeds: _Seeds, group_of: NDArray[np.intp]) -> list[NDArray[np.int32]]:
    """For each picture (h, w), which group; -1 for none."""
    return [np.where(seed >= 0, group_of[seed], -1).astype(np.int32) for seed in seeds.labels]


_Single = NDArray[np.float32]
_Calm = tuple[_Single, _Single]  # the light round each pixel of a surface, and how much of the surface (h, w)


def _colours(views: Sequence[_View], labels: Sequence[NDArray[np.int32]], number: int) -> Array:
    return np.array([_colour(views, labels, i, _calm(views, labels, i)) for i in range(number)])


def _calm(views: Sequence[_View], labels: Sequence[NDArray[np.int32]], number: int) -> list[_Calm]:
    """A surface's light in each picture, summed with that round it within it; two surfaces' sums add up."""
    from scipy.ndimage import gaussian_filter

    calm: list[_Calm] = []
    for view, own in zip(views, labels, strict=True):
        inside = view.plain & (own == number)
        light: _Single = np.zeros(own.shape, dtype=np.float32)
        area: _Single = np.zeros(own.shape, dtype=np.float32)
        rows, columns = np.flatnonzero(inside.any(axis=1)), np.flatnonzero(inside.any(axis=0))
        if len(rows):
            box = tuple(
                slice(max(0, at[0] - _WIDE), min(size, at[-1] + 1 + _WIDE))
                for at, size in zip((rows, columns), own.shape, strict=True)
            )
            here = inside[box].astype(np.float32)
            lit = here * view.luminance[box].astype(np.float32)
            light[box] = gaussian_filter(lit, _CALM, mode="constant", radius=_WIDE)
            area[box] = gaussian_filter(here, _CALM, mode="constant", radius=_WIDE)
        calm.append((light, area))
    return calm


def _colour(
    views: Sequence[_View], labels: Sequence[NDArray[np.int32]], number: int, calm: Sequence[_Calm]
) -> Array:
    """CIELAB of a surface in full light (3,), from as many of its pixels as tell it."""
    pixels, lights, ramps = [], [], []
    for view, own, (light, area) in zip(views, labels, calm, strict=True):
        inside = np.flatnonzero(view.plain & (own == number))
        inside = inside[:: 1 + len(inside) // _ENOUGH]
        pixels.append(view.linear.reshape(-1, 3).take(inside, axis=0))
        lights.append((light.take(inside) / np.maximum(area.take(inside), 1e-6)).astype(np.float64))
        ramps.append(_ramp(lights[-1], *np.divmod(inside, own.shape[1])))
    ramp = np.average(ramps, weights=[len(light) + 1e-9 for light in lights])
    return linear_to_lab(_lit(np.concatenate(pixels), np.concatenate(lights), bool(ramp >= _RAMP)))


def _ramp(luminance: Array, rows: NDArray[np.intp], columns: NDArray[np.intp]) -> float:
    """How much of the variance of light over a surface a smooth shading explains, 0..1.

    The shading is of second degree in the place: a wall, a cylinder or a ball lit from somewhere is near
    that, texture and folds are not.
    """
    if len(rows) < 20:
        return 0.0
    y, x = ((at - at.mean()) / (np.std(at) + 1e-9) for at in (rows, columns))
    light = np.log(np.maximum(luminance, 1e-6))
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)
    normal = terms.T @ terms + 1e-9 * len(light) * np.eye(terms.shape[1])  # a line has no terms across
    fit = terms @ np.linalg.solve(normal, terms.T @ light)
    return float(1 - np.var(light - fit) / max(float(np.var(light)), 1e-12))


def _lit(pixels: Array, luminance: Array, ramp: bool) -> Array:
    """The linear light of a surface where it is fully lit, from its pixels (n, 3) and their luminance.

    Along the surface's ray the distribution of light ends at full light. A surface that is mostly lit has
    a peak there, and its middle is taken. Where only a side or a corner is fully lit the distribution
    thins out towards its end as some power of the distance; three quantiles give that power, and the end.
    Neither is moved by a few glints, which are paler than the surface or too few.
    Texture and folds thin out as well, without an end: unless the shading is a smooth `ramp`, full light is
    no more than a fair share of the surface reaches, and its ratios are those of the lighter part.
    """
    from scipy.ndimage import gaussian_filter1d

    luminance = np.maximum(luminance, 1e-6)
    matt = _without_sheen(pixels, luminance)
    pixels, luminance = pixels[matt], luminance[matt]
    light = np.log(luminance)
    low, high = np.quantile(light, [0.02, 0.999])
    bins = int(np.clip((high - low + 0.1) / _STEP, 8, 4096))
    counts, edges = np.histogram(light, bins, (low - 0.05, high + 0.05))
    width = edges[1] - edges[0]
    density = gaussian_filter1d(counts.astype(float), max(1.0, 0.006 / width))
    middle = (edges[:-1] + edges[1:]) / 2
    bright = middle >= np.quantile(light, 0.8) - 0.02
    peak = density[bright].max()
    top = bottom = int(np.flatnonzero(density >= peak / 2)[-1])
    while bottom > 0 and density[bottom - 1] >= peak / 2:
        bottom -= 1
    if middle[top] - middle[bottom] < _PEAK:
        inside = slice(bottom, top + 1)
        end = float(np.average(middle[inside], weights=density[inside]))
    else:
        end = float(middle[np.flatnonzero(density >= _THIN * peak)[-1]])
        near = (light > end - 0.12) & (light < end + 0.03)
        ratios = pixels / np.maximum(pixels @ _LUMINANCE, 1e-6)[:, None]
        usual = np.median(ratios[near], axis=0) if near.any() else np.median(ratios, axis=0)
        off = np.abs(ratios - usual).sum(axis=1)
        own = light[off <= 3 * np.median(off) + 1e-9]
        third, second, first = np.quantile(own, [1 - 16 * _TAIL, 1 - 4 * _TAIL, 1 - _TAIL])
        if ramp:
            power = np.clip((second - third) / max(first - second, 1e-6), 2.0, 4.0)
            end = float(np.clip(first + (first - second) / (power - 1), end, end + _BEYOND))
    near = (light > end - 0.12) & (light < end + 0.03)
    if not ramp:
        half, fair = np.quantile(light, [0.5, _FAIR])
        end = min(end, float(fair))
        near = (light >= min(half, end - 0.12)) & (light < end + 0.03)
    if near.sum() < 10:
        near = light >= np.quantile(light, 0.7)
    mean = np.median(pixels[near] / np.maximum(pixels[near] @ _LUMINANCE, 1e-6)[:, None], axis=0)
    return np.asarray(mean / max(float(mean @ _LUMINANCE), 1e-6) * np.exp(end))  # black has no ratios


def _without_sheen(pixels: Array, luminance: Array) -> NDArray[np.bool_]:
    """Which pixels of a surface show its paint and no sheen (n,), from their linear light (n, 3).

    Sheen adds the lamp's white to the paint's light: the weakest channel, which the darker part of a
    strongly coloured surface hardly has, rises with the brightness. Of pale colours it tells nothing.
    """
    white = pixels.min(axis=1) / np.maximum(pixels.max(axis=1), 1e-6)
    dark, middle = np.quantile(luminance, [0.15, 0.5])
    darker = (luminance >= dark) & (luminance <= middle)
    own = float(np.median(white[darker]))
    paint = white <= own + max(_SHEEN[0], 4 * float(np.median(np.abs(white[darker] - own))))
    black = np.median(luminance) < _SHEEN[2]  # has no ratios
    if black or own > _SHEEN[1] or not 0.03 < 1 - paint.mean() < 0.6:
        return np.ones(len(pixels), dtype=bool)
    return np.asarray(paint)


# added white from which there is sheen; the most of its own that a colour may have; the least luminance
_SHEEN = 0.02, 0.15, 0.01
_CALM = 1.5  # pixels of smoothing before the end of the shading is looked for
_WIDE = 5  # pixels, as far as it reaches
_ENOUGH = 8_000  # pixels of a surface that tell its colour
_STEP = 0.004  # of the logarithm of light, a bin of its distribution
_THIN = 0.35  # of the greatest density, beyond which a surface without a peak is not simply lit
_TAIL = 0.01  # of a surface: the first of three quantiles of light, each of four times as much as the last
_BEYOND = 0.12  # of the logarithm of light, the most that the end may lie beyond the thinning
_PEAK = 0.035  # a distribution narrower than this is a peak and no shading
_RAMP = 0.95  # of the variance of light explained by its place, from which a shading is a smooth ramp
_FAIR = 0.9  # of a surface without one: the rest of it is brighter than full light
