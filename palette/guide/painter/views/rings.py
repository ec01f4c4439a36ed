"""Rings around what is lit in a small picture, so that the eye finds it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Box = tuple[float, float, float, float]  # left, top, right, bottom in pixels

_SMALLEST = 0.045  # of the picture's width: the radius of a ring at least
_LINE = 4  # pixels of a picture 520 wide
_FEW = 0.004  # of the picture: what is lit on less is ringed
_MOST = 6


def ringed(levels: NDArray[np.uint8], boxes: Sequence[Box]) -> NDArray[np.uint8]:
    """Levels (h, w, 3) with a ring around each box, white outside black."""
    from PIL import Image, ImageDraw

    picture = Image.fromarray(levels)
    pen = ImageDraw.Draw(picture)
    line = max(1, round(_LINE * picture.width / 520))
    for left, top, right, bottom in boxes:
        radius = max(_SMALLEST * picture.width, 0.75 * max(right - left, bottom - top))
        x = _inside((left + right) / 2, radius + line, picture.width)
        y = _inside((top + bottom) / 2, radius + line, picture.height)
        for reach, fill in ((radius + line, (255, 255, 255)), (radius + line / 2, (0, 0, 0))):
            box = (x - reach, y - reach, x + reach, y + reach)
            pen.ellipse(box, outline=fill, width=2 * line if fill[0] else line)
    return np.asarray(picture)


def _inside(middle: float, reach: float, length: int) -> float:
    """Where a ring keeps within the picture, where it can."""
    return min(max(middle, reach), max(reach, length - reach))


def small_pieces(lit: NDArray[np.bool_]) -> list[Box]:
    """The boxes of what is lit (h, w), largest pieces first, where it is so little that it might be missed;
    else none."""
    from scipy.ndimage import find_objects, label

    if not 0 < lit.mean() < _FEW:
        return []
    pieces, count = label(lit)
    sizes = np.bincount(pieces.ravel(), minlength=count + 1)[1:]
    found = find_objects(pieces)
    largest = sorted(range(count), key=lambda i: (-int(sizes[i]), i))[:_MOST]
    kept: list[Box] = []
    for rows, columns in (found[i] for i in largest):
        box = float(columns.start), float(rows.start), float(columns.stop), float(rows.stop)
        reach = _SMALLEST * lit.shape[1]  # what lies within a ring gets none of its own
        middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        if all(np.hypot(middle[0] - (b[0] + b[2]) / 2, middle[1] - (b[1] + b[3]) / 2) > reach for b in kept):
            kept.append(box)
    return kept
