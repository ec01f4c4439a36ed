"""A desk in a real browser, and the hands that work on it."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from palette.colour.spaces import lab_to_linear, srgb_encode
from palette.kit.model import Kit
from tests.browsing import PATIENCE
from tests.evidence.combine.kits import ANCHORS, PAINTS, RED

PATCH = 120  # pixels; a photograph is a row of them: the anchors' colours, then the part's
AXE = Path(__file__).parent / "vendor" / "axe.min.js"
FRAMES = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
# Told by frames and not by a clock: on a busy machine nothing moves for a while, and then it does.
STILL = """async () => {
  for (let was = null, same = 0; same < 8;) {
    await new Promise(requestAnimationFrame);
    const overlay = document.querySelector(".pane:not([hidden]) .overlay");
    const frame = overlay.getBoundingClientRect();
    const now = [overlay.querySelector("g").getAttribute("transform"), frame.left, frame.top].join(" ");
    same = now === was ? same + 1 : 0;
    was = now;
  }
}"""
CALM = "() => document.getAnimations().every(one => one.playState !== 'running')"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# All is looked through; but only of what is wrong are the places worked out, which takes most of the time.
ASKED = {"runOnly": RULES, "resultTypes": ["violations"]}


def photograph(path: Path, part: tuple[float, ...] = RED, seed: int = 0) -> Path:
    """Patches of known colour and one of the part's, under a warm cast, with a little grain."""
    linear = lab_to_linear(np.array([*ANCHORS, part], dtype=float)) * (1.0, 0.8, 0.55)
    patches = np.kron(np.stack([linear, linear]), np.ones((PATCH, PATCH, 1)))
    patches = patches * (1 + 0.02 * np.random.default_rng(seed).standard_normal(patches.shape))
    levels = np.rint(np.clip(srgb_encode(patches), 0, 1) * 255).astype(np.uint8)
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(levels).save(path)
    return path


def patch(i: int, inset: int = 20) -> tuple[float, float, float, float]:
    """The corners of a rectangle within patch i: left, top, right, bottom in pixels of the picture."""
    return i * PATCH + inset, inset, (i + 1) * PATCH - inset, 2 * PATCH - inset


def bare_kit(folder: Path) -> Path:
    """A kit with paints and nothing else."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "bench.csv").write_text(PAINTS)
    (folder / "kit.toml").write_text('schema = 1\n[kit]\ntitle = "Car 7"\nswatches = ["bench.csv"]\n')
    return folder / "kit.toml"


@contextmanager
def desk_with(*kits: Path, patience: float = 0) -> Iterator[Any]:
    """A desk with these kits on it, numbered from 1; yields a function from a kit's number and its page to an
    address that lets a browser in. With `patience`, what plain pages wait for is there: they come at once."""
    from werkzeug.serving import make_server

    from palette.desk.app import make_app
    from palette.desk.bench import Desk

    desk = Desk(kits[0].parent)
    server = make_server("127.0.0.1", 0, make_app(desk), threaded=True)
    desk.listen(server.server_port)
    for kit in kits:
        bench = desk.open(kit)
        if patience:
            asked = bench.kit()
            for reference in asked.references:
                bench.look(asked, reference.id, patience=patience)
            bench.survey(asked, patience=patience)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield (
            lambda number=1, page="bench": (
                f"http://127.0.0.1:{server.server_port}/kit/{number}/{page}"
                f"{'&' if '?' in page else '?'}ticket={desk.tickets.issue()}"
            )
        )
    finally:
        server.shutdown()
        desk.close()


class Bench:
    """The bench in a browser's page."""

    def __init__(self, page: Any, address: str) -> None:
        self.page = page
        self.wrong: list[str] = []
        page.on("pageerror", lambda error: self.wrong.append(f"{error}"))
        page.on("console", lambda said: self.wrong.append(said.text) if self._is_wrong(said) else None)
        page.set_default_timeout(PATIENCE)
        page.goto(address)
        page.wait_for_selector("body.running")

    @staticmethod
    def _is_wrong(said: Any) -> bool:
        return said.type == "error" and "Failed to load resource" not in said.text

    def fine(self) -> None:
        """Fails where a script failed or the page's policy was broken."""
        assert not self.wrong

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a point of the picture lies in the window."""
        answer = self.page.evaluate(
            """() => {
              const overlay = document.querySelector(".pane:not([hidden]) .overlay");
              const frame = overlay.getBoundingClientRect();
              return [overlay.querySelector("g").getAttribute("transform"), frame.left, frame.top];
            }"""
        )
        numbers = [float(n) for n in re.findall(r"-?[\d.]+(?:e-?\d+)?", answer[0])]
        return numbers[4] + x * numbers[0] + answer[1], numbers[5] + y * numbers[0] + answer[2]

    def open_picture(self, id: str) -> None:
        self.page.click(f'a.picture:has-text("{id}")')
        self.picture_is_there()

    def drag(self, corners: tuple[float, float, float, float]) -> None:
        """With the mouse, from one point of the picture to another: left, top, right, bottom."""
        (left, top), (right, bottom) = self.at(*corners[:2]), self.at(*corners[2:])
        mouse = self.page.mouse
        mouse.move(left, top)
        mouse.down()
        mouse.move((left + right) / 2, (top + bottom) / 2, steps=3)
        mouse.move(right, bottom, steps=3)
        mouse.up()

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).first.click()

    def picture_is_there(self) -> None:
        """Waits until the picture that is open has been drawn and stands still."""
        self.page.wait_for_selector(
            ".pane:not([hidden]):not([aria-busy]) .overlay g[transform]", state="attached"
        )
        self.still()

    def still(self) -> None:
        """Waits until the picture stands still."""
        self.page.evaluate(STILL)

    def drawn(self) -> None:
        """Waits until the page shows what it knows, and no colour is on its way to another."""
        self.page.evaluate(FRAMES)
        self.page.wait_for_function(CALM)

    def saved(self) -> None:
        """Waits until everything that was changed stands in kit.toml, and the page shows it."""
        self.page.wait_for_function("() => !paletteBench.sending")
        self.page.evaluate(FRAMES)

    def axe(self, state: str) -> None:
        """Fails with what keeps people out of the page as it is now. (The page's policy lets no script of a
        test in; the browser's own door for debuggers does.)"""
        self.drawn()
        session = self.page.context.new_cdp_session(self.page)
        session.send("Runtime.evaluate", {"expression": AXE.read_text("utf-8")})
        asked = f"axe.run({json.dumps(ASKED)})" + (
            ".then(found => JSON.stringify([found.passes.length, found.violations.map("
            "v => [v.id, v.nodes.length, v.nodes[0].html.slice(0, 200), v.nodes[0].failureSummary])]))"
        )
        answer = session.send(
            "Runtime.evaluate", {"expression": asked, "awaitPromise": True, "returnByValue": True}
        )
        passes, violations = json.loads(answer["result"]["value"])
        assert passes > 10, state
        assert not violations, f"{state}: {violations}"

    def reach(self) -> int:
        """How many pixels the page reaches beyond the window."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - innerWidth"))


def marks(kit: Path, id: str) -> tuple[int, int]:
    """How many known surfaces and how many samples a picture has in kit.toml."""
    reference = next(r for r in Kit.read(kit).references if r.id == id)
    return len(reference.anchors), len(reference.samples)
