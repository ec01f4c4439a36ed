"""Whole jobs at the bench in a real browser: by mouse, by keyboard alone, by touch; and axe on all."""

from __future__ import annotations

import base64
from collections.abc import Callable
from pathlib import Path
from typing import Any

from palette.kit.model import Kit, Polygon, Rect
from tests.browsing import opened
from tests.desk.desk_made import small_kit
from tests.desk.hands import PATCH, Bench, bare_kit, desk_with, marks, patch, photograph
from tests.evidence.combine.kits import ANCHORS

ANCHOR_TEXT = [" ".join(f"{value:g}" for value in lab) for lab in ANCHORS]
DROP = """([selector, name, data]) => {
  const bytes = Uint8Array.from(atob(data), letter => letter.charCodeAt(0));
  const transfer = new DataTransfer();
  transfer.items.add(new File([bytes], name, { type: "image/png" }));
  const target = document.querySelector(selector);
  for (const kind of ["dragenter", "dragover", "drop"]) {
    target.dispatchEvent(new DragEvent(kind, { bubbles: true, cancelable: true, dataTransfer: transfer }));
  }
}"""


def test_from_dropped_photographs_to_the_guide_by_mouse(page, tmp_path):
    kit = bare_kit(tmp_path / "car")
    photo = photograph(tmp_path / "brought" / "depot.png")
    with desk_with(kit) as address:
        bench = Bench(page, address())
        page.click("#bar nav a:has-text('Parts and kit')")
        page.get_by_label("A new part").fill("Waist panels")
        bench.press("Add the part")
        page.wait_for_selector("#row-waist-panels")
        page.click("#bar nav a:has-text('Pictures')")
        page.evaluate(DROP, ["#drop", photo.name, base64.b64encode(photo.read_bytes()).decode()])
        page.wait_for_selector("a.picture:has-text('depot')")
        assert (kit.parent / "references" / "depot.png").read_bytes() == photo.read_bytes()
        bench.open_picture("depot")
        page.select_option("#target", label="A surface of known colour")
        for i, text in enumerate(ANCHOR_TEXT):
            page.locator("#known input").fill(text)
            bench.press("Box")
            bench.drag(patch(i))
            bench.saved()
        page.select_option("#target", label="1 Waist panels")
        bench.drag(patch(len(ANCHORS)))
        bench.saved()
        assert marks(kit, "depot") == (len(ANCHORS), 1)
        page.wait_for_selector("#row-waist-panels .sure:has-text('±')", timeout=300_000)
        page.wait_for_selector("#row-waist-panels .chosen-paint .id")
        page.click("#bar nav a:has-text('Guide')")
        bench.press("Write the files")
        page.wait_for_selector(".written a:has-text('guide.pdf')", timeout=300_000)
        assert (kit.parent / "out" / "guide.pdf").read_bytes().startswith(b"%PDF")
        bench.fine()


def test_from_chosen_photographs_to_the_guide_by_keyboard(page, tmp_path):
    """Focus is moved by Tab and the keys that the bench tells of; nothing is clicked."""
    kit = bare_kit(tmp_path / "car")
    photo = photograph(tmp_path / "brought" / "depot.png")
    with desk_with(kit) as address:
        bench = Bench(page, address())
        keys = page.keyboard

        def tab_to(selector: str, most: int = 120) -> None:
            for _ in range(most):
                if page.evaluate("s => document.activeElement?.matches(s) ?? false", selector):
                    return
                keys.press("Tab")
            raise AssertionError(f"Tab never comes to {selector}")

        tab_to("#bar nav a[href='#/parts']")
        keys.press("Enter")
        tab_to(".add input[name=name]")
        for name in ("Waist panels", "Roof"):
            keys.type(name)
            keys.press("Enter")
            bench.saved()
            page.wait_for_function(
                "() => document.activeElement.matches('.add input') && !document.activeElement.value"
            )
        tab_to("#bar nav a[href='#/pictures']", 400)
        keys.press("Enter")
        tab_to("#drop input[type=file]")
        with page.expect_file_chooser() as chooser:
            keys.press("Space")
        chooser.value.set_files(photo)
        page.wait_for_selector("a.picture:has-text('depot')")
        tab_to("a.picture")
        keys.press("Enter")
        bench.picture_is_there()
        keys.press("/")
        keys.type("waist")
        keys.press("Enter")
        assert page.evaluate("document.activeElement.id") == "find-part"  # focus stays
        tab_to("#target", 300)
        keys.press("End")  # the last choice is a surface of known colour
        tab_to("#known input")
        keys.type("62 0 0")
        tab_to("#stage .pane")
        # Over the grey patch: pan until it is in the middle, then put a mark down and keep it.
        for _ in range(3):
            keys.press("+")
        bench.still()
        middle = page.locator("#stage").bounding_box()
        for _ in range(60):
            x, _ = bench.at(1.5 * PATCH, PATCH)
            off = x - (middle["x"] + middle["width"] / 2)
            if abs(off) < 40:
                break
            keys.press("ArrowRight" if off > 0 else "ArrowLeft")
            bench.still()
        keys.press("b")
        keys.press("Enter")
        for _ in range(8):
            keys.press("Alt+ArrowRight")
        keys.press("Enter")
        page.wait_for_function("() => paletteBench.kit.references[0].anchors.length")
        bench.saved()
        anchors = Kit.read(kit).references[0].anchors
        assert len(anchors) == 1 and isinstance(anchors[0].region, Rect)
        assert anchors[0].region.x > PATCH and anchors[0].region.x + anchors[0].region.width < 2 * PATCH
        keys.press("ArrowRight")  # nudged; kept once the keys rest
        nudged = "left => paletteBench.kit.references[0].anchors[0].region.rect[0] === left"
        page.wait_for_function(nudged, arg=anchors[0].region.x + 1)
        bench.saved()
        assert Kit.read(kit).references[0].anchors[0].region.x == anchors[0].region.x + 1
        keys.press("Control+z")
        bench.saved()
        page.wait_for_function("() => paletteBench.kit.redo")
        assert Kit.read(kit).references[0].anchors[0].region.x == anchors[0].region.x
        tab_to("#bar nav a[href='#/guide']", 400)
        keys.press("Enter")
        tab_to(".guide button.main")
        keys.press("Enter")
        page.wait_for_selector(".written a:has-text('guide.pdf')", timeout=300_000)
        bench.fine()


