"""The shelf's pages in Chromium from a file address: found by colour, by own paints, and no violations."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from palette.shelf.kits import build_kit
from palette.shelf.pages import front
from palette.shelf.site import shelf
from tests.browsing import opened
from tests.desk.hands import ASKED, AXE
from tests.shelf.test_shelf import make

REVERSED = """
[[part]]
id = "roof"
  [[part.hint]]
  words = "deep blue"
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shelf")
    make(folder / "kits" / "red", "Red car")
    green = make(folder / "kits" / "green", "Green car", a=-30)
    (green / "kit.toml").write_text((green / "kit.toml").read_text() + REVERSED)
    (green / "README.md").write_text("# About\n\nMade of *card*.\n")
    old, new = folder / "old.csv", folder / "new.csv"
    text = (green / "list.csv").read_text()
    old.write_text(text)
    new.write_text(text.replace("R1,Signal", "R1,Signal red"))
    shelf([folder / "kits"], folder / "site", jobs=1, lists=(old, new))
    return folder / "site"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["index.html", "kits/green/about.html"])
def test_no_page_of_the_shelf_has_violations(browser: Any, site: Path, name: str, scheme: str) -> None:
    asked: list[str] = []
    with opened(browser, color_scheme=scheme, viewport={"width": 390, "height": 844}) as page:
        page.on("request", lambda request: asked.append(request.url))
        page.goto((site / name).as_uri())
        page.add_script_tag(content=AXE.read_text("utf-8"))
        violations = page.evaluate(f"axe.run({json.dumps(ASKED)})")["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in violations] == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "wider than a telephone"
    assert asked and all(url.startswith("file:") for url in asked)


def test_kits_are_found_by_colour_and_by_ones_own_paints(browser: Any, site: Path) -> None:
    with opened(browser) as page:
        page.goto((site / "index.html").as_uri())
        titles = "[...document.querySelectorAll('#kits h2')].map((h) => h.textContent)"
        page.fill("#words", "yellowish greens")
        assert page.evaluate(titles) == ["Green car"]
        assert "1 of 2 colours is a guess." in page.inner_text("#kits")
        page.fill("#words", "reddish oranges")
        assert page.evaluate(titles) == ["Red car"]
        assert "no longer as listed" in page.inner_text("#kits")
        page.fill("#words", "nothing like it")
        assert page.evaluate(titles) == [] and "Try fewer words" in page.inner_text("#told")
        page.fill("#words", "")
        mine = {
            "name": "mine.csv",
            "mimeType": "text/csv",
            "buffer": b"id,name,lab_l,lab_a,lab_b\nA,a,40,42,24\n",
        }
        page.set_input_files("#own", mine)
        page.wait_for_function("document.querySelector('#kits').textContent.includes('reach 1 of 1')")
        assert page.evaluate(titles)[0] == "Red car"


def test_a_settled_kit_that_changed_since_it_was_let_out_is_marked(tmp_path: Path) -> None:
    from palette.kit.model import Kit
    from palette.shelf.bundle import release

    folder = make(tmp_path / "kits" / "one")

    def settled(a: int) -> str:
        make(folder, a=a)
        text = (folder / "kit.toml").read_text().replace("title =", 'stage = "settled"\ntitle =')
        (folder / "kit.toml").write_text(text)
        record = build_kit(folder).record
        return front([{**record, "slug": "one", "affected": []}])["index.html"]

    assert "Changed since" not in settled(42)
    release(Kit.read(folder), tmp_path / "one.zip")
    assert "Changed since" not in settled(42)
    assert "Changed since edition 1.0: 1 colour." in settled(10)
