"""Made pictures of painted surfaces, and what is found in them.

    python -m tests.benchmarks.clusters [N] [--set NAME] [--tuning] [--each] [--alone]

Each picture of the set "mixed" (the default) shows 3 to 9 surfaces of true colours known, in one of several
layouts, shaded from 1.0 down to 0.55 in linear light by one of several profiles, some with highlights, with
blur, noise and JPEG. The rival is plain k-means in CIELAB over all pixels (scikit-learn), told the count; for
the count, the silhouette.
The set "burnt" has spots that are burnt out, soft-edged or sharp, on one surface or across several, and on
half of the pictures white lettering or a white panel.
The other sets have one profile of shading each, the same on every surface, and colours well apart.
Pictures of the tuning seeds are for changing the code by, those of the held-back seeds for reporting.
"""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter
from scipy.optimize import linear_sum_assignment

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_decode, srgb_encode
from palette.sample.clusters import PictureColour, clusters

TUNING, HELD = range(1000, 1040), range(7000, 7048)
LAYOUTS = ("bands", "grid", "patches", "discs", "scattered", "tram")
PROFILES = ("mostly lit", "slope", "round", "ball", "facets", "patchy")
SETS = ("mixed", "burnt", "curved", "edge", "step", "cosine", "radial", "slope", "across")


@dataclass(frozen=True)
class Made:
    linear: np.ndarray  # (h, w, 3), as decoded from the JPEG
    lab: np.ndarray  # (n, 3), true colours in full light
    share: np.ndarray  # (n,)
    what: str


def make(seed: int, burnt: bool = False) -> Made:
    rng = np.random.default_rng(seed)
    height, width = (int(rng.integers(180, 420)) for _ in range(2))
    count = int(rng.integers(3, 10))
    apart = float(rng.choice([8, 12, 18]))
    layout = LAYOUTS[seed % len(LAYOUTS)]
    for _ in range(200):
        labels = _layout(layout, rng, height, width, count)
        share = np.bincount(labels.ravel(), minlength=count) / labels.size
        if share.min() > 0.012:
            break
        layout = "bands"
    lab = _colours(rng, count, apart)
    if burnt and rng.random() < 0.5 and difference(lab, np.array([96.0, 0.0, 1.0])).min() > 12:
        labels, lab = _with_white(rng, labels, lab)
        count = len(lab)
        share = np.bincount(labels.ravel(), minlength=count) / labels.size
    shade = np.ones((height, width))
    profile = str(rng.choice(PROFILES))
    for i in range(count):
        own = profile if rng.random() < 0.7 else str(rng.choice(PROFILES))
        if own == "facets" and np.hypot(lab[i, 1], lab[i, 2]) < 12:
            own = "slope"  # nothing in a picture tells a grey in hard shade from a darker grey
        shade[labels == i] = _shade(own, rng, labels == i)
    light = lab_to_linear(lab)[labels] * shade[..., None]
    if burnt:
        light = light + _burnt(rng, labels.shape)[..., None]
    elif rng.random() < 0.4:
        light = light + _highlights(rng, labels)[..., None]
    light = gaussian_filter(light, (rng.uniform(0.3, 1.1),) * 2 + (0,))
    levels = srgb_encode(np.clip(light, 0, 1)) * 255
    levels = levels + rng.normal(0, rng.uniform(0.5, 3.0), levels.shape)
    if rng.random() < 0.3:  # texture: grain that is wider than a pixel
        levels += gaussian_filter(rng.normal(0, 6, levels.shape[:2]), 1.2)[..., None]
    picture = Image.fromarray(np.clip(np.rint(levels), 0, 255).astype(np.uint8))
    stream = io.BytesIO()
    picture.save(stream, "JPEG", quality=int(rng.integers(78, 96)))
    linear = srgb_decode(np.asarray(Image.open(stream)) / 255)
    return Made(linear, lab, share, f"{layout}, {profile}, {count} colours {apart:g} apart")


def _made(which_set: str, seed: int) -> Made:
    return make(seed, which_set == "burnt") if which_set in ("mixed", "burnt") else make_even(seed, which_set)


