"""Copies: one picture twice, scaled or compressed again, told from two exposures of the same view.

Two copies are wrong together, so that they must count once; two exposures are two witnesses, even in the same
light. What tells them apart is grain, which copies share and exposures do not; pictures of different size are
taken for copies by their levels alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import srgb_encode
from palette.pictures.decode import Picture

_SIDE = 32  # cells across and down of the whole
_WINDOWS, _ACROSS = 3, 24  # windows across and down whose grain is looked at, and pixels across each
_COPY = 5.0  # levels of 255: what scaling and compression change of the whole, root mean square, at most …
_CONTRAST = 0.15  # … and of its own contrast
_GRAIN = 0.4  # levels from which detail is grain, and not what rounding and compression leave
_SHARED = 0.3  # correlation of the grain of two copies that both keep theirs; that of two exposures is nil


@dataclass(frozen=True)
class Likeness:
    """What a copy of a picture is known by.

    `levels` (32, 32, 3) are sRGB levels, 0..255, of the whole; `detail` (9, h, w) what luma, in the same
    levels, departs by from its neighbours left and right, pixel by pixel in windows of the picture.
    """

    width: int
    height: int
    levels: NDArray[np.float32]
    detail: NDArray[np.float32]


def likeness(picture: Picture) -> Likeness:
    """The likeness of a picture that is decoded already, at a fraction of what that cost."""
    size = np.array([picture.width, picture.height])
    part = np.minimum(_ACROSS, size)
    starts = np.rint(np.outer((np.arange(_WINDOWS) + 0.5) / _WINDOWS, size - part)).astype(int)
    lumas = np.stack(
        [
            255 * picture.levels((x, y, x + int(part[0]), y + int(part[1])))
            for y in starts[:, 1]
            for x in starts[:, 0]
        ]
    )
    return Likeness(
        picture.width,
        picture.height,
        (255 * np.clip(np.nan_to_num(srgb_encode(picture.squeezed(_SIDE))), 0, 1)).astype(np.float32),
        np.nan_to_num(lumas[..., 1:-1] - (lumas[..., :-2] + lumas[..., 2:]) / 2),
    )


def copies(likenesses: Sequence[Likeness]) -> list[int]:
    """For each picture the place of the first that it is a copy of, its own where it is none."""
    first = list(range(len(likenesses)))
    if len(first) < 2:
        return first
    levels = np.stack([one.levels for one in likenesses])
    contrast = (levels - levels.mean(axis=(1, 2), keepdims=True)).std(axis=(1, 2, 3))
    for later, one in enumerate(likenesses):
        off = np.sqrt(((levels[:later] - one.levels) ** 2).mean(axis=(1, 2, 3)))
        near = (off <= _COPY) & (off <= _CONTRAST * contrast[:later])
        for earlier in np.flatnonzero(near).tolist():
            if first[earlier] == earlier and _one_picture(likenesses[earlier], one):
                first[later] = earlier
                break
    return first


def _one_picture(a: Likeness, b: Likeness) -> bool:
    """Whether pictures of like levels have like proportions, and no grain that tells them apart."""
    if abs(math.log(a.width / a.height / b.width * b.height)) > 0.03:
        return False
    if a.detail.shape != b.detail.shape or (a.width, a.height) != (b.width, b.height) or a.detail.size < 500:
        return True  # a scaled picture has no grain of its own to compare
    # Grain shows in the plainest windows, and there not at an edge.
    plainest = np.argsort(a.detail.std(axis=(1, 2)) + b.detail.std(axis=(1, 2)))[:_WINDOWS]
    x, y = (one.detail[plainest].ravel() for one in (a, b))
    sd = [float(np.median(np.abs(one))) / 0.6745 for one in (x, y)]
    if min(sd) < max(_GRAIN, 0.5 * max(sd)):
        return True
    plain = (np.abs(x) < 3 * sd[0]) & (np.abs(y) < 3 * sd[1])
    return float(np.corrcoef(x[plain], y[plain])[0, 1]) > _SHARED