class Fingers:
    """Fingers on a touch screen."""

    def __init__(self, page) -> None:
        self.page, self.session = page, page.context.new_cdp_session(page)

    def put(self, kind: str, *points: tuple[float, float]) -> None:
        touched = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
        self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touched})
        self.page.wait_for_timeout(20)

    def stroke(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        self.put("touchStart", start)
        for i in range(1, 6):
            self.put(
                "touchMove", (start[0] + (end[0] - start[0]) * i / 5, start[1] + (end[1] - start[1]) * i / 5)
            )
        self.put("touchEnd")

    def tap(self, what: str, until: str) -> None:
        self.until(lambda: self.page.tap(what), until)

    def until(self, touch: Callable[[], None], shown: str | Callable[[], bool]) -> None:
        """Touches, and touches again where nothing came of it, as people do: on a busy machine a tap may take
        so long that it is a long press, and what is touched may move as answers come in."""
        come = (lambda: self.page.locator(shown).count()) if isinstance(shown, str) else shown
        for _ in range(24):
            touch()
            for _ in range(50):
                if come():
                    return
                self.page.wait_for_timeout(100)
        raise AssertionError(f"touching did not bring {shown}")

    def pinch(self, middle: tuple[float, float]) -> None:
        x, y = middle
        self.put("touchStart", (x - 40, y), (x + 40, y))
        for i in range(1, 6):
            self.put("touchMove", (x - 40 - 8 * i, y), (x + 40 + 8 * i, y))
        self.put("touchEnd")

    def chosen_file(self, what: str, file: Path) -> None:
        """Taps what asks for a file, and gives it one."""
        asked: list[Any] = []
        self.page.on("filechooser", lambda chooser: asked.append(chooser))
        self.until(lambda: self.page.tap(what), lambda: bool(asked))
        asked[0].set_files(file)


def test_from_chosen_photographs_to_the_guide_by_touch(browser, tmp_path):
    kit = bare_kit(tmp_path / "car")
    photo = photograph(tmp_path / "brought" / "depot.png")
    tablet = {"viewport": {"width": 820, "height": 1180}, "has_touch": True}
    with desk_with(kit) as address, opened(browser, **tablet) as page:
        bench, fingers = Bench(page, address()), Fingers(page)
        fingers.tap("#bar nav a:has-text('Parts and kit')", ".add button")
        page.get_by_label("A new part").fill("Waist panels")
        fingers.tap(".add button", "#row-waist-panels")
        fingers.tap("#bar nav a:has-text('Pictures')", "#drop")
        fingers.chosen_file("#drop input[type=file] >> nth=0", photo)
        page.wait_for_selector("a.picture:has-text('depot')")
        fingers.tap("a.picture", "#stage .overlay")
        bench.picture_is_there()
        # One finger pans, and draws nothing without a tool.
        before = bench.at(0, 0)
        fingers.until(
            lambda: fingers.stroke(bench.at(400, 120), bench.at(300, 150)), lambda: bench.at(0, 0) != before
        )
        bench.still()
        assert marks(kit, "depot") == (0, 0)

        # Two fingers pinch.
        def width() -> float:
            return bench.at(PATCH, 0)[0] - bench.at(0, 0)[0]

        whole = width()
        fingers.until(lambda: fingers.pinch(bench.at(420, 120)), lambda: width() > 1.3 * whole)
        bench.still()
        fingers.until(page.get_by_role("button", name="Whole", exact=True).tap, lambda: width() < 1.1 * whole)
        bench.still()
        page.select_option("#target", label="A surface of known colour")
        page.locator("#known input").fill("62 0 0")
        fingers.tap("button:has-text('Box')", "button[aria-pressed=true]:has-text('Box')")
        bench.still()
        left, top, right, bottom = patch(1)
        fingers.until(
            lambda: fingers.stroke(bench.at(left, top), bench.at(right, bottom)), ".overlay .tab.anchor"
        )
        bench.saved()
        page.select_option("#target", label="1 Waist panels")
        fingers.tap("button:has-text('Outline')", "button[aria-pressed=true]:has-text('Outline')")
        bench.still()
        left, top, right, bottom = patch(6)
        for n, corner in enumerate(((left, top), (right, top), (right, bottom))):
            fingers.until(lambda at=corner: page.touchscreen.tap(*bench.at(*at)), f".overlay .dot >> nth={n}")
        fingers.tap("text=Close the outline", ".tab.sample")
        page.wait_for_function("() => paletteBench.kit.references[0].samples.length")
        assert marks(kit, "depot") == (1, 1)
        assert isinstance(Kit.read(kit).references[0].samples[0].region, Polygon)
        assert bench.reach() <= 0
        fingers.tap("#bar nav a:has-text('Guide')", ".guide button.main")
        fingers.tap(".guide button.main", ".written a:has-text('guide.pdf')")
        bench.fine()


def test_nothing_keeps_anybody_out(page, tmp_path):
    """Looked through by axe-core in every state, at two widths, light and dark; and no page is wider than the
    window."""
    kit = small_kit(tmp_path)
    kit.write_text(kit.read_text() + '[[reference]]\nid = "gone"\nfile = "gone.png"\n')
    with desk_with(kit) as address:
        bench = Bench(page, address())

        def state(name: str) -> None:
            bench.axe(f"{name}, {page.viewport_size['width']} pixels")
            assert bench.reach() <= 0, name

        state("pictures")
        page.click(".tick input >> nth=0")
        state("a picture ticked")
        page.click("#bar nav a:has-text('Parts and kit')")
        page.click(".part-item summary >> nth=0")
        state("parts and kit")
        page.click("#bar nav a:has-text('Paints')")
        page.click(".pot >> nth=0")
        state("paints")
        page.select_option(".mixing select", label="a colour that I type")
        page.fill(".mixing input[name=colour]", "62 0 0")
        page.wait_for_selector(".bowl-bar .swatch >> nth=1")
        state("mixing for a typed colour")
        page.click("text=Add a paint")
        state("a paint added")
        page.keyboard.press("Escape")
        page.click("#bar nav a:has-text('Guide')")
        state("guide")
        page.click("#bar nav a:has-text('What to buy')")
        page.wait_for_selector(".bought h2:has-text('What goes on the brush')")
        state("what to buy")
        page.select_option(".bought select", label="straight from the pot only")
        bench.press("Find")
        page.wait_for_function(
            "() => document.querySelector('.bought select').value === '1' "
            "&& document.querySelector('.bought [role=status]').innerText === ''"
        )
        page.click("#bar nav a:has-text('Pictures')")
        bench.open_picture("a")
        page.click(".marked button >> nth=0")
        state("a picture at work, a mark chosen")
        bench.press("Wipe")
        bench.press("Outline")
        state("wiped, with a tool")
        page.wait_for_selector("#row-waist .sure:has-text('±')", timeout=300_000)
        page.click("#row-waist .row-button")
        for fold in page.locator("#row-waist .fold > summary").all():
            fold.click()
        state("a part open")
        page.emulate_media(color_scheme="dark")
        state("a part open, dark")
        page.click(".keys")
        state("the keys")
        page.keyboard.press("Escape")
        page.set_viewport_size({"width": 390, "height": 844})
        state("a picture at work")
        page.click("#bar nav a:has-text('Pictures')")
        state("pictures")
        page.click("#bar nav a:has-text('Parts and kit')")
        state("parts and kit")
        page.click("#bar nav a:has-text('Paints')")
        state("paints, dark")
        bench.fine()
