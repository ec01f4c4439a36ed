"""The sheet of a reference as it is beside corrected."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from palette.colour.spaces import linear_to_lab, srgb_decode
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.labels import overlap
from palette.evidence.pictures.looking import AnchorRow, Look, Mark, _labels, corrected, draw
from palette.kit.model import Polygon, Rect, Spot
from tests.faults.budget import cpu_seconds

RNG = np.random.default_rng(6)


def warm(linear: np.ndarray, place: np.ndarray) -> np.ndarray:
    """A correction with a gain a channel that grows across the picture, and a bend."""
    gain = np.array([0.8, 1.0, 1.6]) * (1 + 0.2 * place[:, :1])
    return linear_to_lab(np.clip(linear, 0, None) ** 1.1 * gain)


def test_a_picture_is_corrected_as_each_pixel_would_be():
    small = srgb_decode(RNG.random((40, 60, 3))).astype(np.float32)
    y, x = np.mgrid[:40, :60]
    place = np.stack([(x + 0.5) / 60, (y + 0.5) / 40], -1).reshape(-1, 2)
    want = warm(small.reshape(-1, 3).astype(float), place)
    got = linear_to_lab(corrected(small, warm)).reshape(-1, 3)
    difference = np.linalg.norm(want - got, axis=-1)
    # interpolated, for looking at: less than the eye tells apart
    assert np.median(difference) < 0.5 and np.percentile(difference, 99) < 3


def test_a_correction_is_asked_only_for_colours_that_the_picture_has():
    asked = []

    def counted(linear, place):
        asked.append(len(linear))
        return warm(linear, place)

    corrected(np.full((40, 60, 3), 0.3, np.float32), counted)
    assert asked == [3 * 3 * 2**3]  # at each place, the ends of the one cell of colours


def test_holes_stay_holes():
    small = np.full((4, 4, 3), 0.3, np.float32)
    small[0] = np.nan
    shown = corrected(small, warm)
    assert np.isnan(shown[0]).all() and np.isfinite(shown[1:]).all()


@pytest.fixture
def picture(tmp_path):
    Image.new("RGB", (600, 400), (128, 120, 110)).save(tmp_path / "a.png")
    return open_picture(tmp_path / "a.png")


def look(picture, **values) -> Look:
    marks = (
        Mark(Rect(100, 100, 80, 60), "A1", True),
        Mark(Spot(400, 200, 40), "waist", False),
        Mark(Polygon(((300, 20), (500, 20), (420, 90))), "крыша ventilators with a very long name", False),
        Mark(Rect(590, 390, 40, 40), "edge", False),
    )
    row = AnchorRow(
        "A1", "munsell N 5/", np.array([50, 0, 0.0]), np.array([52, 1, 0.0]), 1.9, None, "x" * 300
    )
    given = {
        "picture": picture,
        "title": "depot · A kit with a title that goes on " * 6,
        "lines": ("600 × 400",),
        "marks": marks,
        "correct": warm,
        "caption": "Corrected: by a gain",
        "rows": (row,),
        "notes": ("n " * 400,),
    }
    return Look(**{**given, **values})


def corner(sheet: np.ndarray) -> tuple[int, int]:
    """Top and left of the first panel: within its frame, which starts one pixel left of the margin."""
    return int(np.nonzero(sheet[:, 35] != 255)[0][0]) + 1, 36


def test_both_panels_are_drawn_and_marked(picture):
    sheet = np.asarray(draw(look(picture)).convert("L")).astype(int)
    assert sheet.shape[1] == 2 * 36 + 2 * 600 + 24
    background = int(np.asarray(Image.new("RGB", (1, 1), (128, 120, 110)).convert("L"))[0, 0])
    top, left = corner(sheet)
    panel = sheet[top : top + 400, left : left + 600]
    # outlines in black and in white on each mark's border, legible on any ground
    for y, x in ((130, 100), (100, 140), (200, 440), (20, 400)):
        near = panel[max(y - 4, 0) : y + 5, x - 4 : x + 5]
        assert near.min() < 60 and near.max() > 230, (y, x)
    # inside a mark the picture shows; the sample of the corrected panel differs from the first
    assert panel[130, 140] == background
    other = sheet[top + 130, left + 600 + 24 + 140]
    assert abs(other - background) > 3


def test_a_long_note_of_an_anchor_is_wrapped_not_cut(picture):
    # fails when the row is as high with ninety words as with one
    short, long = (
        draw(look(picture, rows=(replace(look(picture).rows[0], note=note),))).size[1]
        for note in ("left out", "left out " * 45)
    )
    assert long >= short + 60


def test_a_dashed_outline_is_told_from_a_solid_one(picture):
    sheet = np.asarray(draw(look(picture, correct=None, rows=(), notes=())).convert("L")).astype(int)
    top, left = corner(sheet)

    def dark_share(x0: int, x1: int, y: int) -> float:
        strip = sheet[top + y - 1 : top + y + 2, left + x0 : left + x1]
        return float((strip.min(axis=0) < 60).mean())

    assert 0.3 < dark_share(105, 175, 160) < 0.7  # the anchor's lower edge
    assert dark_share(330, 480, 20) > 0.95  # a sample's upper edge


@pytest.mark.parametrize("size", [(12, 8), (3000, 200), (200, 3000)])
def test_odd_sizes_are_drawn(tmp_path, size):
    Image.new("RGB", size, (90, 120, 60)).save(tmp_path / "a.png")
    mark = Mark(Rect(1, 1, 4, 4), "waist", False)
    sheet = draw(look(open_picture(tmp_path / "a.png"), marks=(mark,)))
    assert max(sheet.size) < 3000


def test_the_names_of_a_small_chart_do_not_hide_each_other():
    # fails when 24 names as large as elsewhere are laid over patches 30 pixels apart
    boxes = [(200 + 30 * i, 200 + 30 * j, 214 + 30 * i, 214 + 30 * j) for j in range(4) for i in range(6)]
    marks = [Mark(Rect(x, y, 14, 14), f"A{i + 1}", True) for i, (x, y, *_) in enumerate(boxes)]
    marks.append(Mark(Rect(500, 500, 60, 60), "roof", False))
    places, sizes = _labels((900, 700), marks, [*boxes, (500, 500, 560, 560)])
    assert not any(overlap(one, other) for i, one in enumerate(places) for other in places[:i])
    assert sizes[-1] == 16 > sizes[0]


def test_regions_far_larger_than_the_picture(picture):
    # took for ever: its dashes were drawn all the way round
    far = 1e9
    marks = (
        Mark(Rect(-far / 2, -far / 2, far, far), "A1", True),
        Mark(Rect(-far / 2, 200, far, far), "A2", True),
        Mark(Polygon(((-far, -far), (far, 0), (30, far))), "A3", True),
        Mark(Spot(100, 100, far), "waist", False),
    )
    with cpu_seconds(10):
        sheet = np.asarray(draw(look(picture, marks=marks, rows=(), notes=())).convert("L"))
    plain = np.asarray(draw(look(picture, marks=marks[:1], rows=(), notes=())).convert("L"))
    assert sheet.shape == plain.shape
    assert (sheet != plain).any()  # the edge that crosses the picture is drawn
