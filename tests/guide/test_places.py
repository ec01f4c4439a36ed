"""Labels on a picture: inside it, clear of each other where there is room, tied to their place."""

from hypothesis import given, settings
from hypothesis import strategies as st

from palette.guide.places import HEIGHT, WIDTH, Outline, figure_size, places
from palette.kit.model import Polygon, Rect, Spot


def boxes_apart(placed: tuple, width: int, height: int) -> bool:  # type: ignore[type-arg]
    boxes = [place.box for place in placed]
    return not any(
        a[0] < b[0] + b[2] - 1e-9
        and b[0] < a[0] + a[2] - 1e-9
        and a[1] < b[1] + b[3] - 1e-9
        and b[1] < a[1] + a[3] - 1e-9
        for i, a in enumerate(boxes)
        for b in boxes[:i]
    )


def test_neighbouring_places_get_labels_that_do_not_overlap() -> None:
    outlines = [Outline(str(i), Rect(100 + 130 * (i % 4), 100 + 90 * (i // 4), 60, 40)) for i in range(8)]
    assert boxes_apart(places(outlines, 800, 600), 800, 600)


def test_corner_places_keep_their_labels_inside_the_picture() -> None:
    corners = [(0, 0), (780, 0), (0, 580), (780, 580)]
    outlines = [Outline(str(i), Rect(x, y, 20, 20)) for i, (x, y) in enumerate(corners)]
    for place in places(outlines, 800, 600):
        x, y, w, h = place.box
        assert x >= -1e-9 and y >= -1e-9 and x + w <= 1 + 1e-9 and y + h <= 1 + 1e-9


def test_a_label_away_from_its_place_has_a_leader_that_ends_on_it() -> None:
    crowd = [Outline(str(i), Rect(390 + i, 290 + i, 20, 20)) for i in range(9)]
    leaders = [(place, place.leader) for place in places(crowd, 800, 600) if place.leader]
    assert leaders
    for place, leader in leaders:
        xs, ys = zip(*place.points, strict=True)
        assert min(xs) - 1e-9 <= leader[2] <= max(xs) + 1e-9 and min(ys) - 1e-9 <= leader[3] <= max(ys) + 1e-9


def test_regions_are_drawn_where_the_kit_says() -> None:
    outlines = [
        Outline("1", Rect(80, 60, 40, 30)),
        Outline("2", Spot(400, 300, 40)),
        Outline("3", Polygon(((0, 0), (800, 0), (400, 600)))),
    ]
    rect, spot, polygon = places(outlines, 800, 600)
    assert rect.points == ((0.1, 0.1), (0.15, 0.1), (0.15, 0.15), (0.1, 0.15))
    assert max(x for x, _ in spot.points) == 0.55 and abs(max(y for _, y in spot.points) - 340 / 600) < 1e-9
    assert polygon.points == ((0.0, 0.0), (1.0, 0.0), (0.5, 1.0))


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 60), st.integers(1, 5000), st.integers(1, 5000))
def test_any_number_of_places_on_any_picture(count: int, width: int, height: int) -> None:
    outlines = [Outline(str(i), Spot(i * 97 % width, i * 61 % height, 5 + i)) for i in range(count)]
    placed = places(outlines, width, height)
    across, down = figure_size(width, height)
    assert across <= WIDTH + 1e-6 and down <= max(HEIGHT, 1.0) + 1e-6
    assert all(0 <= v <= 1 for place in placed for point in place.points for v in point)
