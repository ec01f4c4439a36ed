"""The desk in a real browser: a rectangle is dragged on a picture, sent, and stands in kit.toml."""

from __future__ import annotations

import re
import shutil
import subprocess
import threading
from pathlib import Path

import pytest
from werkzeug.serving import make_server

from palette.desk.app import make_app
from palette.desk.bench import Desk
from palette.kit.model import Kit, Rect
from tests.desk.desk_made import small_kit

CHROMIUM = next(
    (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None
)

# What a hand would do, on the page that holds the picture. The page's policy lets it in as the desk's own.
HAND = """
addEventListener("load", () => {
  if (document.querySelector(".said") || !document.querySelector("svg.marks")) return;
  const marks = document.querySelector("svg.marks"), frame = marks.getBoundingClientRect();
  const across = Number(marks.dataset.across), unit = frame.width / across;
  const move = (name, x, y) => marks.dispatchEvent(new PointerEvent(name, { bubbles: true, isPrimary: true,
    pointerId: 1, button: 0, clientX: frame.left + x * unit, clientY: frame.top + y * unit }));
  move("pointerdown", 236, 36); move("pointermove", 220, 20);
  move("pointermove", 204, 4); move("pointerup", 204, 4);
  move("pointermove", 9, 9); // let go: this is no more dragging
  if (!document.getElementById("new-line").classList.contains("shown")) return;
  document.querySelector("select[name=part]").value = "roof";
  document.querySelector("#marking button").click();
});
"""


# Says how far the page reaches beyond the window, and which cells no one can see without scrolling sideways.
REACH = """
addEventListener("load", () => {
  const root = document.documentElement;
  const seen = [...document.querySelectorAll("main td, main th, main button")];
  root.dataset.window = innerWidth;
  root.dataset.beyond = root.scrollWidth - innerWidth;
  root.dataset.unseen = seen.filter(cell => cell.getBoundingClientRect().left >= innerWidth).length;
});
"""


def visit(tmp_path, page: str, hand: str, size: str, name: str = "Waist panels") -> tuple[str, Path]:
    """The page of a small kit, whose first part has that name, as a browser shows it after the script `hand`,
    and the kit."""
    kit = small_kit(tmp_path)
    kit.write_text(kit.read_text().replace("Waist panels", name))
    desk = Desk(tmp_path)
    app = make_app(desk)
    app.add_url_rule("/hand.js", view_func=lambda: (hand, {"Content-Type": "text/javascript"}))

    @app.after_request
    def put_in(response):
        if response.mimetype == "text/html":
            response.set_data(
                response.get_data().replace(b"</body>", b'<script src="/hand.js"></script></body>')
            )
        return response

    server = make_server("127.0.0.1", 0, app, threaded=True)
    desk.listen(server.server_port)
    bench = desk.open(kit)
    bench.look(Kit.read(kit), "a", patience=60)  # so that the page comes at once
    bench.survey(Kit.read(kit), patience=60)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    options = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync"]
    options += ["--disable-background-networking", "--disable-component-update", f"--window-size={size}"]
    options += [f"--user-data-dir={tmp_path / 'profile'}", "--virtual-time-budget=20000", "--dump-dom"]
    try:
        address = f"http://127.0.0.1:{server.server_port}{page}&ticket={desk.tickets.issue()}"
        run = subprocess.run([CHROMIUM, *options, address], capture_output=True, text=True, timeout=300)
    finally:
        server.shutdown()
    return run.stdout, kit


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium here")
def test_a_rectangle_dragged_is_a_sample_in_the_kit(tmp_path):
    page, kit = visit(tmp_path, "/kit/1/reference?id=a", HAND, "1280,1600")
    sample = Kit.read(kit).references[0].samples[-1]
    assert sample.part == "roof" and isinstance(sample.region, Rect)
    drawn = (sample.region.x, sample.region.y, sample.region.width, sample.region.height)
    assert drawn == pytest.approx((204, 4, 32, 32), abs=1)
    assert "Marked" in page and 'id="marking"' in page


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium here")
def test_a_page_fits_a_phone(tmp_path):
    """Fails where a table, what is hidden in it, or a long name makes the page wider than the window, or a
    column of a table stands off it."""
    long = "Lower panels of the second-class compartment, on the left as seen from the depot end of the line"
    page, _ = visit(tmp_path, "/kit/1/reference?id=a", REACH, "390,844", long)
    measures = {
        key: int(re.search(rf'data-{key}="(-?\d+)"', page)[1]) for key in ("window", "beyond", "unseen")
    }
    assert measures["window"] < 700 and measures["beyond"] <= 0 and measures["unseen"] == 0
