"""A card found in a photograph, and laid straight."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.evidence.pictures.decode import Picture, open_picture
from palette.paints.card import layout, marks

LEAST_SCALE = 2.0  # pixels a millimetre; below, a mark's module has fewer than four pixels and boxes blur
_MOST_SCALE = 8.0
_SEARCH = 2400  # pixels on the longer side in which the marks are looked for
_LEAST_MARKS = 6  # of eight: with fewer, a third of the sheet or more is not seen
_BENT = 1.5  # millimetres by which marks may lie off a plane


@dataclass(frozen=True)
class Sheet:
    """One sheet laid straight: `linear` (h, w, 3) and `clipped` (h, w, 3), `scale` pixels a millimetre."""

    file: Path
    number: int  # from 0
    scale: float
    linear: Array = field(repr=False)
    clipped: NDArray[np.bool_] = field(repr=False)

    def cut(self, rect: layout.Rect) -> tuple[Array, NDArray[np.bool_]]:
        """The pixels of a rectangle, and which are clipped."""
        x0, y0, x1, y1 = (
            round(v * self.scale) for v in (rect.x, rect.y, rect.x + rect.width, rect.y + rect.height)
        )
        return self.linear[y0:y1, x0:x1], self.clipped[y0:y1, x0:x1]


def find(path: Path) -> Sheet:
    """Find the one card in a photograph, at any angle, and lay it straight.

    Raises:
        InputError: no picture, no colour in it, no card, a part of one, several, one that is too small or
            bent, or OpenCV is not installed.
    """
    cv2 = _opencv()
    picture = open_picture(path)
    if picture.grey:
        raise _problem(path, "is black and white", "photograph the card in colour")
    number, corners = _one_card(path, picture, _marks(cv2, picture))
    on_card = np.concatenate([layout.mark_corners(position) for position in corners])
    in_photo = np.concatenate(list(corners.values()))
    to_photo, _ = cv2.findHomography(on_card, in_photo, cv2.RANSAC, 4.0)
    if to_photo is None:
        raise _problem(path, "shows marks that lie on no sheet", "photograph one card, laid flat")
    outline = np.array([[0, 0], [layout.WIDTH, 0], [layout.WIDTH, layout.HEIGHT], [0, layout.HEIGHT]])
    edge = _mapped(to_photo, outline)
    scale = float(np.linalg.norm(np.roll(edge, -1, axis=0) - edge, axis=1).min() / layout.HEIGHT)
    scale = max(scale, float(np.linalg.norm(edge[1] - edge[0]) / layout.WIDTH))
    if scale < LEAST_SCALE:
        what = f"is too small: the card is {scale * layout.WIDTH:.0f} pixels wide"
        remedy = f"photograph it nearer, {LEAST_SCALE * layout.WIDTH:.0f} pixels wide or more"
        raise _problem(path, what, remedy)
    off = float(np.median(np.linalg.norm(_mapped(to_photo, on_card) - in_photo, axis=1)) / scale)
    if off > _BENT:
        raise _problem(path, f"shows a bent card: its marks lie {off:.1f} mm off a plane", "lay it flat")
    if (edge < -0.5).any() or (edge > [picture.width + 0.5, picture.height + 0.5]).any():
        raise _problem(path, "cuts the card off at its edge", "photograph the whole sheet")
    return _straight(cv2, path, picture, number, to_photo, edge, min(scale, _MOST_SCALE))


def _opencv() -> Any:
    try:
        import cv2
    except ImportError as error:
        raise InputError(
            Problem(
                None,
                None,
                "reading a card needs OpenCV",
                "install it from palette's own folder: pip install '.[card]'",
            )
        ) from error
    return cv2


def _problem(path: Path, what: str, remedy: str) -> InputError:
    return InputError(Problem(str(path), None, what, remedy))


def _mapped(homography: Array, points: Array) -> Array:
    mapped = np.column_stack([points, np.ones(len(points))]) @ homography.T
    return np.asarray(mapped[:, :2] / mapped[:, 2:])


def _marks(cv2: Any, picture: Picture) -> list[tuple[int, Array]]:
    """Every mark seen: its number and corners (4, 2) in the photograph, clockwise from its own upper left."""
    levels = np.nan_to_num(picture.levels(), nan=1.0)
    image = np.rint(np.clip(levels, 0, 1) * 255).astype(np.uint8)
    shrink = min(1.0, _SEARCH / max(image.shape))
    if shrink < 1:
        image = cv2.resize(image, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.adaptiveThreshWinSizeMax = 53  # wide enough for a mark's border seen from near
    settings.minMarkerPerimeterRate = 0.015
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_250)
    corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary, settings).detectMarkers(image)
    if numbers is None:
        return []
    size = np.array([picture.width, picture.height]) / [image.shape[1], image.shape[0]]
    # OpenCV counts from the middle of the first pixel, a picture's edges from its corner
    return [
        (int(number), (np.reshape(one, (4, 2)).astype(np.float64) + 0.5) * size)
        for number, one in zip(np.ravel(numbers), corners, strict=True)
    ]


def _one_card(path: Path, picture: Picture, seen: list[tuple[int, Array]]) -> tuple[int, dict[int, Array]]:
    """The sheet's number, and the corners of its marks by their position."""
    by_sheet: dict[int, dict[int, list[Array]]] = {}
    for number, corners in seen:
        sheet, position = marks.place(number)
        if sheet < layout.SHEETS:
            by_sheet.setdefault(sheet, {}).setdefault(position, []).append(corners)
    # a lone mark of another sheet is a chance likeness
    cards = {sheet: by_position for sheet, by_position in by_sheet.items() if len(by_position) > 1}
    if not cards:
        small = min(picture.width, picture.height) < LEAST_SCALE * layout.WIDTH
        remedy = "photograph it nearer" if small else "its black marks must be sharp, whole and not mirrored"
        raise _problem(path, "shows no card" + (", or is too small for one" if small else ""), remedy)
    twice = [
        by_position
        for by_position in cards.values()
        if sum(len(each) > 1 for each in by_position.values()) > 1
    ]
    if len(cards) > 1 or twice:
        raise _problem(path, "shows more than one card", "photograph each sheet by itself")
    ((sheet, by_position),) = cards.items()
    if len(by_position) < _LEAST_MARKS:
        what = f"shows only a part of the card: {len(by_position)} of its {len(layout.MARKS)} marks"
        raise _problem(path, what, "photograph the whole sheet, with nothing on its marks and no glare")
    return sheet, {position: each[0] for position, each in sorted(by_position.items())}


