"""The pages on a small kit: what they show, and what they write."""

from __future__ import annotations

import io
import os
import re
import shutil
import tomllib
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from palette.desk.works import Working
from palette.kit.model import Kit
from palette.paints.basket import basket
from palette.paints.check import check
from palette.paints.choosing.choice import chosen_paints
from palette.paints.scheme import scheme
from palette.swatches.model import SwatchList
from tests.desk.desk_made import Browser, browser, small_kit, text
from tests.evidence.combine.kits import ANCHORS, RED, part, picture, reference, write
from tests.evidence.pictures.test_video import picture as patches
from tests.evidence.pictures.test_video import planes
from tests.evidence.pictures.test_video import write as write_video


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    """A kit that no test of this file changes."""
    folder = tmp_path_factory.mktemp("shared")
    small_kit(folder)
    made = browser(folder)
    made.desk.open(folder)
    return made


@pytest.fixture
def own(tmp_path):
    kit = small_kit(tmp_path)
    made = browser(tmp_path)
    made.desk.open(kit)
    return made


def test_the_kit_page_says_what_the_scheme_says(shared):
    coloured = scheme(Kit.read(shared.desk.benches[0].path))
    said = text(shared.get("/kit/1/"))
    waist = coloured.part("waist")
    assert waist.conflict and "Disputed" in said and "Where the evidence disagrees" in said
    assert f"±{waist.radius90:.1f}" in said
    swatches = SwatchList.read(shared.desk.benches[0].path.parent / "bench.csv")
    chosen = chosen_paints(coloured, swatches)["waist"]  # as the guide has it
    assert f"{chosen.difference:.1f}" in said and all(f"{id} " in said for id, _ in chosen.recipe)
    assert "no evidence yet" in said  # the roof
    assert "No credit" in said  # what both references lack


def test_slow_work_is_announced(tmp_path, monkeypatch):
    small_kit(tmp_path)
    made = browser(tmp_path)
    bench = made.desk.open(tmp_path)

    def slow(*_):
        raise Working("Working out the scheme", 2, 6)

    monkeypatch.setattr(bench, "scheme", slow)
    html = made.client.get("/kit/1/", headers={"Host": "127.0.0.1:8123"})
    while b"Looking at" in html.data:
        html = made.client.get("/kit/1/", headers={"Host": "127.0.0.1:8123"})
    assert b'http-equiv="refresh"' in html.data and "2 of 6" in text(html) and b'role="status"' in html.data


def test_an_edit_shows_on_reload_and_a_broken_kit_keeps_the_page_up(own, tmp_path):
    kit = tmp_path / "kit.toml"
    whole = kit.read_text()
    assert "Waist panels" in text(own.get("/kit/1/"))
    kit.write_text(
        whole.replace("Waist panels", "Side panels").replace("[[part]]", "[[part]]\nfinish = 'glosy'", 1)
    )
    for page in ("/kit/1/", "/kit/1/paints", "/kit/1/guide", "/kit/1/part?id=waist", "/kit/1/reference?id=a"):
        answer = own.get(page)
        line = kit.read_text().splitlines().index("finish = 'glosy'") + 1
        assert answer.status_code == 200 and f"kit.toml:{line}" in text(answer)
        assert "did you mean &#39;gloss&#39;" in answer.get_data(as_text=True).replace("<wbr>", "")
        assert "finish = &#39;glosy&#39;" in answer.get_data(as_text=True)  # the line itself
    kit.write_bytes(b"\xff\xfe\x00")
    assert "UTF-16" in text(own.get("/kit/1/"))
    kit.unlink()
    assert "no such file" in text(own.get("/kit/1/"))
    kit.write_text(whole.replace("Waist panels", "Side panels"))
    assert "Side panels" in text(own.get("/kit/1/"))


