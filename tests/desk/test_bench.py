"""The bench in a real browser: marks, what lights what, two browsers at once, a server that dies."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tomllib
from pathlib import Path
from unittest import mock

import pytest

from palette.desk import scheming
from palette.desk.scheming import Scheming
from palette.kit.model import Kit, Polygon, Rect, Spot
from tests.browsing import opened
from tests.desk.desk_made import small_kit
from tests.desk.hands import Bench, bare_kit, desk_with, marks, patch, photograph
from tests.evidence.combine.kits import BROWN, DARK, GREY, WHITE, part, picture, reference, write

# ---- a picture at work ----


def test_marks_of_every_shape_are_drawn_moved_reshaped_and_removed(page, tmp_path):
    kit = bare_kit(tmp_path / "car")
    photograph(tmp_path / "car" / "a.png")
    kit.write_text(kit.read_text() + '[[part]]\nid = "waist"\n[[reference]]\nid = "a"\nfile = "a.png"\n')
    with desk_with(kit) as address:
        bench = Bench(page, address())
        bench.open_picture("a")
        bench.press("Box")
        bench.drag((140, 40, 220, 200))
        bench.saved()
        bench.press("Spot")
        bench.drag((300, 120, 330, 120))
        bench.saved()
        bench.press("Outline")
        for corner in ((500, 40), (580, 40), (580, 200), (500, 40)):
            page.mouse.click(*bench.at(*corner))
        bench.saved()

        def drawn():
            return [sample.region for sample in Kit.read(kit).references[0].samples]

        box, spot, outline = drawn()
        assert isinstance(box, Rect) and isinstance(spot, Spot) and isinstance(outline, Polygon)
        assert (box.x, box.y, box.width, box.height) == pytest.approx((140, 40, 80, 160), abs=2)
        assert (spot.x, spot.y, spot.radius) == pytest.approx((300, 120, 30), abs=2)
        assert len(outline.points) == 3
        bench.press("Look about")
        page.mouse.click(*bench.at(180, 120))
        page.wait_for_selector(".mark.chosen[data-key=sample-0]")
        bench.drawn()
        bench.drag((180, 120, 190, 130))  # the body moves it
        bench.saved()
        assert (drawn()[0].x, drawn()[0].y) == pytest.approx((150, 50), abs=2)
        bench.drag((230, 210, 236, 220))  # a corner reshapes it
        bench.saved()
        assert (drawn()[0].width, drawn()[0].height) == pytest.approx((86, 170), abs=2)
        page.keyboard.press("Delete")
        bench.saved()
        assert len(drawn()) == 2
        page.keyboard.press("Control+z")
        bench.saved()
        page.wait_for_function("() => paletteBench.kit.references[0].samples.length === 3")
        assert len(drawn()) == 3
        # Drawing and undoing never moved the picture, and switching views does not either.
        where = bench.at(0, 0)
        page.keyboard.press("w")
        page.wait_for_selector("#wipe")
        bench.still()
        assert bench.at(0, 0) == pytest.approx(where, abs=1)
        bench.fine()


def test_the_colour_follows_the_pointer(page, tmp_path):
    kit = small_kit(tmp_path)
    with desk_with(kit) as address:
        bench = Bench(page, address())
        bench.open_picture("a")
        page.mouse.move(*bench.at(20, 20))
        page.wait_for_function("() => /Under the pointer/.test(document.querySelector('.readout').innerText)")
        light = page.inner_text(".readout .reading >> nth=0")
        page.mouse.move(*bench.at(6 * 40 + 20, 20))
        page.wait_for_function("() => /red|brown/.test(document.querySelector('.readout').innerText)")
        assert "white" in light or "yellow" in light
        bench.fine()


def test_what_grey_leaves_is_shown_when_it_comes(page, tmp_path):
    picture(tmp_path / "g.png", [WHITE, GREY, DARK, (50.0, 0.0, 0.0)], gains=(1, 1, 1))
    anchors = {i: f"{{ lab = {list(lab)} }}" for i, lab in enumerate([WHITE, GREY, DARK])}
    kit = write(tmp_path, part("waist"), reference("g", {3: "waist"}, anchors, tone="grey"))
    late: list[tuple] = []
    held = mock.patch.dict(scheming._HEARD, {"leaves": lambda *answer: late.append(answer)})
    with held, desk_with(kit) as address:
        bench = Bench(page, address())
        bench.open_picture("g")
        page.mouse.move(*bench.at(3 * 40 + 20, 20))
        page.wait_for_selector('.readout:has-text("in a moment")')
        for _ in range(2400):
            if late:
                break
            page.wait_for_timeout(50)
        Scheming._on_leaves(*late[-1])
        page.wait_for_selector('.readout:has-text("remain")')
        page.wait_for_selector(".readout .near .swatch")
        bench.fine()


def test_a_row_lights_its_marks_and_a_mark_lights_its_row(page, tmp_path):
    kit = small_kit(tmp_path)
    with desk_with(kit) as address:
        bench = Bench(page, address())
        bench.open_picture("a")
        page.hover("#row-waist .row-button")
        page.wait_for_selector(".mark.lit")
        page.wait_for_selector(".strip .miniature svg path")  # in the other picture, too
        page.mouse.move(5, 400)
        page.mouse.move(*bench.at(6 * 40 + 20, 20))
        page.wait_for_selector("#row-waist.lit")
        bench.fine()


def test_a_mark_is_what_the_page_says_it_is(page, tmp_path):
    """Fails where the picker says another thing than is written, a mark is lost with a colour that is not
    understood, the picture jumps when its colour is asked for, or Delete leaves a chosen mark where it is."""
    kit = small_kit(tmp_path)
    with desk_with(kit) as address:
        bench = Bench(page, address())
        bench.open_picture("a")
        picker, known = page.locator("#target"), page.locator("#known input")
        picker.select_option(label="2 roof")
        top = page.locator("#stage").bounding_box()
        picker.select_option(label="A surface of known colour")
        bench.drawn()
        assert page.locator("#stage").bounding_box() == top
        page.click("#row-roof .row-button")
        bench.drawn()
        assert picker.input_value() == "roof" and not known.count()
        picker.select_option(label="A surface of known colour")
        bench.press("Box")
        before = marks(kit, "a")
        bench.drag((87, 8, 110, 30))  # an anchor of its own, beside one that is there
        page.wait_for_function("() => document.activeElement.matches('#known input')")
        for text, kept in (("light grey", 0), ("N 6/", 1)):
            known.fill(text)
            page.keyboard.press("Enter")
            bench.saved()
            assert marks(kit, "a") == (before[0] + kept, before[1]), text
            assert page.locator(".mark.pending").count() == 1 - kept
            assert page.locator("#trouble .problems").count() == 1 - kept
            assert known.evaluate("input => input === document.activeElement")
        page.wait_for_selector(".mark-editor")
        page.get_by_label("Believed within").fill("wide")  # what is no number is said, not passed over
        page.keyboard.press("Tab")
        page.wait_for_selector("#trouble :text('spread must be a number')")
        bench.press("Wipe")
        page.keyboard.press("Delete")
        bench.saved()
        assert marks(kit, "a") == before
        assert page.locator(".readout .of").inner_text() == "Point at the picture"
        bench.fine()


# ---- two doors, and none ----


def test_two_browsers_on_one_kit_see_each_other_and_lose_nothing(browser, tmp_path):
    kit = small_kit(tmp_path)
    wide = {"viewport": {"width": 1400, "height": 900}}
    with desk_with(kit) as address, opened(browser, **wide) as mine, opened(browser, **wide) as theirs:
        one, two = Bench(mine, address()), Bench(theirs, address())
        for bench in (one, two):
            bench.page.click("#bar nav a:has-text('Parts and kit')")
            bench.page.wait_for_selector("#part-waist input")
        one.page.fill("#part-waist .part-line input", "Sides")
        one.page.keyboard.press("Tab")
        two.page.wait_for_function("() => paletteBench.kit.parts[0].name === 'Sides'")
        two.drawn()
        assert two.page.input_value("#part-waist .part-line input") == "Sides"
        # So does what an editor saves.
        kit.write_text(kit.read_text().replace('"Sides"', '"Flanks"'))
        one.page.wait_for_function("() => paletteBench.kit.parts[0].name === 'Flanks'")
        one.drawn()
        assert one.page.input_value("#part-waist .part-line input") == "Flanks"
        one.fine()


def test_a_clash_shows_both_versions_and_loses_none(page, tmp_path):
    kit = small_kit(tmp_path)
    page.route("**/api/events", lambda route: None)  # this page hears of nothing
    with desk_with(kit) as address:
        bench = Bench(page, address())
        page.click("#bar nav a:has-text('Parts and kit')")
        page.wait_for_selector("#part-waist input")
        kit.write_text(kit.read_text().replace("Waist panels", "Flanks"))
        page.fill("#part-waist .part-line input", "Sides")
        page.keyboard.press("Tab")
        shown = page.wait_for_selector("dialog .diff").inner_text()
        assert "Waist panels" in shown and "Flanks" in shown
        assert "Flanks" in kit.read_text()  # nothing was written over
        bench.axe("a clash")
        page.click("dialog button:has-text('Put mine in as well')")
        page.wait_for_function("() => paletteBench.kit.parts[0].name === 'Sides'")
        bench.saved()
        assert Kit.read(kit).parts[0].name == "Sides"
        page.click("#bar button:has-text('Undo')")  # theirs comes back: it was never lost
        page.wait_for_function("() => paletteBench.kit.parts[0].name === 'Flanks'")
        bench.fine()


def start_desk(kit: Path, port: int = 0) -> tuple[subprocess.Popen, str]:
    """`palette desk` as its own process, and the address it prints."""
    command = [sys.executable, "-m", "palette", "desk", str(kit), "--no-browser", "--port", str(port)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ})
    assert process.stdout is not None
    return process, process.stdout.readline().strip()


def test_a_server_killed_in_the_middle_of_a_drag_loses_nothing(page, tmp_path):
    kit = small_kit(tmp_path)
    before = kit.read_text()
    process, address = start_desk(kit)
    try:
        bench = Bench(page, address.replace("/kit/1/?", "/kit/1/bench?"))
        bench.open_picture("a")
        page.select_option("#target", "roof")
        bench.press("Box")
        page.mouse.move(*bench.at(85, 5))
        page.mouse.down()
        page.mouse.move(*bench.at(100, 20), steps=3)
        process.send_signal(signal.SIGKILL)
        process.wait()
        page.mouse.move(*bench.at(110, 35), steps=3)
        page.mouse.up()
        page.wait_for_selector("#trouble :text('1 change of yours')")
        assert kit.read_text() == before
        assert page.locator(".mark.pending").count() == 1  # it stays in sight
        port = int(address.split(":")[2].split("/")[0])
        process, address = start_desk(kit, port)
        page.on("dialog", lambda dialog: dialog.accept())
        page.goto(address.replace("/kit/1/?", "/kit/1/bench?"))
        bench.press("Save it now")
        page.wait_for_function("() => paletteBench.kit.references[0].samples.length === 2")
        assert marks(kit, "a")[1] == 2
        tomllib.loads(kit.read_text())
    finally:
        process.kill()
        process.wait()


# ---- everybody ----


def test_the_page_reads_without_scripts(browser, tmp_path):
    kit = small_kit(tmp_path)
    with desk_with(kit) as address, opened(browser, java_script_enabled=False) as page:
        page.goto(address())
        said = page.inner_text("body")
        assert "Waist panels" in said and "The bench needs scripts" in said
        page.click("text=Waist panels")
        page.wait_for_selector("h1:has-text('Waist panels')")


def test_a_brown_part_is_not_red(page, tmp_path):
    """The readout of a mark is the mark's own: another patch gives another colour."""
    kit = bare_kit(tmp_path / "car")
    photograph(tmp_path / "car" / "a.png", BROWN)
    kit.write_text(kit.read_text() + '[[part]]\nid = "waist"\n[[reference]]\nid = "a"\nfile = "a.png"\n')
    with desk_with(kit) as address:
        bench = Bench(page, address())
        bench.open_picture("a")
        bench.press("Box")
        for i, wanted in ((3, "blue"), (6, "brown|red|orange")):
            bench.drag(patch(i))
            bench.saved()
            page.wait_for_function(
                """wanted => document.querySelector(".readout .of").innerText.includes("In the mark")
                  && RegExp(wanted).test(document.querySelector(".readout .reading").innerText)""",
                arg=wanted,
            )
        bench.fine()