def _straight(
    cv2: Any, path: Path, picture: Picture, number: int, to_photo: Array, edge: Array, scale: float
) -> Sheet:
    low = np.maximum(np.floor(edge.min(axis=0)).astype(int) - 2, 0)
    high = np.minimum(np.ceil(edge.max(axis=0)).astype(int) + 2, [picture.width, picture.height])
    box = (int(low[0]), int(low[1]), int(high[0]), int(high[1]))
    # pixels of the straight sheet -> millimetres -> the photograph -> the box cut from it, by pixel centres
    grow = np.array([[1 / scale, 0, 0.5 / scale], [0, 1 / scale, 0.5 / scale], [0, 0, 1]])
    shift = np.array([[1, 0, -low[0] - 0.5], [0, 1, -low[1] - 0.5], [0, 0, 1]])
    warp = shift @ to_photo @ grow
    size = round(layout.WIDTH * scale), round(layout.HEIGHT * scale)

    def straighten(image: Any) -> Any:
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        return cv2.warpPerspective(image, warp, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)

    linear = straighten(np.ascontiguousarray(picture.linear(box), dtype=np.float32))
    clipped = straighten(picture.clipped(box).astype(np.float32)) > 0.25
    return Sheet(path, number, scale, linear.astype(np.float64), clipped)
