"""The desk's plain pages in a real browser: a rectangle is dragged on a picture and stands in kit.toml."""

from __future__ import annotations

import pytest

from palette.kit.model import Kit, Rect
from tests.browsing import opened
from tests.desk.desk_made import small_kit
from tests.desk.hands import desk_with

NAME = "Lower panels of the second-class compartment, on the left as seen from the depot end of the line"


def test_a_rectangle_dragged_is_a_sample_in_the_kit(page, tmp_path):
    kit = small_kit(tmp_path)
    with desk_with(kit, patience=120) as address:
        page.goto(address(page="reference?id=a"))
        page.wait_for_selector("svg.marks")
        frame = page.locator("svg.marks").bounding_box()
        unit = frame["width"] / float(page.get_attribute("svg.marks", "data-across"))

        def at(x, y):
            return frame["x"] + x * unit, frame["y"] + y * unit

        page.mouse.move(*at(236, 36))
        page.mouse.down()
        page.mouse.move(*at(220, 20))
        page.mouse.move(*at(204, 4))
        page.mouse.up()
        page.mouse.move(*at(9, 9))  # let go: this is no more dragging
        page.wait_for_selector("#new-line.shown", state="attached")
        page.select_option("select[name=part]", "roof")
        page.click("#marking button >> nth=0")
        page.wait_for_selector(".said:has-text('Marked')")
        assert page.locator("#marking").count() == 1
    sample = Kit.read(kit).references[0].samples[-1]
    assert sample.part == "roof" and isinstance(sample.region, Rect)
    drawn = (sample.region.x, sample.region.y, sample.region.width, sample.region.height)
    assert drawn == pytest.approx((204, 4, 32, 32), abs=1)


def test_a_page_fits_a_phone(browser, tmp_path):
    """Fails where a table, what is hidden in it, or a long name makes the page wider than the window, or a
    column of a table stands off it."""
    kit = small_kit(tmp_path)
    kit.write_text(kit.read_text().replace("Waist panels", NAME))
    with (
        desk_with(kit, patience=120) as address,
        opened(browser, viewport={"width": 390, "height": 844}) as page,
    ):
        page.goto(address(page="reference?id=a"))
        page.wait_for_selector(f"main :text('{NAME}')", state="attached")
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        lefts = page.evaluate(
            """[...document.querySelectorAll("main td, main th, main button")]
              .map(cell => cell.getBoundingClientRect().left)"""
        )
        assert len(lefts) > 5 and max(lefts) < 390
