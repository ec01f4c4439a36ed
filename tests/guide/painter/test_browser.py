"""The web edition in Chromium: a reader's paints matched as Python matches them, ticks that stay, no
violations."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.guide.chips import seen_key
from palette.guide.painter import html
from palette.guide.painter.content import Callout, View
from palette.guide.painter.show import Shown
from palette.swatches.columns import columns
from palette.swatches.csvfile import parse_csv
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList
from palette.swatches.reading import swatches_of
from palette.words.catalogue import Words
from tests.browsing import opened
from tests.desk.hands import ASKED, AXE
from tests.guide.guide_made import guide
from tests.guide.test_pages import told

HOME = Path(__file__).parents[3] / "swatches_demo" / "swatches"

# Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30, table 1: pairs 1, 7, 10, 16, 19, 33 (from the paper)
PAIRS = (
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
    ((50.0, -0.001, 2.49), (50.0, 0.0011, -2.49), 4.7461),
    ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
    ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.9030),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
)


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("web") / "guide.html"
    path.write_text(html.render(guide(12, page="https://quayside.example/car-7")), "utf-8")
    return path


@pytest.fixture
def page(browser: Any, page_file: Path) -> Iterator[Any]:
    asked: list[str] = []
    with opened(browser, viewport={"width": 1100, "height": 900}) as page:
        page.on("request", lambda request: asked.append(request.url))
        page.goto(page_file.as_uri())
        yield page
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []


def lists(folder: Path) -> list[Path]:
    """The same paints by reflectance, Lab and hex, with commas, semicolons and quotes."""
    rng = np.random.default_rng(5)
    spectra = np.clip(
        rng.uniform(0.03, 0.9, (40, 1)) + 0.3 * np.sin(np.linspace(0, rng.uniform(1, 6, 40), 31).T),
        0.01,
        0.99,
    )
    head = ",".join(["id", "name", *(f"nm{nm}" for nm in range(400, 701, 10))])
    rows = [
        ",".join([f"S-{i}", f'"Paint, no. {i}"', *(f"{100 * v:.3f}" for v in row)])
        for i, row in enumerate(spectra)
    ]
    first = folder / "spectra.csv"
    first.write_text("\n".join([head, *rows]), "utf-8")
    labs = np.column_stack([rng.uniform(5, 95, 60), rng.normal(0, 30, (60, 2))])
    second = folder / "lab.csv"
    second.write_text(
        "ID;Name;Lab L;Lab a;Lab b\n"
        + "".join(f"L-{i};P {i};{a:.3f};{b:.3f};{c:.3f}\n" for i, (a, b, c) in enumerate(labs)),
        "utf-8",
    )
    third = folder / "hex.csv"
    third.write_text(
        "id,name,hex,retired\n"
        + "".join(
            f"H-{i},P,#{v:06x},{'yes' if i == 3 else ''}\n" for i, v in enumerate(rng.integers(0, 2**24, 50))
        ),
        "utf-8-sig",
    )
    fourth = folder / "lights.csv"
    lights = ("D50", "", "a", "D65", "FL11")
    fourth.write_text(
        "# measured in spring\nid,name,L*,a*,b*,illuminant\n"
        + "".join(
            f"L-{i},P {i},{a:.3f},{b:.3f},{c:.3f},{lights[i % 5]}\n" for i, (a, b, c) in enumerate(labs)
        ),
        "utf-8",
    )
    fifth = folder / "coarse.csv"
    wide = range(380, 741, 20)
    fifth.write_text(
        ",".join(["id", "name", *(f"nm{nm}" for nm in wide)])
        + "\n"
        + "".join(
            f"S-{i},P," + ",".join(f"{row[min(k, 30)]:.4f}" for k in range(len(wide))) + "\n"
            for i, row in enumerate(spectra)
        ),
        "utf-8",
    )
    sixth = folder / "commented.csv"
    sixth.write_text("# illuminant: D50\n" + second.read_text("utf-8"), "utf-8")
    return [first, second, third, fourth, fifth, sixth]


def columns_of(text: str) -> list[Swatch]:
    return swatches_of([columns(parse_csv(text, "list.csv", ("id", "name")))])


def test_the_difference_is_that_of_the_paper(page: Any) -> None:
    evaluated = page.evaluate(
        "pairs => pairs.map(([a, b]) => guidePaints.difference(a, b))", [p[:2] for p in PAIRS]
    )
    assert evaluated == pytest.approx([p[2] for p in PAIRS], abs=6e-5)  # the paper gives four decimals


def test_it_agrees_with_python_on_many_pairs(page: Any) -> None:
    rng = np.random.default_rng(2)
    a = np.column_stack([rng.uniform(0, 100, 4000), rng.uniform(-90, 90, (4000, 2))])
    b = a + rng.normal(0, np.exp(rng.uniform(-4, 4, (4000, 1))), (4000, 3))
    a[:20, 1:] = 0
    b[10:30, 1:] = 0
    evaluated = page.evaluate(
        "pairs => pairs.map(([a, b]) => guidePaints.difference(a, b))", np.stack([a, b], 1).tolist()
    )
    assert np.abs(np.array(evaluated) - difference(a, b)).max() < 1e-6


@pytest.mark.parametrize("which", range(6))
def test_every_part_and_tone_is_matched_as_python_does(page: Any, tmp_path: Path, which: int) -> None:
    path = lists(tmp_path)[which]
    swatches = SwatchList.read(path)
    swatches = swatches.where([not s.retired for s in swatches.swatches])
    targets = guide(12).targets
    indices, differences = swatches.nearest(np.array([t.lab for t in targets]), 1)
    text = path.read_text("utf-8-sig")
    evaluated = page.evaluate(
        "text => guidePaints.match(text).matches.map(f => [f.paint.id, f.difference])", text
    )
    assert len(evaluated) == len(targets) > 12
    assert [id for id, _ in evaluated] == [swatches.ids[int(i)] for i in indices[:, 0]]
    assert [off for _, off in evaluated] == pytest.approx(differences[:, 0].tolist(), abs=1e-6)


def test_it_sorts_paints_as_python_does(page: Any) -> None:
    odd = "id,name,hex,finish,notes\n" + "".join(
        f"K-{i},{name},#{hex},{finish},{notes}\n"
        for i, (name, hex, finish, notes) in enumerate(
            (
                ("Old gold", "a08040", "", ""),
                ("Harvest gold", "c0a040", "matt", ""),
                ("Bronze green", "304030", "", ""),
                ("Gloss varnish", "f0f0e8", "", ""),
                ("Varnish brown", "503018", "gloss", ""),
                ("Naphthol red medium", "b01020", "", ""),
                ("Glaze medium", "f8f8f8", "", ""),
                ("Not metallic blue", "203080", "", ""),
                ("Blue", "203080", "", "pearlescent in the sun"),
                ("Steel", "808890", "Metal", ""),
                ("Satin", "eeeeee", "", "satin varnish"),
            )
        )
    )
    texts = [(HOME / f"{name}.csv").read_text("utf-8") for name in ("bench", "depot")]
    for text in (odd, *texts):
        swatches = [swatch for swatch in columns_of(text) if not swatch.retired]
        told = page.evaluate("text => guidePaints.readList(text).paints.map(p => [p.id, p.kind])", text)
        assert told == [[swatch.id, unmixable(swatch) or "plain"] for swatch in swatches]


def test_rows_that_are_not_read_are_named_with_the_reason(page: Any, tmp_path: Path) -> None:
    path = tmp_path / "odd.csv"
    path.write_text(
        "id,name,lab_l,lab_a,lab_b,illuminant,retired\n"
        "A,one,50,1,2,,\nB,two,50,1,2,candle,\nC,three,,,,,\n,four,50,1,2,,\nE,five,50,1,2,D50,yes\n",
        "utf-8",
    )
    page.set_input_files("#own-file", str(path))
    page.locator("#own-status", has_text="odd.csv").wait_for()
    assert page.inner_text("#own-status").endswith(
        "odd.csv, paints: 1. Not read: line 3 (an illuminant that this page does not know); "
        "line 4 (no colour); "
        "line 5 (no id); line 6 (no longer sold)."
    )


def test_a_list_is_chosen_shown_and_put_back(page: Any, tmp_path: Path) -> None:
    path = lists(tmp_path)[1]
    page.set_input_files("#own-file", str(path))
    page.wait_for_selector("#step-4 .own:not([hidden])")
    assert "60" in page.inner_text("#own-status") and "lab.csv" in page.inner_text("#own-status")
    told = page.inner_text("#step-4 .own:not([hidden])")
    off = float(re.search(r"off ([\d.]+)", told)[1])
    assert "L-" in told and told.endswith(f": {Words()(f'seen-{seen_key(off)}')}")
    page.click("#own-reset")
    assert page.query_selector_all(".own:not([hidden])") == []
    empty = tmp_path / "none.csv"
    empty.write_text("what,is\nthis,list\n", "utf-8")
    page.set_input_files("#own-file", str(empty))
    page.locator("#own-status", has_text="none.csv").wait_for()
    assert "No colour" in page.inner_text("#own-status") and "Missing: id." in page.inner_text("#own-status")
    foreign = tmp_path / "foreign.csv"
    foreign.write_bytes("id,name,hex\nA,Grün,#102030\n".encode("latin-1"))
    page.set_input_files("#own-file", str(foreign))
    page.locator("#own-status", has_text="foreign.csv").wait_for()
    assert "not UTF-8" in page.inner_text("#own-status")


def test_ticks_are_found_again(page: Any, page_file: Path) -> None:
    page.check("#done-1")
    page.check("#done-3")
    page.check("#have-1")
    assert _come_back(page, page_file, "#done-1", "#done-3", "#have-1")
    assert not page.is_checked("#done-2") and page.inner_text("#progress").startswith("Steps done: 2 /")
    page.click("#clear-ticks")
    assert _come_back(page, page_file)


def _come_back(page: Any, page_file: Path, *ticked: str) -> bool:
    """Whether these and no others are ticked: what a page keeps reaches the next one a moment later."""
    wanted = {tick.removeprefix("#") for tick in ticked}
    for _ in range(100):
        page.goto(page_file.as_uri())
        if set(page.evaluate("[...document.querySelectorAll('input:checked')].map(one => one.id)")) == wanted:
            return True
        page.wait_for_timeout(100)
    return False


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("width", "scripts"), [(1100, True), (390, True), (1100, False)])
def test_axe_finds_nothing(
    browser: Any, page_file: Path, tmp_path: Path, scheme: str, width: int, scripts: bool
) -> None:
    """axe is a script itself, so that a page without any stands for a browser that runs none."""
    if not scripts:
        bare = re.sub(r"(?s)<script.*?</script>", "", page_file.read_text("utf-8"))
        page_file = tmp_path / "bare.html"
        page_file.write_text(bare, "utf-8")
    shown = {"color_scheme": scheme, "viewport": {"width": width, "height": 844}}
    with opened(browser, **shown, bypass_csp=True) as page:
        page.goto(page_file.as_uri())
        page.add_script_tag(path=str(AXE))
        assert page.evaluate("document.documentElement.classList.contains('scripted')") == scripts
        answer = page.evaluate(f"axe.run({json.dumps(ASKED)})")
    said = [
        (v["id"], v["nodes"][0]["html"][:120], v["nodes"][0]["failureSummary"][:200])
        for v in answer["violations"]
    ]
    assert said == []
    assert len(answer["passes"]) > 15


def test_on_a_telephone_a_card_fills_the_screen_and_nothing_is_wider(browser: Any, page_file: Path) -> None:
    phone = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
    with opened(browser, **phone) as page:
        page.goto(page_file.as_uri())
        heights = page.evaluate(
            "[...document.querySelectorAll('article.card')].map(c => c.getBoundingClientRect().height)"
        )
        assert min(heights) >= 0.9 * (844 - 60)
        assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_on_a_telephone_the_numbers_of_the_drawing_can_be_read(browser: Any, tmp_path: Path) -> None:
    """Fails where the drawing shrinks to the screen, and its numbers under nine points (12 px) with it."""
    dot = b"\x89PNG\r\n\x1a\n"
    view = View(
        0, "The model", 178.0, 115.0, (8.5, 8.5, 161.0, 98.0), (Callout(1, "", 3.3, 40.0, (30.0, 40.0)),)
    )
    path = tmp_path / "guide.html"
    path.write_text(html.render(guide(3, shown=Shown((dot,), (view,)))), "utf-8")
    with opened(browser, viewport={"width": 390, "height": 844}) as page:
        page.goto(path.as_uri())
        size = page.evaluate(
            """() => { const text = document.querySelector("figure.view svg text");
            return parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a; }"""
        )
        assert size >= 12 and page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("width", [390, 1400])
def test_codes_keep_in_one_piece_and_clear_of_the_rest(browser: Any, tmp_path: Path, width: int) -> None:
    """Fails where B-02 breaks after its hyphen, or a code of forty letters leaves a row no room."""
    with opened(browser, viewport={"width": width, "height": 844}) as page:
        for number, content in enumerate((guide(12), told("long"))):
            path = tmp_path / f"{number}.html"
            path.write_text(html.render(content), "utf-8")
            page.goto(path.as_uri())
            codes = page.evaluate(
                "[...document.querySelectorAll('.whole')].map(e => e.getClientRects().length)"
            )
            assert set(codes) == {1}
            covered = page.evaluate(
                """[...document.querySelectorAll(".tray tbody tr")].filter(row => {
                const box = row.querySelector("input").getBoundingClientRect();
                const range = document.createRange();
                range.selectNodeContents(row.querySelector(".name"));
                return [...range.getClientRects()].some(r => r.right > box.left && r.left < box.right
                    && r.bottom > box.top && r.top < box.bottom);
                }).length"""
            )
            assert covered == 0


def test_without_scripts_it_reads_as_it_is(browser: Any, page_file: Path) -> None:
    with opened(browser, java_script_enabled=False, viewport={"width": 1100, "height": 900}) as page:
        page.goto(page_file.as_uri())
        text = " ".join(page.inner_text("body").split())
    content = guide(12)
    assert all(" ".join(step.guess.split()) in text for step in content.steps) and "Choose a list" not in text
    assert all(row.paint.code in text for row in content.tray)


def test_colours_stand_on_the_same_light_ground_in_both_themes(browser: Any, page_file: Path) -> None:
    grounds = set()
    for scheme in ("light", "dark"):
        with opened(browser, color_scheme=scheme) as page:
            page.goto(page_file.as_uri())
            for selector in ("article.card", "ol.legend li", "td.colour"):
                grounds.add(
                    page.evaluate(f"getComputedStyle(document.querySelector('{selector}')).backgroundColor")
                )
    assert grounds == {"rgb(244, 244, 244)"}