def make_even(seed: int, profile: str) -> Made:
    """A picture whose surfaces are all shaded by one profile, their colours drawn from sRGB or CIELAB."""
    rng = np.random.default_rng([seed, SETS.index(profile)])
    height, width = (int(rng.integers(200, 620)) for _ in range(2))
    count = int(rng.integers(3, 10))
    for _ in range(200):
        layout = ("bands", "grid", "patches", "discs", "scattered")[int(rng.integers(5))]
        labels = _layout(layout, rng, height, width, count)
        share = np.bincount(labels.ravel(), minlength=count) / labels.size
        if share.min() > 0.015:
            break
    lab = _colours(rng, count, 18) if rng.random() < 0.5 else _srgb_colours(rng, count, 15)
    shade = np.ones((height, width))
    if profile == "across":
        shade = _even_shade(profile, rng, np.ones_like(labels, dtype=bool)).reshape(height, width)
    else:
        for i in range(count):
            shade[labels == i] = _even_shade(profile, rng, labels == i)
    light = lab_to_linear(lab)[labels] * shade[..., None]
    if rng.random() < 0.4:
        light = light + _highlights(rng, labels)[..., None]
    levels = srgb_encode(np.clip(light, 0, 1)) * 255 + rng.normal(0, rng.uniform(1, 3), light.shape)
    stream = io.BytesIO()
    picture = Image.fromarray(np.clip(np.rint(levels), 0, 255).astype(np.uint8))
    picture.save(stream, "JPEG", quality=int(rng.integers(75, 96)))
    linear = srgb_decode(np.asarray(Image.open(stream)) / 255)
    return Made(linear, lab, share, f"{layout}, {profile}, {count} colours")


def _srgb_colours(rng: np.random.Generator, count: int, apart: float) -> np.ndarray:
    chosen: list[np.ndarray] = []
    while len(chosen) < count:
        lab = linear_to_lab(srgb_decode(rng.uniform(0.08, 0.98, 3)))
        if all(difference(lab, other) >= apart for other in chosen):
            chosen.append(lab)
    return np.array(chosen)


def _even_shade(profile: str, rng: np.random.Generator, inside: np.ndarray) -> np.ndarray:
    rows, columns = np.nonzero(inside)
    angle = rng.uniform(0, 2 * np.pi)
    along = rows * np.sin(angle) + columns * np.cos(angle)
    along = (along - along.min()) / max(np.ptp(along), 1)
    if profile == "curved":
        return 1 - 0.45 * along**5
    if profile == "edge":  # a soft shadow over one side
        t = np.clip((along - 0.8) / 0.2, 0, 1)
        return 1 - 0.45 * t * t * (3 - 2 * t)
    if profile == "step":
        return np.where(along < 0.85, 1.0, 0.55)
    if profile == "cosine":  # a cylinder, lit from its middle
        return np.sqrt(1 - (1 - 0.55**2) * (2 * along - 1) ** 2)
    if profile == "radial":
        off = np.hypot(rows - rows.mean(), columns - columns.mean())
        return 1 - 0.45 * (off / max(off.max(), 1)) ** 2
    return 1 - 0.45 * along


def _colours(rng: np.random.Generator, count: int, apart: float) -> np.ndarray:
    chosen: list[np.ndarray] = []
    while len(chosen) < count:
        kind = rng.random()
        if kind < 0.2:
            lab = np.array([rng.uniform(15, 92), rng.normal(0, 1.5), rng.normal(0, 1.5)])
        elif kind < 0.35:
            lab = np.array([rng.uniform(14, 32), rng.normal(0, 14), rng.normal(0, 14)])
        else:
            lab = np.array([rng.uniform(25, 90), rng.normal(0, 30), rng.normal(5, 32)])
        light = lab_to_linear(lab)
        if light.min() < 0.004 or light.max() > 0.97:
            continue
        if all(difference(lab, other) >= apart for other in chosen):
            chosen.append(lab)
    return np.array(chosen)


