"""Regions as pixels: those whose centres lie inside."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palette.evidence.pictures.regions import holds, pixels
from palette.kit.model import Polygon, Rect, Spot

WIDTH, HEIGHT = 12, 9
number = st.floats(-4, 16, allow_nan=False).map(lambda v: round(v, 3))


def whole(region) -> np.ndarray:
    """The region as a mask of the whole picture."""
    (x0, y0, x1, y1), mask = pixels(region, WIDTH, HEIGHT)
    assert 0 <= x0 <= x1 <= WIDTH and 0 <= y0 <= y1 <= HEIGHT
    assert mask.shape == (y1 - y0, x1 - x0) and mask.dtype == bool
    out = np.zeros((HEIGHT, WIDTH), bool)
    out[y0:y1, x0:x1] = mask
    return out


CENTRES = np.stack(np.meshgrid(np.arange(WIDTH) + 0.5, np.arange(HEIGHT) + 0.5), -1)


@given(number, number, number.map(abs), number.map(abs))
def test_rect_is_half_open(x, y, width, height):
    cx, cy = CENTRES[..., 0], CENTRES[..., 1]
    want = (x <= cx) & (cx < x + width) & (y <= cy) & (cy < y + height)
    np.testing.assert_array_equal(whole(Rect(x, y, width, height)), want)


@given(number, number, number.map(abs))
def test_spot_is_the_closed_disc(x, y, radius):
    want = (CENTRES[..., 0] - x) ** 2 + (CENTRES[..., 1] - y) ** 2 <= radius * radius
    np.testing.assert_array_equal(whole(Spot(x, y, radius)), want)


@given(st.lists(st.tuples(number, number), min_size=3, max_size=7))
def test_polygon_agrees_with_a_ray_from_every_centre(points):
    """Each centre by a ray of its own, one edge at a time."""
    want = np.zeros((HEIGHT, WIDTH), bool)
    for j, i in np.ndindex(HEIGHT, WIDTH):
        px, py = i + 0.5, j + 0.5
        inside = False
        for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1], strict=True):
            if (ay > py) != (by > py) and px > ax + (py - ay) * (bx - ax) / (by - ay):
                inside = not inside
        want[j, i] = inside
    got = whole(Polygon(tuple(points)))
    # only a centre that lies on the outline to the last bit may fall either way
    for j, i in zip(*np.nonzero(want != got), strict=True):
        distances = []
        for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1], strict=True):
            d = np.array([bx - ax, by - ay])
            t = np.clip(np.dot([i + 0.5 - ax, j + 0.5 - ay], d) / max(d @ d, 1e-12), 0, 1)
            distances.append(np.hypot(*(np.array([ax, ay]) + t * d - [i + 0.5, j + 0.5])))
        assert min(distances) < 1e-6


def test_a_polygon_around_a_rectangle_is_that_rectangle():
    square = Polygon(((2.5, 1.5), (8.5, 1.5), (8.5, 6.5), (2.5, 6.5)))
    np.testing.assert_array_equal(whole(square), whole(Rect(2.5, 1.5, 6, 5)))


def test_neighbouring_polygons_share_no_pixel_and_leave_none_out():
    left = Polygon(((0, 0), (7.5, 0), (3.5, 9), (0, 9)))
    right = Polygon(((7.5, 0), (12, 0), (12, 9), (3.5, 9)))
    assert (whole(left) ^ whole(right)).all()


@pytest.mark.parametrize(
    "region",
    [
        Rect(2.6, 2.6, 0.5, 0.5),
        Rect(3, 3, 0, 4),
        Spot(3, 3, 0.2),
        Rect(40, 2, 5, 5),
        Polygon(((1, 1), (2, 2))),
    ],
)
def test_a_region_without_a_centre_is_empty(region):
    assert not whole(region).any()


def test_the_box_is_small_however_large_the_picture():
    box, mask = pixels(Spot(5000.5, 4000.5, 3), 10_000, 8_000)
    assert mask.size <= 64 and mask.sum() == 29  # lattice points within 3 of the origin (OEIS A000328)
    assert box[0] >= 4996


def test_whether_a_region_lies_inside():
    assert holds(Rect(0, 0, 12, 9), WIDTH, HEIGHT)
    assert not holds(Rect(0, 0, 12.1, 9), WIDTH, HEIGHT)
    assert holds(Spot(3, 3, 3), WIDTH, HEIGHT) and not holds(Spot(3, 3, 3.1), WIDTH, HEIGHT)
    assert not holds(Polygon(((0, 0), (5, -1), (3, 3))), WIDTH, HEIGHT)