def test_a_damaged_picture_and_a_bad_list_are_said_beside_the_parts(own, tmp_path):
    (tmp_path / "b.png").write_bytes((tmp_path / "b.png").read_bytes()[:90])
    (tmp_path / "bench.csv").write_text("id,name,hex\nX,Bad,#12\n")
    said = text(own.get("/kit/1/"))
    assert "b.png" in said and "bench.csv:2" in said and "Waist panels" in said
    assert "bench.csv:2" in text(own.get("/kit/1/paints?colour=%23112233"))
    said = text(own.get("/kit/1/reference?id=b"))
    assert "b.png" in said and "Waist panels" in said  # its mark can still be taken out
    assert own.client.get("/kit/1/picture?id=b", headers={"Host": "127.0.0.1:8123"}).status_code == 404


def test_a_sample_is_marked_in_the_file_and_the_rest_stays(own, tmp_path):
    kit = tmp_path / "kit.toml"
    before = kit.read_text()
    place = {"left": "204", "top": "4", "width": "32", "height": "32.5"}
    answer = own.post("/kit/1/mark", id="a", what="sample", part="roof", **place)
    assert answer.status_code == 303
    after = kit.read_text()
    samples = tomllib.loads(after)["reference"][0]["sample"]
    assert samples[-1] == {"part": "roof", "rect": [204, 4, 32, 32.5]}
    lines = iter(after.splitlines())
    assert all(line in lines for line in before.splitlines())  # every line, in its order
    said = text(own.get("/kit/1/reference?id=a"))
    assert "Marked roof." in said and "32 × 32.5 at 204, 4" in said
    assert "Marked roof." not in text(own.get("/kit/1/reference?id=a"))
    assert "no evidence yet" not in text(own.get("/kit/1/part?id=roof"))


@pytest.mark.parametrize(
    ("colour", "written"),
    [("N 5/", {"munsell": "N 5/"}), ("neutral", {"neutral": True}), ("R1", {"swatch": "R1"})],
)
def test_a_surface_of_known_colour_is_marked(own, tmp_path, colour, written):
    place = {"left": 44, "top": 4, "width": 32, "height": 32}
    assert (
        own.post("/kit/1/mark", id="a", what="anchor", colour=colour, spread="2,5", **place).status_code
        == 303
    )
    anchors = tomllib.loads((tmp_path / "kit.toml").read_text())["reference"][0]["anchor"]
    assert anchors[-1] == {"rect": [44, 4, 32, 32], "colour": written, "spread": 2.5}


GOOD = {"id": "a", "what": "sample", "part": "roof", "left": "4", "top": "4", "width": "9", "height": "9"}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"left": ""}, "no place is marked"),
        ({"left": "nan"}, "no place is marked"),
        ({"width": "1e400"}, "no place is marked"),
        ({"width": "0"}, "no area"),
        ({"height": "-5"}, "no area"),
        ({"left": "5000"}, "no pixel of the picture"),
        ({"left": "1e30"}, "no pixel of the picture"),
        ({"part": "wheel"}, "no part is chosen"),
        ({"what": "anchor"}, "no colour is given"),
        ({"what": "anchor", "colour": "reddish"}, "no colour and no paint"),
        ({"what": "anchor", "colour": "N 5/", "spread": "few"}, "no number"),
        ({"what": "anchor", "colour": "N 5/", "spread": "-1"}, "spread"),
    ],
)
def test_a_wrong_mark_is_explained_and_not_written(own, tmp_path, wrong, said):
    before = (tmp_path / "kit.toml").read_bytes()
    answer = own.post("/kit/1/mark", **{**GOOD, **wrong})
    assert answer.status_code == 422 and said in text(answer)
    assert (tmp_path / "kit.toml").read_bytes() == before
    if "left" not in wrong:
        assert 'value="4"' in answer.get_data(as_text=True)  # what was typed is still there


def test_a_mark_is_taken_out_unless_the_file_has_changed(own, tmp_path):
    kit = tmp_path / "kit.toml"

    def version() -> str:
        page = own.get("/kit/1/reference?id=a").get_data(as_text=True)
        return re.search(r'name="version" value="(\w+)"', page)[1]

    seen = version()
    kit.write_text(kit.read_text() + "# edited elsewhere\n")
    answer = own.post("/kit/1/unmark", id="a", array="anchor", index=5, version=seen)
    assert answer.status_code == 422 and "has been changed" in text(answer)
    assert len(Kit.read(kit).references[0].anchors) == 6
    assert own.post("/kit/1/unmark", id="a", array="anchor", index=5, version=version()).status_code == 303
    assert len(Kit.read(kit).references[0].anchors) == 5 and "# edited elsewhere" in kit.read_text()
    for bad in ({"index": 9}, {"index": -1}, {"index": "x"}, {"array": "id"}, {"id": "zz"}):
        answer = own.post(
            "/kit/1/unmark", **{"id": "a", "array": "anchor", "index": 0, "version": version(), **bad}
        )
        assert answer.status_code in (404, 422), bad
    assert len(Kit.read(kit).references[0].anchors) == 5


