"""The printed card. Fails when what is printed is not where a reader of the photograph looks for it."""

from __future__ import annotations

import io

import cv2
import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from pypdf import PdfReader

from palette.guide.card import render
from palette.paints.card import layout, marks
from tests.paints.card.photographs import PAGES, PPMM, _page

MILLIMETRE = 72 / 25.4


def test_the_marks_are_those_of_opencv() -> None:
    """OpenCV's own dictionary is the outside source; a wrong bit here is a card nobody can read."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_250)
    for number in range(layout.SHEETS * len(layout.MARKS)):
        drawn = cv2.aruco.generateImageMarker(dictionary, number, marks.MODULES) > 0
        assert np.array_equal(marks.modules(number), drawn)


@pytest.mark.parametrize(("paper", "sheet"), [("a4", 0), ("letter", 1)])
def test_opencv_finds_every_mark_where_the_layout_has_it(paper: str, sheet: int) -> None:
    page = np.rint((1 - _page(sheet, paper)) * 255).astype(np.uint8)
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_250)
    corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary).detectMarkers(page)
    assert sorted(np.ravel(numbers)) == [marks.number(sheet, position) for position in range(8)]
    edge = (np.array(PAGES[paper]) - [layout.WIDTH, layout.HEIGHT]) / 2
    for number, seen in zip(np.ravel(numbers), corners, strict=True):
        wanted = layout.mark_corners(marks.place(int(number))[1]) + edge
        assert np.abs(seen[0] / PPMM - wanted).max() < 0.35


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_is_printed_where_the_paper_is_read(paper: str) -> None:
    """A word or line in a spot would pass for a shadow."""
    page = _page(0, paper)
    left, top = (np.array(PAGES[paper]) - [layout.WIDTH, layout.HEIGHT]) / 2
    for spot in layout.paper_spots():
        x, y = (spot.x + left) * PPMM, (spot.y + top) * PPMM
        inked = page[round(y) : round(y + spot.height * PPMM), round(x) : round(x + spot.width * PPMM)]
        assert inked.size and inked.max() < 0.01, spot


LONG = "a name that is far too long for three lines above its boxes, even of the widest card, to the end"


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_card_has_as_many_sheets_as_it_needs_on_its_paper(paper: str) -> None:
    reader = PdfReader(
        io.BytesIO(
            render(
                25, paper, ["W1  White", "a name of sixty letters, which is the longest that is likely", LONG]
            )
        )
    )
    assert len(reader.pages) == 3
    for page in reader.pages:
        size = np.array([page.mediabox.width, page.mediabox.height], dtype=float)
        assert size == pytest.approx(np.array(PAGES[paper]) * MILLIMETRE, abs=0.5)
    text = reader.pages[0].extract_text()
    assert "W1  White" in text or "W1 White" in text
    assert "longest that is likely" in " ".join(text.split()) and "100 %" in text
    assert "…" in text and "the end" not in text
    assert "label" in text and "local rules" in " ".join(text.split())  # the cautions
    assert "25" in reader.pages[2].extract_text()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_name_runs_into_a_box(paper: str) -> None:
    """Fails where a name takes a fourth line, or its tails hang into the box below."""
    names = [
        "QUAYSIDEMARINEHOBBYLACQUERBOTTLE17MLSPEC Verylongwordwithoutanybreak",
        "gypsy jug",
        "腰板の色",
        LONG,
    ]
    document = pdfium.PdfDocument(render(12, paper, names * 3))
    page = document[0]
    boxes = [path.get_bounds() for path in page.get_objects(filter=(raw.FPDF_PAGEOBJ_PATH,))]
    boxes = [b for b in boxes if 50 < b[2] - b[0] < 75 and 50 < b[3] - b[1] < 75]
    assert len(boxes) >= 24
    text = page.get_textpage()
    for index in range(text.count_chars()):
        left, bottom, right, top = text.get_charbox(index)
        for a, b, c, d in boxes:
            assert right <= a or left >= c or top <= b or bottom >= d, (text.get_text_range(index, 1), names)
    document.close()
