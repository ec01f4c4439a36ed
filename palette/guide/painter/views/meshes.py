"""The model drawn from its meshes: the sides that show most parts, numbers around them, steps' parts lit."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.guide.painter.content import View
from palette.guide.painter.show import Shown
from palette.guide.painter.views import solid
from palette.guide.painter.views.callouts import MARGIN, framed
from palette.guide.painter.views.rings import ringed, small_pieces
from palette.kit.model import Kit
from palette.paints.mesh import UNITS

# (azimuth, elevation), degrees: the four corners from above, first those seen from the near side, then from
# below
SIDES = ((-32, 18), (32, 18), (148, 18), (212, 18), (-32, -22), (148, -22), (0, 75))
_TRIAL = 240  # pixels across while sides are compared
_FEWEST = 6  # pixels of those that a part must show to count as seen
_LARGE, _SMALL = 1800, 760  # samples across: of a view, of a step's picture
WIDTH, TALLEST = 161.0, 98.0  # mm: the first view fits into this
LESSER = 0.62  # of it: the other views
_MOST = 3
_COARSE = 4  # samples that a number's place is found in


def draw(kit: Kit, colours: Mapping[str, str], groups: Sequence[tuple[str, ...]]) -> Shown:
    """Views and steps of a kit whose parts have meshes. `colours` are `#rrggbb` by part id, '' where none is
    decided; `groups` the ids that steps light."""
    parts = [part for part in kit.parts if part.mesh is not None]
    number = {part.id: index for index, part in enumerate(kit.parts, 1)}
    units = [UNITS[part.mesh_unit or "mm"] for part in parts]
    model = solid.load([part.mesh for part in parts if part.mesh is not None], units)
    caster = solid.Caster(model)
    ids = [part.id for part in parts]
    rgb = np.array([_rgb(colours.get(id, "")) for id in ids])
    frames = [solid.axes(*side) for side in SIDES]
    trials, counts = _trials(caster, frames, len(ids))
    shown = _sides(counts)
    pictures: list[tuple[solid.Seen, Array, list[int] | None]] = []
    views: list[View] = []
    left = set(range(len(ids)))
    for place, side in enumerate(shown):
        mine = {i for i in left if counts[side, i] >= _FEWEST}
        if place == 0 and len(shown) > 1:  # a part is numbered where it shows best, but for slivers
            mine = {i for i in mine if counts[side, i] >= 0.25 * max(counts[s, i] for s in shown)}
        left -= mine
        seen = caster.look(frames[side], _width(place))
        views.append(
            _view(
                seen,
                len(pictures),
                [(i, number[ids[i]]) for i in sorted(mine)],
                1.0 if place == 0 else LESSER,
                side,
            )
        )
        pictures.append((seen, rgb, None))
    lit: dict[tuple[str, ...], int] = {}
    small: dict[int, solid.Seen] = {}
    for group in groups:
        members = [ids.index(id) for id in group if id in ids]
        if not members:
            continue
        side = int(np.argmax(counts[:, members].sum(axis=1)))
        if counts[side, members].sum() < _FEWEST:
            continue
        if side not in small:
            small[side] = caster.look(frames[side], _SMALL)
        lit[tuple(sorted(group))] = len(pictures)
        pictures.append((small[side], rgb, members))
    meet: dict[str, set[str]] = {}
    for trial in trials:
        for a, b in solid.meetings(trial):
            meet.setdefault(ids[a], set()).add(ids[b])
            meet.setdefault(ids[b], set()).add(ids[a])
    unseen = tuple(part.id for part in kit.parts if part.id not in ids or ids.index(part.id) in left)
    touching = {id: tuple(sorted(others)) for id, others in meet.items()}
    with ThreadPoolExecutor(os.cpu_count()) as painters:
        painted = tuple(painters.map(lambda each: solid.png(_painted(*each)), pictures))
    return Shown(painted, tuple(views), lit, unseen, touching)


def _painted(seen: solid.Seen, rgb: Array, lit: list[int] | None) -> NDArray[np.uint8]:
    levels = solid.paint(seen, rgb, lit)
    if lit is None:
        return levels
    height, width = levels.shape[:2]
    there = np.isin(seen.part, lit)[: height * solid.FINER : solid.FINER, : width * solid.FINER : solid.FINER]
    return ringed(levels, small_pieces(there))


def cast(paths: Sequence[Path], units: Sequence[float]) -> None:
    """Casts the rays that `draw` will ask for of a model, one mesh a part; but for steps whose parts show
    best together where none of them does alone.

    Raises:
        InputError: a mesh cannot be read.
    """
    caster = solid.Caster(solid.load(paths, units))
    frames = [solid.axes(*side) for side in SIDES]
    _, counts = _trials(caster, frames, len(paths))
    for place, side in enumerate(_sides(counts)):
        caster.look(frames[side], _width(place))
    for side in np.unique(counts.argmax(axis=0)):
        caster.look(frames[side], _SMALL)


def _trials(
    caster: solid.Caster, frames: Sequence[Array], parts: int
) -> tuple[list[solid.Seen], Array]:
    """Every side, small, and how much it shows of each part: pixels (sides, parts)."""
    trials = [caster.look(frame, _TRIAL) for frame in frames]
    counts = [np.bincount(t.part[t.part >= 0], minlength=parts) for t in trials]
    return trials, np.array(counts, dtype=np.float64)


def _width(place: int) -> int:
    """Samples across the view of that place."""
    return _LARGE if place == 0 else int(_LARGE * LESSER)


def _sides(counts: Array) -> list[int]:
    """Which sides to show: the one that shows most parts (then most of the small ones), then what adds
    some."""
    seen = counts >= _FEWEST
    chosen: list[int] = []
    covered = np.zeros(counts.shape[1], bool)
    while len(chosen) < _MOST:
        new = (seen & ~covered).sum(axis=1)
        if not new.max():
            break
        usual = [elevation > 0 for _, elevation in SIDES]  # nobody looks at a model from below first
        evenness = np.log1p(counts).sum(axis=1)
        best = max(range(len(counts)), key=lambda s: (int(new[s]), usual[s], float(evenness[s]), -s))
        chosen.append(best)
        covered |= seen[best]
    return chosen or [0]


def _view(
    seen: solid.Seen, picture: int, numbered: Sequence[tuple[int, int]], scale: float, side: int
) -> View:
    """The frame of a view in millimetres, with a number for each (part index, number)."""
    rows, columns = seen.part.shape
    size = min(WIDTH * scale / columns, TALLEST * scale / rows)
    width, height = columns * size, rows * size
    targets = []
    for index, _ in numbered:
        row, column = _roomiest(seen.part[::_COARSE, ::_COARSE] == index)
        row, column = row * _COARSE, column * _COARSE
        targets.append((MARGIN + (column + 0.5) * size, MARGIN + (row + 0.5) * size))
    return framed(picture, width, height, targets, [number for _, number in numbered], _caption(side))


def _roomiest(mask: np.ndarray) -> tuple[int, int]:
    """The pixel furthest from the edge of the largest piece of a mask."""
    from scipy.ndimage import distance_transform_edt, label

    pieces, count = label(mask)
    if count > 1:
        mask = pieces == 1 + int(np.argmax(np.bincount(pieces.ravel())[1:]))
    room = distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1]
    row, column = np.unravel_index(int(np.argmax(room)), room.shape)
    return int(row), int(column)


def _caption(side: int) -> str:
    azimuth, elevation = SIDES[side]
    if elevation > 60:
        return "above"
    if elevation < 0:
        return "below"
    return "near" if abs(azimuth) < 90 else "far"


def _rgb(hex: str) -> tuple[float, float, float]:
    if not hex:
        return (0.9, 0.9, 0.9)
    return (int(hex[1:3], 16) / 255, int(hex[3:5], 16) / 255, int(hex[5:7], 16) / 255)
