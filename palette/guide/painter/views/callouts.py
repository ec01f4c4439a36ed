"""Where numbers stand around a view: in its margin, apart from each other, their lines crossing as little
as may be.

In millimetres from the top left of the frame that holds the picture and its margin.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from palette.guide.painter.content import Callout, View

MARGIN = 8.5  # mm around the picture
APART = 7.2  # mm between the middles of two numbers on one side, of 5.7 mm and drawn smaller by up to 0.84
_BARE = 3.0  # of it where no number stands: half a number may reach there from the side
_OUT = 5.2  # mm from the picture's edge to a number's middle

Point = tuple[float, float]


def around(targets: Sequence[Point], width: float, height: float) -> list[Point]:
    """A place for each target's number: one on each target's nearest side while there is room, else further
    round. `width` and `height` are the picture's, targets lie in the frame."""
    sides: dict[str, list[int]] = {"top": [], "bottom": [], "left": [], "right": []}
    room = {
        "top": int((width + MARGIN) / APART),
        "bottom": int((width + MARGIN) / APART),
        "left": int(height / APART),
        "right": int(height / APART),
    }
    away = [_away(point, width, height) for point in targets]
    for index in sorted(range(len(targets)), key=lambda i: (min(away[i].values()), i)):
        free = [side for side in sides if len(sides[side]) < room[side]] or ["top"]
        sides[min(free, key=lambda side: (away[index][side], side))].append(index)
    places: list[Point] = [(0.0, 0.0)] * len(targets)
    for side, members in sides.items():
        flat = side in ("top", "bottom")
        along = 0 if flat else 1
        low = MARGIN / 2 if flat else MARGIN
        high = width + 1.5 * MARGIN if flat else height + MARGIN
        members.sort(key=lambda i: (targets[i][along], i))
        spots = spread([targets[i][along] for i in members], APART, low, high)
        fixed = {
            "top": MARGIN - _OUT,
            "bottom": MARGIN + height + _OUT,
            "left": MARGIN - _OUT,
            "right": MARGIN + width + _OUT,
        }[side]
        for index, spot in zip(members, spots, strict=True):
            places[index] = (spot, fixed) if flat else (fixed, spot)
    _uncross(places, targets)
    return places


def framed(
    picture: int,
    width: float,
    height: float,
    targets: Sequence[Point],
    numbers: Sequence[int],
    caption: str,
) -> View:
    """A picture with a number for each target, in a frame that has no margin above or below where no number
    stands there."""
    spots = around(targets, width, height)
    above = MARGIN if any(y < MARGIN - _OUT / 2 for _, y in spots) else _BARE
    below = MARGIN if any(y > MARGIN + height + _OUT / 2 for _, y in spots) else _BARE
    up = MARGIN - above
    callouts = tuple(
        Callout(number, "", x, y - up, (to[0], to[1] - up))
        for number, (x, y), to in zip(numbers, spots, targets, strict=True)
    )
    whole = width + 2 * MARGIN, above + height + below
    return View(picture, "", *whole, (MARGIN, above, width, height), callouts, caption)


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """Places along a line, in the order given (which rises), `apart` from each other, as near to what is
    wanted as may be, between `low` and `high` while they fit."""
    if not wanted:
        return []
    if (len(wanted) - 1) * apart > high - low:
        apart = (high - low) / max(1, len(wanted) - 1)
    # groups that touch move together to the mean of what their members want
    groups: list[list[float]] = []  # [sum of wanted less offset, count, start]
    for value in wanted:
        groups.append([value, 1, value])
        while len(groups) > 1 and groups[-2][2] + groups[-2][1] * apart > groups[-1][2]:
            last = groups.pop()
            first = groups[-1]
            first[0] += last[0] - last[1] * first[1] * apart
            first[1] += last[1]
            first[2] = first[0] / first[1]
    places: list[float] = []
    for _, count, start in groups:
        places += [start + k * apart for k in range(int(count))]
    for k in range(len(places)):  # within the line: pushed up from below, then down from above
        places[k] = max(places[k], low + k * apart, places[k - 1] + apart if k else low)
    for k in reversed(range(len(places))):
        places[k] = min(places[k], high - (len(places) - 1 - k) * apart)
    return places


def _away(point: Point, width: float, height: float) -> dict[str, float]:
    x, y = point[0] - MARGIN, point[1] - MARGIN
    return {"top": y, "bottom": height - y, "left": x, "right": width - x}


def _uncross(places: list[Point], targets: Sequence[Point]) -> None:
    """Swap places until no two lines cross, or no swap helps."""
    for _ in range(len(places)):
        swapped = False
        for i, j in combinations(range(len(places)), 2):
            if _cross(places[i], targets[i], places[j], targets[j]):
                now = math.dist(places[i], targets[i]) + math.dist(places[j], targets[j])
                then = math.dist(places[j], targets[i]) + math.dist(places[i], targets[j])
                if then < now:
                    places[i], places[j] = places[j], places[i]
                    swapped = True
        if not swapped:
            return


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