def test_a_decision_is_written_with_its_reason_and_taken_back(own, tmp_path):
    kit = tmp_path / "kit.toml"
    before = kit.read_text()
    answer = own.post("/kit/1/decide", id="waist", colour="R1", why=" ")
    assert answer.status_code == 422 and "reason" in text(answer) and kit.read_text() == before
    assert own.post("/kit/1/decide", id="waist", colour="R1", why="the paint\nbook").status_code == 303
    told = tomllib.loads(kit.read_text())["part"][0]
    assert (told["colour"], told["why"]) == ({"swatch": "R1"}, "the paint book")
    assert "# a remark" in kit.read_text()
    said = text(own.get("/kit/1/part?id=waist"))
    assert "as decided: the paint book" in said and said.count("the paint book") == 1
    stale = own.post("/kit/1/decide", id="waist", colour="#5b2c2f", why="from another window", was="")
    assert stale.status_code == 422 and "decided meanwhile: swatch R1" in text(stale)
    was = re.search(r'name="was" value="([^"]*)"', stale.get_data(as_text=True))[1]
    assert own.post("/kit/1/decide", id="waist", colour="#5b2c2f", why="better", was=was).status_code == 303
    assert tomllib.loads(kit.read_text())["part"][0]["colour"] == {"hex": "#5b2c2f"}
    assert own.post("/kit/1/decide", id="waist", undo=1).status_code == 303
    assert kit.read_text() == before


def test_hints_come_and_go(own, tmp_path):
    kit = tmp_path / "kit.toml"
    before = kit.read_text()
    assert (
        own.post(
            "/kit/1/hint", id="roof", words="dull green", source='the "old" man', trust="0,4"
        ).status_code
        == 303
    )
    (hint,) = Kit.read(kit).part("roof").hints
    assert (hint.words, hint.source, hint.trust) == ("dull green", 'the "old" man', 0.4)
    page = own.get("/kit/1/part?id=roof")
    assert "dull green" in text(page) and "words only" in text(page)
    for wrong in ({"words": ""}, {"words": "glumph"}, {"trust": "2"}, {"trust": "much"}):
        assert own.post("/kit/1/hint", **{"id": "roof", "words": "red", **wrong}).status_code == 422
    seen = re.search(r'name="version" value="(\w+)"', page.get_data(as_text=True))[1]
    assert own.post("/kit/1/hint", id="roof", index=0, version=seen, undo=1).status_code == 303
    assert kit.read_text() == before


def test_the_evidence_of_a_part_is_told_source_by_source(shared):
    said = text(shared.get("/kit/1/part?id=waist"))
    coloured = scheme(Kit.read(shared.desk.benches[0].path)).part("waist")
    for evidence in coloured.evidence:
        assert f"±{evidence.radius90:.1f}" in said and f"{100 * evidence.weight:.0f} %" in said
    assert shared.get("/kit/1/part?id=nothing").status_code == 404
    assert shared.get("/kit/1/part").status_code == 404


def test_grey_pictures_leave_candidates(tmp_path):
    picture(tmp_path / "g.png", [ANCHORS[0], ANCHORS[1], ANCHORS[2], RED], gains=(1, 1, 1))
    Image.open(tmp_path / "g.png").convert("L").save(tmp_path / "g.png")
    anchors = {i: f"{{ lab = {list(lab)} }}" for i, lab in enumerate(ANCHORS[:3])}
    write(tmp_path, part("waist"), reference("g", {3: "waist"}, anchors, tone="grey"))
    made = browser(tmp_path)
    made.desk.open(tmp_path)
    said = text(made.get("/kit/1/part?id=waist"))
    assert "What grey pictures leave" in said and "inferred from grey" in said
    likely = [
        float(p) for p in re.findall(r"([\d.]+) %", said.partition("bits")[2].partition("On the brush")[0])
    ]
    assert (
        len(likely) == 6
        and likely == sorted(likely, reverse=True)
        and sum(likely) == pytest.approx(100, abs=0.4)
    )
    page = made.get("/kit/1/reference?id=g")
    assert "corrected" not in re.findall(r'class="button"[^>]*>([^<]+)', page.get_data(as_text=True))


