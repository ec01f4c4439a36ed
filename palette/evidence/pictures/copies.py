"""Copies: one picture twice, told from two exposures of the same view.

Two copies are wrong together, so that they must count once; two exposures are two sources, even in the same
light. What tells them apart is grain, which copies share and exposures do not. A picture scaled or compressed
again has lost its grain, and is known by its levels alone, mirrored and turned too. One that is cropped, or
whose tones were edited, has other levels: only grain that both still have proves it a copy. So what was
edited or cropped and then scaled as well, or compressed until its grain is gone, is not recognised.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import srgb_encode
from palette.evidence.pictures.decode import LUMA, Picture
from palette.memory import remembered

Levels = NDArray[np.float32]


_SIDE = 32  # cells across and down of the whole
_WINDOWS, _ACROSS = 3, 24  # windows across and down whose grain is looked at, and pixels across each
_MIDDLE = 256  # pixels across and down of the middle, by which a cropped picture is laid over another
_COPY = 5.0  # levels of 255: what scaling and compression change of the whole, root mean square, at most …
_CONTRAST = 0.15  # … and of its own contrast
# Correlation of the luma of the whole where tones alone differ, and where edges do
_EDITED, _SHIFTED = 0.9, 0.6
_LEAST = 0.8  # of width and height that a crop leaves
_GRAIN = 0.4  # levels from which detail is grain, and not what rounding and compression leave
_SHARED = 0.3  # correlation of the grain of two copies that both keep theirs; that of two exposures is nil
_KEPT = 0.35  # of the grain, below which compression has left none to compare
_PROVEN = 0.4  # the same where the levels differ: exposures from one place share some of a fine texture, too
_TEXTURE = 1.3  # of the plainest windows' grain, from which the middle's is texture
TURNS = range(8)  # by how many times 90° a picture is turned, from 4 on mirrored before


@dataclass(frozen=True)
class Relation:
    """How a picture is a copy of another."""

    turn: int  # of TURNS
    change: str = ""  # edited | cropped


@dataclass(frozen=True)
class Likeness:
    """What a copy of a picture is known by.

    `levels` (32, 32, 3) are sRGB levels, 0..255, of the whole; `windows` (3, 3, h, w) luma in the same
    levels, pixel by pixel, in windows over the picture, and `middle` (h, w) in its middle.
    """

    width: int
    height: int
    levels: Levels
    windows: Levels
    middle: Levels


def likeness(picture: Picture) -> Likeness:
    """The likeness of a picture that is decoded already, at a fraction of what that cost."""
    size = np.array([picture.width, picture.height])
    part = np.minimum(_ACROSS - (size - _ACROSS) % 2, size)
    first = np.rint((size - part) / (2 * _WINDOWS)).astype(int)
    starts = (first, (size - part) // 2, size - part - first)  # as far from either side: a mirror keeps them
    windows = np.stack(
        [
            np.stack([picture.levels((x, y, x + int(part[0]), y + int(part[1]))) for x, _ in starts])
            for _, y in starts
        ]
    )
    middle = np.minimum(_MIDDLE, size)
    x, y = ((size - middle) // 2).tolist()
    return Likeness(
        picture.width,
        picture.height,
        (255 * np.clip(np.nan_to_num(srgb_encode(picture.squeezed(_SIDE))), 0, 1)).astype(np.float32),
        np.nan_to_num(255 * windows).astype(np.float32),
        np.nan_to_num(255 * picture.levels((x, y, x + int(middle[0]), y + int(middle[1])))).astype(
            np.float32
        ),
    )


def copies(likenesses: Sequence[Likeness]) -> list[int]:
    """For each picture the place of the first that it is a copy of, its own where it is none."""
    return list(_copies(tuple(likenesses)))


@remembered()
def _copies(likenesses: tuple[Likeness, ...]) -> tuple[int, ...]:
    first = list(range(len(likenesses)))
    if len(first) < 2:
        return tuple(first)
    levels = np.stack([one.levels for one in likenesses])
    contrast = (levels - levels.mean(axis=(1, 2), keepdims=True)).std(axis=(1, 2, 3))
    plain = _standard(levels)
    for later, one in enumerate(likenesses):
        likely = np.zeros((later, len(TURNS)), dtype=bool)
        for turn in TURNS:
            turned = _turned(one, turn)
            off = np.sqrt(((levels[:later] - turned.levels) ** 2).mean(axis=(1, 2, 3)))
            near = (off <= _COPY) & (off <= _CONTRAST * contrast[:later])
            likely[:, turn] = near | (plain[:later] @ _standard(turned.levels[None])[0] >= _SHIFTED)
        for earlier in np.flatnonzero(likely.any(axis=1)).tolist():
            turns = np.flatnonzero(likely[earlier]).tolist()
            if first[earlier] == earlier and relation(likenesses[earlier], one, turns) is not None:
                first[later] = earlier
                break
    return tuple(first)


def relation(a: Likeness, b: Likeness, turns: Sequence[int] = TURNS) -> Relation | None:
    """How `b` is a copy of `a`; None where it is none. It may have been turned in any of the ways `turns`."""
    spread = float((a.levels - a.levels.mean(axis=(0, 1))).std())
    for turn in turns:
        turned = _turned(b, turn)
        off = float(np.sqrt(((a.levels - turned.levels) ** 2).mean()))
        if off <= min(_COPY, _CONTRAST * spread):
            if _alike(a, turned):
                return Relation(turn)
            if (a.width, a.height) == (turned.width, turned.height):
                continue  # grain of its own
        alike = float(_standard(a.levels[None])[0] @ _standard(turned.levels[None])[0])
        if (a.width, a.height) == (turned.width, turned.height):
            if alike >= _EDITED and _same_grain(_tiles(a.windows), _tiles(turned.windows), _PROVEN):
                return Relation(turn, "edited")
        elif alike >= _SHIFTED and _cropped(a, turned):
            return Relation(turn, "cropped")
    return None


def _turned(one: Likeness, turn: int) -> Likeness:
    """A likeness as it would be of the picture turned so many times by 90°, from 4 on mirrored before."""
    if not turn:
        return one

    def moved(array: Levels, down: int) -> Levels:
        array = np.flip(array, down + 1) if turn >= 4 else array
        return np.rot90(array, turn % 4, (down, down + 1))

    width, height = (one.height, one.width) if turn % 2 else (one.width, one.height)
    return replace(
        one,
        width=width,
        height=height,
        levels=moved(one.levels, 0),
        windows=moved(moved(one.windows, 0), 2),
        middle=moved(one.middle, 0),
    )


def _standard(levels: Levels) -> NDArray[np.float64]:
    """Luma of levels (n, 32, 32, 3) as vectors (n, 1024) of mean 0 and length 1; 0 where nothing shows."""
    luma = (levels @ LUMA.astype(np.float64)).reshape(len(levels), -1)
    luma = luma - luma.mean(axis=1, keepdims=True)
    length = np.linalg.norm(luma, axis=1, keepdims=True)
    return np.where(length > _SIDE, luma / np.maximum(length, 1e-9), 0.0)  # an sd of a level


def _alike(a: Likeness, b: Likeness) -> bool:
    """Whether pictures of like levels have like proportions, and no grain that tells them apart."""
    if abs(math.log(a.width / a.height / b.width * b.height)) > 0.03:
        return False
    if a.windows.shape != b.windows.shape or (a.width, a.height) != (b.width, b.height):
        return True  # a scaled picture has no grain of its own to compare
    one, other = _tiles(a.windows), _tiles(b.windows)
    return one[:, :, 1:-1].size < 500 or not _other_grain(one, other)


def _tiles(windows: Levels) -> Levels:
    return windows.reshape(-1, *windows.shape[2:])


def _grain(a: Levels, b: Levels) -> tuple[list[float], float]:
    """The sd of the grain of two pictures in tiles (n, h, w) that lie over each other, and its correlation.

    Grain shows in the plainest tiles that are not burnt out, and there not at an edge.
    """
    fine = np.stack([luma[..., 1:-1] - (luma[..., :-2] + luma[..., 2:]) / 2 for luma in (a, b)])
    burnt = np.median(np.abs(fine), axis=(2, 3)).min(axis=0) < 0.1
    if burnt.all():
        return [0.0, 0.0], 0.0
    fine = fine[:, ~burnt]
    plainest = np.argsort(fine.std(axis=(2, 3)).sum(axis=0))[: max(1, len(a) // 3)]
    x, y = fine[:, plainest].reshape(2, -1)
    sd = [float(np.median(np.abs(one))) / 0.6745 for one in (x, y)]
    if min(sd) < _GRAIN:
        return sd, 0.0
    plain = (np.abs(x) < 3 * sd[0]) & (np.abs(y) < 3 * sd[1])
    return sd, float(np.corrcoef(x[plain], y[plain])[0, 1])


def _strength(tiles: Levels) -> float:
    """The sd of the grain of one picture in its plainest tiles (n, h, w)."""
    return _grain(tiles, tiles)[0][0]


def _other_grain(a: Levels, b: Levels) -> bool:
    """Whether two pictures have grain, each its own. The more of it a copy has lost, the less they share."""
    sd, together = _grain(a, b)
    return min(sd) >= max(_GRAIN, _KEPT * max(sd)) and together <= _SHARED * min(sd) / max(sd)


def _same_grain(a: Levels, b: Levels, least: float) -> bool:
    """Whether two pictures have grain beyond what compression leaves, with a correlation above `least`."""
    if a.size < 500:
        return False
    sd, together = _grain(a, b)
    return min(sd) >= 2 * _GRAIN and together > least


def _cropped(a: Likeness, b: Likeness) -> bool:
    """Whether the smaller of two pictures is a piece of the larger, as it is, a little off its edges."""
    small, large = sorted((a, b), key=lambda one: one.width)
    least = min(small.width / large.width, small.height / large.height)
    if least < _LEAST or small.height > large.height or min(small.middle.shape) < 4 * _ACROSS:
        return False
    if small.middle.shape != large.middle.shape:
        return False
    # where one lies over the other: phase correlation (Kuglin & Hines 1975)
    fade = np.outer(*(np.hanning(side) for side in small.middle.shape))
    fine = [np.fft.rfft2(fade * (one.middle - one.middle.mean())) for one in (large, small)]
    both = fine[0] * np.conj(fine[1])
    surface = np.fft.irfft2(both / np.maximum(np.abs(both), 1e-6), s=small.middle.shape)
    peak = np.array(np.unravel_index(int(surface.argmax()), surface.shape))
    shift = np.where(peak > np.array(surface.shape) // 2, peak - surface.shape, peak)
    room = np.array([large.height - small.height, large.width - small.width]) / 2
    if (np.abs(shift) > room + 1).any():
        return False
    down, across = shift.tolist()
    over = large.middle[max(0, down) :, max(0, across) :]
    under = small.middle[max(0, -down) :, max(0, -across) :]
    height, width = (min(over.shape[i], under.shape[i]) // _ACROSS for i in (0, 1))
    if not height or not width:
        return False

    def tiles(luma: Levels) -> Levels:
        cut = luma[: height * _ACROSS, : width * _ACROSS].reshape(height, _ACROSS, width, _ACROSS)
        return np.swapaxes(cut, 1, 2).reshape(-1, _ACROSS, _ACROSS)

    over, under = tiles(over), tiles(under)
    # the middle may hold nothing but texture, which two exposures share
    plain = min(_strength(_tiles(one.windows)) for one in (large, small))
    grain = min(_strength(over), _strength(under))
    return grain < _TEXTURE * plain and _same_grain(over, under, _SHARED)