def _layout(kind: str, rng: np.random.Generator, height: int, width: int, count: int) -> np.ndarray:
    y, x = np.mgrid[0:height, 0:width].astype(float)
    if kind == "bands":
        angle = rng.uniform(0, np.pi)
        along = x * np.cos(angle) + y * np.sin(angle)
        along = (along - along.min()) / np.ptp(along)
        edges = np.cumsum(rng.dirichlet(np.full(count, 3.0)))[:-1]
        return np.searchsorted(edges, along)
    if kind == "grid":
        columns, rows = int(rng.integers(3, 7)), int(rng.integers(3, 6))
        cells = np.concatenate([np.arange(count), rng.integers(0, count, max(0, columns * rows - count))])
        cells = rng.permutation(cells[: columns * rows])
        at = (y * rows // height).astype(int) * columns + (x * columns // width).astype(int)
        return cells[at]
    if kind == "patches":
        points = rng.uniform(0, 1, (count * 4, 2)) * [height, width]
        near = np.argmin((y[..., None] - points[:, 0]) ** 2 + (x[..., None] - points[:, 1]) ** 2, axis=-1)
        return near % count
    labels = np.zeros((height, width), dtype=int)
    if kind == "discs":
        for i in range(1, count):
            for _ in range(int(rng.integers(1, 4))):
                r = rng.uniform(0.07, 0.2) * min(height, width)
                cy, cx = rng.uniform(0, height), rng.uniform(0, width)
                labels[(y - cy) ** 2 + (x - cx) ** 2 < r * r] = i
        return labels
    if kind == "scattered":
        for i in range(1, count):
            for _ in range(int(rng.integers(1, 5))):
                h, w = rng.uniform(0.08, 0.35) * height, rng.uniform(0.08, 0.35) * width
                top, left = rng.uniform(0, height - h), rng.uniform(0, width - w)
                labels[int(top) : int(top + h), int(left) : int(left + w)] = i
        return labels
    # a tram's side: horizontal bands, windows of one colour, thin lining
    edges = np.sort(rng.uniform(0.1, 0.9, max(1, count - 2)))
    labels = np.searchsorted(edges, y / height)
    labels = np.minimum(labels, count - 2) if count > 2 else labels
    step = width / int(rng.integers(4, 8))
    windows = (x % step < 0.6 * step) & (y > 0.2 * height) & (y < 0.45 * height)
    labels[windows] = count - 1
    return labels


def _shade(profile: str, rng: np.random.Generator, inside: np.ndarray) -> np.ndarray:
    rows, columns = np.nonzero(inside)
    if not len(rows):
        return np.ones(0)
    angle = rng.uniform(0, 2 * np.pi)
    along = rows * np.sin(angle) + columns * np.cos(angle)
    along = (along - along.min()) / max(np.ptp(along), 1)
    if profile == "slope":
        return 1 - 0.45 * along
    if profile == "mostly lit":
        return 1 - 0.45 * np.clip((along - 0.6) / 0.4, 0, 1) ** rng.uniform(1, 2)
    if profile == "round":
        return 1 - 0.45 * (2 * np.abs(along - 0.5)) ** rng.uniform(1.5, 3)
    if profile == "ball":
        off = np.hypot(rows - rows.mean(), columns - columns.mean())
        return 1 - 0.45 * (off / max(off.max(), 1)) ** 2
    if profile == "facets":
        return np.where(along < rng.uniform(0.4, 0.8), 1.0, rng.uniform(0.55, 0.8))
    field = gaussian_filter(rng.normal(0, 1, inside.shape), 25)[rows, columns]
    field = (field - field.min()) / max(np.ptp(field), 1e-9)
    return 1 - 0.45 * np.clip(1.5 * field - 0.4, 0, 1)


def _highlights(rng: np.random.Generator, labels: np.ndarray) -> np.ndarray:
    height, width = labels.shape
    y, x = np.mgrid[0:height, 0:width]
    total = np.zeros(labels.shape)
    for _ in range(int(rng.integers(1, 6))):
        cy, cx, r = rng.uniform(0, height), rng.uniform(0, width), rng.uniform(2, 7)
        total += rng.uniform(0.2, 0.9) * np.exp(-((y - cy) ** 2 + (x - cx) ** 2) / (2 * r * r))
    return total


def _with_white(
    rng: np.random.Generator, labels: np.ndarray, lab: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """White bars or a white panel of some 2 % of a picture, painted over it."""
    labels = labels.copy()
    height, width = labels.shape
    h, w = int(0.12 * height), int(0.16 * width)
    top, left = int(rng.uniform(0, height - h)), int(rng.uniform(0, width - w))
    if rng.random() < 0.5:
        labels[top : top + h, left : left + w] = len(lab)
    else:
        for x in range(left, left + w, max(6, w // 4)):
            labels[top : top + h, x : x + max(4, w // 8)] = len(lab)
    return labels, np.concatenate([lab, [[96.0, 0.0, 1.0]]])


def _burnt(rng: np.random.Generator, shape: tuple[int, ...]) -> np.ndarray:
    """Spots of lamp light that stand far beyond white, 0.5 to 3 % of the picture in all."""
    height, width = shape
    y, x = np.mgrid[0:height, 0:width]
    spots = int(rng.integers(1, 5))
    radius = np.sqrt(rng.uniform(0.005, 0.03) * height * width / np.pi / spots)
    edge = float(rng.choice([0.3, 1.0, 2.5]))  # pixels over which it fades
    total = np.zeros(shape)
    for _ in range(spots):
        cy, cx, long = rng.uniform(0, height), rng.uniform(0, width), rng.uniform(1, 1.8)
        off = np.hypot((y - cy) * long, (x - cx) / long) - radius
        total += rng.uniform(1.5, 5) / (1 + np.exp(np.clip(off / edge, -50, 50)))
    return total


def errors(true: np.ndarray, labs: np.ndarray) -> np.ndarray:
    """CIEDE2000 from each true colour to its partner among the found, or the nearest where none is."""
    table = difference(true[:, None], labs[None])
    rows, columns = linear_sum_assignment(table)
    result = table.min(axis=1)
    result[rows] = table[rows, columns]
    return np.asarray(result)


def share_errors(made: Made, colours: Sequence[PictureColour]) -> np.ndarray:
    """How far off the share of each true colour is, by the found colour that is its partner."""
    table = difference(made.lab[:, None], np.array([c.lab for c in colours])[None])
    rows, columns = linear_sum_assignment(table)
    shares = np.zeros(len(made.lab))
    shares[rows] = [colours[column].share for column in columns]
    return np.asarray(np.abs(shares - made.share))


def plain_kmeans(made: Made, count: int) -> np.ndarray:
    from sklearn.cluster import KMeans

    lab = linear_to_lab(made.linear).reshape(-1, 3)
    return np.asarray(
        KMeans(count, n_init=3, random_state=0).fit(lab[:: max(1, len(lab) // 20000)]).cluster_centers_
    )


def silhouette_count(made: Made) -> int:
    from sklearn.cluster import KMeans
    from sklearn.metrics import silhouette_score

    lab = linear_to_lab(made.linear).reshape(-1, 3)
    lab = lab[np.random.default_rng(0).permutation(len(lab))[:2000]]
    scores = {
        k: silhouette_score(lab, KMeans(k, n_init=2, random_state=0).fit_predict(lab)) for k in range(2, 12)
    }
    return max(scores, key=lambda k: scores[k])


def main() -> None:
    which_set = sys.argv[sys.argv.index("--set") + 1] if "--set" in sys.argv else "mixed"
    if which_set not in SETS:
        raise SystemExit(f"--set is one of {', '.join(SETS)}")
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    seeds = (TUNING if "--tuning" in sys.argv else HELD)[: numbers[0] if numbers else None]
    told, untold, rival, right, silhouette, shares, seconds = [], [], [], [], [], [], 0.0
    for seed in seeds:
        made = _made(which_set, seed)
        start = time.perf_counter()
        auto = clusters([made.linear])
        seconds += time.perf_counter() - start
        fixed = clusters([made.linear], len(made.lab))
        untold.append(errors(made.lab, np.array([c.lab for c in auto.colours])))
        told.append(errors(made.lab, np.array([c.lab for c in fixed.colours])))
        shares.append(share_errors(made, auto.colours))
        right.append(len(auto.colours) == len(made.lab))
        if "--alone" not in sys.argv:
            rival.append(errors(made.lab, plain_kmeans(made, len(made.lab))))
            silhouette.append(silhouette_count(made) == len(made.lab))
        if "--each" in sys.argv:
            print(
                f"{seed}  found {len(auto.colours)} of {len(made.lab)}  untold {np.median(untold[-1]):5.2f}  "
                f"told {np.median(told[-1]):5.2f}  worst {untold[-1].max():5.1f}  {made.what}"
            )
    which = "tuning" if "--tuning" in sys.argv else "held back"
    print(f"{len(seeds)} made pictures, {which_set}, {which}; median CIEDE2000 from the lit colours")
    told_error, untold_error = (float(np.median(np.concatenate(e))) for e in (told, untold))
    print(f"  told the count    {told_error:.2f}")
    print(f"  untold            {untold_error:.2f}   right count in {np.mean(right):.0%}")
    print(f"  share of the area {np.median(np.concatenate(shares)):.4f} off")
    if rival:
        plain = float(np.median(np.concatenate(rival)))
        print(
            f"  plain k-means     {plain:.2f}   "
            f"(told; silhouette finds the count in {np.mean(silhouette):.0%})"
        )
        print(f"  ratios            {told_error / plain:.2f} told, {untold_error / plain:.2f} untold")
    print(f"  {seconds / len(seeds):.2f} s a picture")


if __name__ == "__main__":
    main()