def test_pictures_are_upright_srgb_as_they_are_and_corrected(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    turned = Image.open(tmp_path / "a.png").rotate(90, expand=True)
    exif = Image.Exif()
    exif[0x0112] = 6  # to be turned a quarter clockwise
    turned.save(tmp_path / "a.png", exif=exif)
    write(tmp_path, part("waist"), reference("a", {6: "waist"}))
    made = browser(tmp_path)
    made.desk.open(tmp_path)
    middle = {}
    for view in ("as-is", "corrected"):
        answer = made.get("/kit/1/picture", id="a", view=view)
        assert answer.mimetype == "image/jpeg"
        shown = Image.open(io.BytesIO(answer.data))
        assert shown.size == (7 * 40, 40)
        middle[view] = np.asarray(shown)[20, 60].astype(float)  # the grey patch
    # as it is it has the cast of `gains`; corrected it is grey
    assert np.ptp(middle["as-is"]) > 25 and np.ptp(middle["corrected"]) < 8


def test_paints_are_matched_and_mixed(shared):
    said = text(shared.get("/kit/1/paints", colour="lab 40 44 26"))
    assert "6 paints" in said and said.index("R1 Signal") < said.index("R2 Brick")
    assert "0.0 not seen" in said and "1 R1 Signal" in said
    assert "and no paint" in text(shared.get("/kit/1/paints", colour="none such"))
    assert "not looked for" in text(shared.get("/kit/1/paints", colour="R1", drops=500))
    assert "In whole drops" not in text(shared.get("/kit/1/paints"))


def test_the_guide_is_built_and_given_out(own, tmp_path):
    assert own.get("/kit/1/out/guide.pdf").status_code == 404
    assert "not been built" in text(own.get("/kit/1/guide"))
    assert own.post("/kit/1/build", paper="letter").status_code == 303
    said = text(own.get("/kit/1/guide"))
    assert "The guide is written." in said and "Older than the kit" not in said
    assert own.get("/kit/1/out/guide.pdf").data[:5] == b"%PDF-"
    page = own.get("/kit/1/out/guide.html")
    assert page.data == (tmp_path / "out/guide.html").read_bytes()
    assert "script-src" not in page.headers["Content-Security-Policy"]
    assert "attachment" in own.get("/kit/1/out/scheme.json?download=1").headers["Content-Disposition"]
    os.utime(tmp_path / "kit.toml")
    os.utime(tmp_path / "out/guide.pdf", (0, 0))
    assert "Older than the kit" in text(own.get("/kit/1/guide"))
    assert own.post("/kit/1/build", paper="a0").status_code == 400


def test_a_guide_that_cannot_be_written_says_so_once(own, tmp_path):
    (tmp_path / "out").write_text("in the way")
    own.post("/kit/1/build", paper="a4")
    assert "the folder cannot be made" in text(own.get("/kit/1/guide"))
    assert "the folder cannot be made" not in text(own.get("/kit/1/guide"))


def test_the_painted_print_is_checked(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    shutil.copy(tmp_path / "a.png", tmp_path / "p.png")
    blocks = [part("waist"), part("roof"), reference("a", {6: "waist"})]
    write(tmp_path, *blocks, reference("p", {6: "waist"}, subject="painted"))
    made = browser(tmp_path)
    made.desk.open(tmp_path)
    said = text(made.get("/kit/1/guide"))
    assert "A match?" in said and "In no picture of the print: roof" in said
    (row,) = check(Kit.read(tmp_path)).parts
    assert f"{row.difference:.1f} {row.give_or_take:.1f}" in said


def test_parts_and_references_are_added(own, tmp_path):
    kit = tmp_path / "kit.toml"
    (tmp_path / "references").mkdir()
    picture(tmp_path / "references/new one.png", [*ANCHORS, RED])
    assert 'value="references/new one.png"' in own.get("/kit/1/").get_data(as_text=True)
    form = {"id": "c/1?&", "file": "references/new one.png", "kind": "print", "tone": "colour"}
    answer = own.post("/kit/1/add-reference", **form)
    assert answer.status_code == 303
    assert "c/1?&amp;" in own.get(answer.headers["Location"]).get_data(as_text=True).replace("<wbr>", "")
    assert own.post("/kit/1/add-part", id="truck", name="Truck", finish="matt").status_code == 303
    read = Kit.read(kit)
    assert (read.parts[-1].id, read.references[-1].id, read.references[-1].kind) == (
        "truck",
        "c/1?&",
        "print",
    )
    before = kit.read_bytes()
    for wrong in ({"id": "waist"}, {"id": ""}, {"id": "x", "finish": "shiny"}):
        assert own.post("/kit/1/add-part", **wrong).status_code == 422
    for wrong in ({"file": "none.png"}, {"file": "kit.toml"}, {"file": ""}, {"id": "a"}, {"file": "\0"}):
        assert own.post("/kit/1/add-reference", **{**form, "id": "d", **wrong}).status_code == 422
    assert kit.read_bytes() == before


def test_a_kit_is_opened_or_started_from_the_start_page(tmp_path):
    made = browser(tmp_path)
    assert "Open a kit, or start one" in text(made.get("/"))
    answer = made.post("/begin", path="fresh")
    assert answer.status_code == 303 and (tmp_path / "fresh/kit.toml").exists()
    assert "Started" in text(made.get(answer.headers["Location"]))
    assert made.post("/begin", path="fresh").status_code == 422  # there is one already
    small_kit(tmp_path / "fresh" / "references")
    assert made.post("/open", path="fresh/kit.toml").headers["Location"] == "/kit/1/bench"
    assert made.post("/open", path=str(tmp_path / "fresh/references")).headers["Location"] == "/kit/2/bench"
    for wrong in ("", "nowhere", "fresh/swatches", "\0"):
        answer = made.post("/open", path=wrong)
        assert answer.status_code == 422 and "What is wrong" in text(answer)
    (tmp_path / "near").mkdir()
    small_kit(tmp_path / "near")
    assert "Open near" in text(made.get("/"))


def test_a_fault_is_one_line_and_the_desk_stays_up(own, monkeypatch, capsys):
    def fault(*_):
        raise ZeroDivisionError("by\nzero")

    monkeypatch.setattr(own.desk.benches[0], "kit", fault)
    answer = own.get("/kit/1/")
    assert answer.status_code == 500 and "a fault in palette itself" in text(answer)
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and said.startswith("error: a fault in palette itself")
    assert own.get("/").status_code == 200


def test_forms_sent_at_once_are_all_written(own, tmp_path):
    def send(left: int) -> int:
        client = own.client.application.test_client()
        client.set_cookie(own.desk.cookie, own.desk.key, domain="127.0.0.1")
        form = {**GOOD, "left": left, "token": own.desk.token}
        return client.post("/kit/1/mark", headers={"Host": "127.0.0.1:8123"}, data=form).status_code

    with ThreadPoolExecutor(6) as threads:
        assert list(threads.map(send, range(4, 28, 4))) == [303] * 6
    samples = tomllib.loads((tmp_path / "kit.toml").read_text())["reference"][0]["sample"]
    assert sorted(sample["rect"][0] for sample in samples[1:]) == list(range(4, 28, 4))


def test_what_to_buy_is_what_the_basket_says(tmp_path, monkeypatch):
    """Fails when the page shops for other colours or paints than the command, or leaves a part out."""
    blocks = [part("waist", 'name = "Waist panels"', "colour = { lab = [42, 36, 22] }", 'why = "said"')]
    blocks += [
        part("roof", 'name = "Roof"', "colour = { lab = [10, 60, -90] }", 'why = "said"'),
        part("sill"),
    ]
    made = browser(tmp_path)
    made.desk.open(write(tmp_path, *blocks))
    table = (tmp_path / "bench.csv").read_text().splitlines()
    owned = {"R1": ",yes,2", "K1": ",no,3.5"}
    rows = [row + owned.get(row[:2], ",,4") for row in table[1:]]
    (tmp_path / "bench.csv").write_text("\n".join([table[0] + ",owned,price", *rows]) + "\n")
    labs = np.array([[42.0, 36, 22], [10.0, 60, -90]])
    bought = basket(labs, SwatchList.read(tmp_path / "bench.csv"), 3.0)
    said = text(made.get("/kit/1/basket"))
    assert bought.chosen.buy and all(f"{id} " in said for id in bought.chosen.buy)
    assert f"{bought.chosen.within} of 2 parts" in said and "beside the 1 you own" in said
    assert "Out of reach" in said and bought.unreached[0].why in said.replace(" ,", ",")
    assert "having no colour yet: sill" in said
    straight = text(made.get("/kit/1/basket?paints=1&cheapest=1"))
    alone = basket(labs, SwatchList.read(tmp_path / "bench.csv"), 3.0, 1, 12, True)
    assert f"{alone.chosen.within} of 2 parts" in straight or not alone.chosen.within
    assert made.get("/kit/1/basket?paints=9").status_code == 400
    threes = basket(labs, SwatchList.read(tmp_path / "bench.csv"), 3.0, 3)
    said = text(made.get("/kit/1/basket?paints=3"))
    assert f"{threes.chosen.within} of 2 parts" in said
    monkeypatch.setattr("palette.desk.pages.basket._MOST_THREES", 10)
    assert "take many minutes" in text(made.get("/kit/1/basket?paints=3"))


def test_what_to_buy_warns_of_metal_on_a_plain_part(tmp_path):
    """Fails where the page names a paint that looks otherwise than the part without a word."""
    made = browser(tmp_path)
    made.desk.open(write(tmp_path, part("wall", "colour = { lab = [60, 0, 0] }", 'why = "said"')))
    (tmp_path / "bench.csv").write_text("id,name,finish,lab_l,lab_a,lab_b\nS,Steel,metallic,60,0,0\n")
    assert "Warning: metallic paint" in text(made.get("/kit/1/basket"))


def test_the_paints_of_the_kit_page_are_the_guides(tmp_path):
    """Fails where the page names the nearest paint beside a guide that names the one to hand."""
    made = browser(tmp_path)
    made.desk.open(write(tmp_path, part("wall", "colour = { lab = [60, 0, 0] }", 'why = "said"')))
    rows = ["id,name,owned,lab_l,lab_a,lab_b", "N,Near,no,60.5,0,0", "M,Mine,yes,62,0,0", "B,Blank,,90,0,0"]
    (tmp_path / "bench.csv").write_text("\n".join(rows) + "\n")
    for page in ("/kit/1/", "/kit/1/part?id=wall"):
        said = text(made.get(page)).replace(" ·", "")
        assert "M Mine to hand" in said.partition("Near it")[0] and "N Near to buy" not in said
    said = text(made.get("/kit/1/paints?colour=%23909090")).replace(" ·", "")
    assert "B Blank to hand" in said and "N Near to hand" not in said  # as its mixtures have it
    assert made.post("/kit/1/build", paper="a4").status_code == 303
    assert "The guide is written" in text(made.get("/kit/1/guide"))
    assert "Mine" in (tmp_path / "out/guide.html").read_text()


def test_with_a_scale_effect_the_paints_are_for_the_colour_as_painted(tmp_path):
    """Fails where a part's page names a paint for one colour and how far it is off from another, unsaid."""
    made = browser(tmp_path)
    black = part("wall", "colour = { lab = [12, 0, 0] }", 'why = "said"')
    made.desk.open(write(tmp_path, black, head='scale = "1:87"\nscale_effect = true'))
    rows = ["id,name,lab_l,lab_a,lab_b", "B,Black,12,0,0", "G,Scale black,23.6,0,0"]
    (tmp_path / "bench.csv").write_text("\n".join(rows) + "\n")
    said = text(made.get("/kit/1/part?id=wall"))
    assert "Scale effect at 1:87" in said and "G Scale black" in said.partition("Near it, as it was")[0]
    assert said.partition("Near it, as it was")[2].index("B Black") and "Scale effect" in text(
        made.get("/kit/1/")
    )


def test_what_was_not_searched_of_a_long_list_is_said(own, monkeypatch):
    """Fails where recipes of three from a list too long to try them all stand there as the nearest of all."""
    monkeypatch.setattr("palette.paints.mixing.search.WIDE", 4)
    note = "Of 6 paints only the 4 that come nearest"
    assert note in text(own.get("/kit/1/paints?colour=%23556677"))
    assert note not in text(own.get("/kit/1/paints?colour=%23556677&paints=2"))
    assert note in text(own.get("/kit/1/"))


def test_there_is_nothing_to_buy_without_paints_or_colours(tmp_path):
    made = browser(tmp_path)
    made.desk.open(write(tmp_path, part("waist"), paints=False))
    assert "The kit has no paints yet" in text(made.get("/kit/1/basket"))
    write(tmp_path, part("waist"))
    assert "No part has a colour yet" in text(made.get("/kit/1/basket"))
    gone = "id,name,hex,retired\nA,One,#102030,yes\n"
    write(tmp_path, part("waist", "colour = { lab = [42, 36, 22] }", 'why = "said"'))
    (tmp_path / "bench.csv").write_text(gone)
    assert "every paint is retired" in text(made.get("/kit/1/basket"))


def test_a_card_is_there_to_print(shared):
    for paper, size in (("a4", (595, 842)), ("letter", (612, 792))):
        (page,) = PdfReader(io.BytesIO(shared.get("/kit/1/card.pdf", paper=paper).data)).pages
        assert tuple(round(float(side)) for side in page.mediabox[2:]) == size
    assert shared.get("/kit/1/card.pdf", paper="a0").status_code == 400


def test_the_stage_and_the_version_are_changed(own, tmp_path):
    kit = tmp_path / "kit.toml"
    before = kit.read_text()
    assert own.post("/kit/1/state", stage="settled", version="1.0").status_code == 303
    assert (Kit.read(kit).stage, Kit.read(kit).version) == ("settled", "1.0")
    assert set(before.splitlines()) - set(kit.read_text().splitlines()) <= {'stage = "draft"'}
    assert "The kit is settled now, version 1.0." in text(own.get("/kit/1/"))
    answer = own.post("/kit/1/state", stage="done", version="1.0")
    assert answer.status_code == 422 and "stage" in text(answer) and Kit.read(kit).stage == "settled"


def test_a_list_of_paints_is_added(own, tmp_path):
    kit = tmp_path / "kit.toml"
    (tmp_path / "swatches").mkdir()
    (tmp_path / "swatches/more.csv").write_text("id,name,hex,finish,owned\nM1,More,#aa1122,gloss,yes\n")
    assert 'value="swatches/more.csv"' in own.get("/kit/1/paints").get_data(as_text=True)
    assert own.post("/kit/1/add-list", file="swatches/more.csv").status_code == 303
    assert [path.name for path in Kit.read(kit).swatches] == ["bench.csv", "more.csv"]
    said = text(own.get("/kit/1/paints?colour=M1"))
    assert "7 paints" in said and "gloss · to hand" in said
    before = kit.read_bytes()
    (tmp_path / "twice.csv").write_text("id,name,hex\nM1,Again,#aa1122\n")
    (tmp_path / "bad.csv").write_text("id,name,hex\nM2,Bad,#12\n")
    for wrong in ("swatches/more.csv", "bad.csv", "none.csv", "", "kit.toml"):
        answer = own.post("/kit/1/add-list", file=wrong)
        assert answer.status_code == 422 and "What is wrong" in text(answer), wrong
    assert kit.read_bytes() == before


def test_what_is_known_of_a_picture_is_written_with_it(own, tmp_path):
    picture(tmp_path / "p.png", [*ANCHORS, RED])
    form = {"id": "p", "file": "p.png", "kind": "photograph", "tone": "colour"}
    more = {"subject": "painted", "light": "3200 K", "year": "1958", "response": "orthochromatic"}
    assert own.post("/kit/1/add-reference", **form, **more).status_code == 303
    told = tomllib.loads((tmp_path / "kit.toml").read_text())["reference"][-1]
    assert told == {**form, "subject": "painted", "light": 3200, "year": 1958}  # the film is for grey only
    grey = {**form, "id": "q", "tone": "grey", "response": "orthochromatic", "light": "D55", "year": ""}
    assert own.post("/kit/1/add-reference", **grey).status_code == 303
    told = tomllib.loads((tmp_path / "kit.toml").read_text())["reference"][-1]
    assert (told["response"], told["light"]) == ("orthochromatic", "D55") and "year" not in told
    for wrong in ({"light": "moon"}, {"year": "old"}, {"subject": "both"}):
        assert own.post("/kit/1/add-reference", **{**form, "id": "r", **wrong}).status_code == 422


def test_what_a_form_asked_for_is_not_laid_at_a_line_of_the_file(own):
    """Fails where a line of the text that was refused is shown as it stands in the file that was kept."""
    for path, form in (("add-part", {"id": "waist"}), ("hint", {"id": "roof", "words": "glumph"})):
        answer = own.post(f"/kit/1/{path}", **form)
        assert answer.status_code == 422 and "What is wrong" in text(answer)
        assert "kit.toml:" not in text(answer) and "<pre>" not in answer.get_data(as_text=True)


def test_what_is_missing_is_named(shared):
    assert "no part &#39;nothing&#39;" in text(shared.get("/kit/1/part?id=nothing"))
    assert "takes a form" in text(shared.get("/kit/1/mark"))


def test_what_a_form_did_is_told_to_the_browser_that_sent_it(own):
    other = own.client.application.test_client()
    other.set_cookie(own.desk.cookie, own.desk.key, domain="127.0.0.1")
    assert own.post("/kit/1/hint", id="roof", words="red").status_code == 303
    own.get("/kit/1/part?id=roof")  # what it says is of no matter
    assert own.post("/kit/1/hint", id="waist", words="dull red").status_code == 303
    page = Browser(own.desk, other).get("/kit/1/part?id=waist")
    assert "dull red" in text(page) and "The hint is noted." not in text(page)
    assert "The hint is noted." in text(own.get("/kit/1/part?id=waist"))


def test_a_frame_is_taken_from_a_video(own, tmp_path):
    kit = tmp_path / "kit.toml"
    write_video(tmp_path / "ride.mkv", [planes(patches(), "ITU-R BT.709")] * 50)
    answer = own.post("/kit/1/add-frame", video="ride.mkv", time="0:01.2", around="")
    assert answer.status_code == 303
    frame = Kit.read(kit).references[-1]
    assert frame.kind == "frame" and frame.video == "ride.mkv" and frame.file.is_file()
    assert "Took the frame" in text(own.get(answer.headers["Location"]))
    before = kit.read_bytes()
    for wrong in (
        {"video": ""},
        {"video": "kit.toml"},
        {"video": "none.mkv"},
        {"time": "soon"},
        {"time": "99:00"},
        {"around": "9s"},
        {},  # it is there already
    ):
        form = {"video": "ride.mkv", "time": "0:01.2", "around": "", **wrong}
        answer = own.post("/kit/1/add-frame", **form)
        assert answer.status_code == 422 and "What is wrong" in text(answer), wrong
    assert kit.read_bytes() == before


def test_the_mark_to_come_is_made_ready(own):
    """Fails where several anchors, or part after part, take a choice each that could be foreseen."""
    page = own.get("/kit/1/reference?id=a").get_data(as_text=True)
    assert re.search(r'<option value="roof" selected>', page) and 'id="is-part" checked' in page
    answer = own.post("/kit/1/mark", **{**GOOD, "what": "anchor", "colour": "N 5/", "view": "corrected"})
    where = answer.headers["Location"]
    assert "view=corrected" in where and 'id="is-known" checked' in own.get(where).get_data(as_text=True)
    wrong = own.post("/kit/1/mark", **{**GOOD, "part": "waist", "left": "", "zoom": "2"})
    page = wrong.get_data(as_text=True)
    assert '<option value="waist" selected>' in page and "zoom-2" in page
