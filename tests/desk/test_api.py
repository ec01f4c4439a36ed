"""The desk's API: what the page asks for, and changes that name the version they saw."""

from __future__ import annotations

import io
import json
import tomllib

import numpy as np
import pytest
from PIL import Image

from palette.desk.listing import tables
from palette.desk.scheming import Scheming
from palette.kit.model import Kit
from tests.desk.desk_made import HOST, browser, small_kit


@pytest.fixture(autouse=True)
def own_state(tmp_path_factory, monkeypatch):
    monkeypatch.setenv("PALETTE_STATE", str(tmp_path_factory.mktemp("state")))
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path_factory.mktemp("cache")))


@pytest.fixture(autouse=True)
def no_scheme(monkeypatch):
    """The process that works the scheme out has tests of its own."""
    monkeypatch.setattr(Scheming, "ask", lambda *_: None)


class Page:
    """A page of the desk: it remembers the version it saw."""

    def __init__(self, folder):
        self.folder = folder
        self.made = browser(folder)
        self.made.desk.open(folder)
        self.version = self.get("api/state")["version"]

    def get(self, path, status=200, /, **query):
        answer = self.made.client.get(f"/kit/1/{path}", headers={"Host": HOST}, query_string=query)
        assert answer.status_code == status, answer.get_data(as_text=True)
        return answer.get_json() if answer.is_json else answer

    def post(self, path, status=200, /, **body):
        headers = {"Host": HOST, "X-Desk-Token": self.made.desk.token}
        body.setdefault("version", self.version)
        answer = self.made.client.post(f"/kit/1/{path}", headers=headers, json=body)
        content = answer.get_json()
        assert answer.status_code == status, content
        if status == 200 and "version" in content:
            self.version = content["version"]
        return content

    def change(self, *ops, status=200, **more):
        return self.post("api/change", status, ops=list(ops), **more)

    @property
    def data(self):
        return tomllib.loads((self.folder / "kit.toml").read_text())


@pytest.fixture
def page(tmp_path):
    small_kit(tmp_path)
    return Page(tmp_path)


def test_the_state_says_what_the_kit_says(page):
    state = page.get("api/state")
    assert [p["id"] for p in state["parts"]] == ["waist", "roof"] and state["parts"][0]["number"] == 1
    first = state["references"][0]
    assert first["id"] == "a" and first["width"] == 7 * 40 and first["v"] and not first["problems"]
    assert first["samples"] == [{"region": {"rect": [244, 4, 32, 32]}, "part": "waist"}]
    assert len(first["anchors"]) == 6 and first["anchors"][0]["colour"]["lab"] == [94.0, -0.5, 1.0]
    assert state["lists"] == [{"file": "bench.csv", "paints": 6, "problems": [], **_version_of(state)}]
    assert state["undo"] is None and not state["examples"] and state["problems"] == []


def _version_of(state):
    return {"version": state["lists"][0]["version"]}


RECT = {"rect": [4, 4, 32, 32]}
CORNERS = {"polygon": [[1, 1], [9, 1], [9, 9]]}
OPS = [
    {"op": "mark.add", "ref": "a", "region": RECT, "part": "roof"},
    {"op": "mark.add", "ref": "a", "region": {"spot": [60, 20, 9.5]}, "part": "roof"},
    {"op": "mark.add", "ref": "a", "array": "anchor", "region": RECT, "colour": "munsell N 9/", "spread": 2},
    {"op": "mark.add", "ref": "b", "array": "anchor", "region": RECT, "colour": {"part": "waist"}},
    {"op": "mark.set", "ref": "a", "array": "anchor", "index": 2, "region": CORNERS},
    {"op": "mark.set", "ref": "a", "index": 0, "part": "roof"},
    {"op": "mark.remove", "ref": "b", "array": "anchor", "index": 5},
    {"op": "part.add", "name": "Waist panels"},
    {"op": "part.add", "name": "Doors", "at": 0},
    {"op": "part.set", "id": "roof", "values": {"area_cm2": 12.5, "after": ["waist"], "finish": "gloss"}},
    {"op": "part.rename", "id": "waist", "to": "side"},
    {"op": "part.move", "id": "roof", "to": 0},
    {"op": "part.remove", "id": "waist"},
    {"op": "part.decide", "id": "roof", "colour": "#112233", "why": "a chip"},
    {"op": "part.hint.add", "id": "roof", "words": "dull green", "source": "a letter", "trust": 0.4},
    {"op": "part.than.add", "id": "roof", "lighter": "waist"},
    {"op": "reference.set", "ids": ["a", "b"], "values": {"year": 1958, "credit": "C. Orr", "light": "D55"}},
    {"op": "reference.rename", "id": "b", "to": "late"},
    {"op": "reference.move", "id": "b", "to": 0},
    {"op": "reference.remove", "ids": ["a"]},
    {"op": "reference.relink", "id": "a", "file": "b.png"},
    {"op": "reference.add", "file": "b.png"},
    {"op": "kit.set", "values": {"title": "Car 8", "tolerance": 2, "maker": "Quay", "date": "2024-05-31"}},
    {"op": "list.remove", "file": "bench.csv"},
]  # fmt: skip


@pytest.mark.parametrize("op", OPS, ids=[f"{i} {op['op']}" for i, op in enumerate(OPS)])
def test_every_change_can_be_undone_and_done_again(page, op):
    before = (page.folder / "kit.toml").read_bytes()
    answer = page.change(op)
    after = (page.folder / "kit.toml").read_bytes()
    assert (after != before and b"# a remark" in after) or op["op"] == "part.remove"
    assert answer["undo"]["words"] == answer["words"] and answer["redo"] is None
    Kit.read(page.folder)
    assert page.post("api/undo")["redo"]["words"] == answer["words"]
    assert (page.folder / "kit.toml").read_bytes() == before
    again = Page(page.folder)  # the desk was closed and opened
    assert again.get("api/state")["redo"]["words"] == answer["words"]
    again.post("api/redo")
    assert (page.folder / "kit.toml").read_bytes() == after


def test_a_mark_answers_with_its_own_colour(page):
    answer = page.change({"op": "mark.add", "ref": "a", "region": RECT, "part": "roof"})
    (mark,) = answer["marks"]
    assert (mark["ref"], mark["array"], mark["index"]) == ("a", "sample", 1)
    # The patch is the white anchor under gains of 1, 0.8 and 0.55.
    assert mark["readout"]["as_is"]["lab"][0] > 80 and mark["readout"]["as_is"]["lab"][2] > 10
    assert answer["changed"]["references"] == ["a"] and answer["changed"]["parts"] == []


def test_what_is_renamed_is_followed(page):
    page.change(
        {"op": "part.set", "id": "roof", "values": {"after": ["waist"], "same_as": "waist"}},
        {"op": "mark.add", "ref": "b", "array": "anchor", "region": RECT, "colour": {"part": "waist"}},
    )
    page.change({"op": "part.rename", "id": "waist", "to": "side"})
    data = page.data
    assert data["part"][1]["after"] == ["side"] and data["part"][1]["same_as"] == "side"
    assert data["reference"][0]["sample"][0]["part"] == "side"
    assert data["reference"][1]["anchor"][-1]["colour"] == {"part": "side"}
    page.change({"op": "part.remove", "id": "side"})
    assert "side" not in (page.folder / "kit.toml").read_text()


def test_a_change_on_an_old_version_goes_through_where_nothing_it_touches_has_changed(page):
    old = page.version
    page.change({"op": "part.set", "id": "roof", "values": {"finish": "gloss"}})
    page.change({"op": "mark.remove", "ref": "b", "array": "anchor", "index": 0})
    page.change({"op": "mark.add", "ref": "a", "region": RECT, "part": "roof"}, version=old)
    # The fifth anchor as it was numbered then is the fourth now.
    gone = page.data["reference"][1]["anchor"][3]
    page.change({"op": "mark.remove", "ref": "b", "array": "anchor", "index": 4}, version=old)
    assert gone not in page.data["reference"][1]["anchor"] and len(page.data["reference"][1]["anchor"]) == 4


def _named(name):
    return {"op": "part.set", "id": "roof", "values": {"name": name}}


DECIDED = {"op": "part.decide", "id": "roof", "colour": "#112233", "why": "a chip"}
CLASHES = [
    (DECIDED, {"op": "part.undecide", "id": "roof"}),
    (DECIDED, DECIDED | {"colour": "#445566", "why": "another"}),
    ({"op": "mark.set", "ref": "a", "index": 0, "region": RECT},
     {"op": "mark.remove", "ref": "a", "index": 0}),
    (_named("Top"), _named("Lid")),
    ({"op": "kit.set", "values": {"title": "One"}}, {"op": "kit.set", "values": {"title": "Two"}}),
    (_named("Top"), {"op": "part.remove", "id": "roof"}),
]  # fmt: skip


@pytest.mark.parametrize(("theirs", "ours"), CLASHES)
def test_a_clash_shows_both_versions_and_loses_none(page, theirs, ours):
    old, seen = page.version, (page.folder / "kit.toml").read_text()
    page.change(theirs)
    now = (page.folder / "kit.toml").read_text()
    answer = page.change(ours, status=409, version=old)
    clash = answer["clash"]
    assert clash["seen"] == {"version": old, "text": seen} and clash["now"]["text"] == now
    assert [line for sign, line in clash["diff"] if sign != "-"] == now.splitlines()
    assert (page.folder / "kit.toml").read_text() == now and answer["problems"]
    page.change(ours)  # whoever has seen both may insist


WRONG = [
    {"op": "nothing"},
    {"op": "mark.add", "ref": "a", "region": RECT},
    {"op": "mark.add", "ref": "nowhere", "region": RECT, "part": "roof"},
    {"op": "mark.add", "ref": "a", "region": {"rect": [1, 2, 3]}, "part": "roof"},
    {"op": "mark.add", "ref": "a", "region": {"rect": [1, 2, -3, 4]}, "part": "roof"},
    {"op": "mark.add", "ref": "a", "region": {"spot": [1, 2, "x"]}, "part": "roof"},
    {"op": "mark.set", "ref": "a", "index": 99, "region": RECT},
    {"op": "mark.remove", "ref": "a", "index": "one"},
    {"op": "part.decide", "id": "roof", "colour": "#112233", "why": " "},
    {"op": "part.decide", "id": "roof", "colour": "mauve-ish", "why": "x"},
    {"op": "part.set", "id": "roof", "values": {"finish": "shiny"}},
    {"op": "part.set", "id": "roof", "values": {"area_cm2": "large"}},
    {"op": "part.set", "id": "roof", "values": {"name": "x" * 30000}},
    {"op": "part.move", "id": "roof", "to": 9},
    {"op": "part.rename", "id": "roof", "to": "waist"},
    {"op": "part.hint.add", "id": "roof", "words": "gr33n"},
    {"op": "reference.set", "ids": ["a"], "values": {"light": "candle"}},
    {"op": "kit.set", "values": {"date": "yesterday"}},
    {"op": "kit.set", "values": {"title": {"a": None}}},
    {"op": "list.add", "file": "nowhere.csv"},
    {},
]


@pytest.mark.parametrize("op", WRONG, ids=[json.dumps(op)[:60] for op in WRONG])
def test_what_cannot_be_done_changes_nothing(page, op):
    before = (page.folder / "kit.toml").read_bytes()
    good = {"op": "part.add", "name": "Doors"}
    answer = page.change(good, op, status=422)
    assert answer["problems"] and all(p["what"] for p in answer["problems"])
    assert (page.folder / "kit.toml").read_bytes() == before
    assert page.get("api/state")["undo"] is None


def test_what_an_editor_wrote_is_a_step_too(page):
    page.change({"op": "part.add", "name": "Doors"})
    path = page.folder / "kit.toml"
    before = path.read_text()
    path.write_text(before.replace('"Car 7"', '"Car 9"'))
    state = page.get("api/state")
    assert state["undo"]["by"] == "editor" and state["version"] != page.version
    page.version = state["version"]
    page.post("api/undo")
    assert path.read_text() == before
    page.post("api/undo")
    assert "Doors" not in path.read_text()


def test_while_an_editor_breaks_the_kit_the_last_good_state_stays(page):
    path = page.folder / "kit.toml"
    good = path.read_text()
    path.write_text(good + "\n[[part")
    state = page.get("api/state")
    assert state["problems"] and [p["id"] for p in state["parts"]] == ["waist", "roof"]
    assert page.change({"op": "part.add", "name": "Doors"}, status=422)["problems"]
    assert path.read_text() == good + "\n[[part"


def test_a_missing_picture_is_a_card_with_its_trouble_and_can_be_shown_again(page):
    (page.folder / "a.png").rename(page.folder / "elsewhere.png")
    broken = page.get("api/state")["references"]
    assert broken[0]["v"] is None and "no such file" in broken[0]["problems"][0]["what"]
    assert broken[1]["v"] and not broken[1]["problems"]
    answer = page.change({"op": "reference.relink", "id": "a", "file": "elsewhere.png"})
    assert answer["references"][0]["v"] and len(answer["references"][0]["samples"]) == 1


def test_tiles_put_together_are_the_picture(page):
    rng = np.random.default_rng(3)
    levels = np.kron(rng.integers(0, 256, (12, 15, 3)), np.ones((100, 90, 1))).astype(np.uint8)
    Image.fromarray(levels).save(page.folder / "a.png")
    info = page.get("api/picture", ref="a")
    assert (info["width"], info["height"], info["tile"]) == (1350, 1200, 512) and info["levels"] == 12
    whole = np.zeros_like(levels)
    for y in range(3):
        for x in range(3):
            tile = page.get("tile", ref="a", level=11, x=x, y=y, v=info["v"])
            assert "immutable" in tile.headers["Cache-Control"]
            part = np.asarray(Image.open(io.BytesIO(tile.data)))
            whole[y * 512 : y * 512 + part.shape[0], x * 512 : x * 512 + part.shape[1]] = part
    assert np.abs(whole.astype(int) - levels).mean() < 3
    small = np.asarray(Image.open(io.BytesIO(page.get("tile", ref="a", level=0, x=0, y=0).data)))
    assert small.shape == (1, 1, 3)
    page.get("tile", 404, ref="a", level=11, x=3, y=0)
    page.get("tile", 404, ref="a", level=12, x=0, y=0)
    page.get("tile", 404, ref="a", level=11, x=0, y=0, v="older")
    page.get("tile", 404, ref="../../etc/passwd", level=1, x=0, y=0)


def test_half_a_picture_is_averaged_in_light(page):
    """Black and white lines are half the light: encoded sRGB 188 (IEC 61966-2-1), not 128."""
    lines = np.zeros((64, 64, 3), np.uint8)
    lines[::2] = 255
    Image.fromarray(lines).save(page.folder / "a.png")
    tile = np.asarray(Image.open(io.BytesIO(page.get("tile", ref="a", level=5, x=0, y=0).data)))
    assert tile.shape == (32, 32, 3) and abs(int(tile.mean()) - 188) <= 1


def test_thumbnails_come_from_the_cache(page, monkeypatch):
    first = page.get("thumb", ref="a").data
    assert max(Image.open(io.BytesIO(first)).size) == 240
    again = Page(page.folder)
    import palette.evidence.pictures.decode as decode

    monkeypatch.setattr(decode, "thumbnail", lambda *_: pytest.fail("decoded again"))
    assert again.get("thumb", ref="a").data == first


def test_the_colour_under_the_hand(page):
    at = page.get("api/read", ref="a", x=20, y=20, r=4)
    assert at["pixels"] > 40 and at["as_is"]["words"] and len(at["paints"]) == 5
    mark = page.post("api/read", ref="a", region={"rect": [4, 4, 32, 32]})
    assert np.linalg.norm(np.subtract(at["as_is"]["lab"], mark["as_is"]["lab"])) < 3
    page.get("api/read", 422, ref="a", x=-9, y=20)
    page.get("api/read", 422, ref="a")
    page.post("api/read", 422, ref="a", region={"rect": [900, 4, 32, 32]})
    page.post("api/read", 422, ref="a", region=[1])


def test_the_examples_of_a_new_kit_are_cleared_by_one_change(tmp_path):
    from palette.kit.start import start

    start(tmp_path / "fresh")
    page = Page(tmp_path / "fresh")
    assert page.get("api/state")["examples"]
    assert page.change({"op": "examples.clear"})["examples"] is False
    state = page.get("api/state")
    assert not state["examples"] and state["parts"] == []
    page.change({"op": "part.add", "name": "Body"})
    roof = page.change({"op": "part.add", "name": "Roof"})  # like an example, and the maker's own
    assert roof["examples"] is False


def test_cells_and_rows_of_a_list(page):
    page.change(
        {"op": "swatch.mark", "list": "bench.csv", "ids": ["R1", "R2"], "owned": True},
        {"op": "swatch.set", "list": "bench.csv", "id": "K1", "row": {"name": 'Cocoa, "dark"'}},
        {"op": "swatch.add", "list": "bench.csv", "row": {"id": "B9", "name": "Blue", "hex": "#223399"}},
        {"op": "swatch.remove", "list": "bench.csv", "ids": ["Y1"]},
    )
    from palette.swatches.model import SwatchList

    by_id = {s.id: s for s in SwatchList.read(page.folder / "bench.csv").swatches}
    assert by_id["R1"].owned and by_id["R2"].owned and by_id["W1"].owned is None
    assert by_id["K1"].name == 'Cocoa, "dark"' and "B9" in by_id and "Y1" not in by_id
    before = (page.folder / "bench.csv").read_bytes()
    wrong = {"op": "swatch.set", "list": "bench.csv", "id": "R1", "row": {"lab_l": "bright"}}
    assert page.change(wrong, status=422)["problems"]
    assert (page.folder / "bench.csv").read_bytes() == before
    page.post("api/undo")
    assert "Y1" in (page.folder / "bench.csv").read_text()
    page.change({"op": "swatch.mark", "list": "../../etc/passwd", "ids": ["root"], "owned": True}, status=422)


def test_events_tell_of_changes(page):
    page.made.desk.benches[0].live.read()
    hub = page.made.desk.benches[0].live.hub
    stream = hub.listen({"version": page.version})
    assert next(stream).startswith(b"event: hello\n")
    page.change({"op": "part.add", "name": "Doors"})
    told = next(stream).decode()
    assert told.startswith("event: kit\n") and json.loads(told.split("data: ")[1])["by"] == "desk"
    (page.folder / "kit.toml").write_text((page.folder / "kit.toml").read_text() + "\n# by hand\n")
    told = next(stream).decode()  # within a second: the kit is watched
    assert json.loads(told.split("data: ")[1])["by"] == "editor"
    stream.close()
    assert not hub.listened_to


def _png(lab=(128, 40, 40), size=(60, 40)):
    stream = io.BytesIO()
    Image.new("RGB", size, lab).save(stream, "PNG")
    return stream.getvalue()


def _upload(page, *files, status=200, **form):
    headers = {"Host": HOST, "X-Desk-Token": page.made.desk.token}
    data = {"version": page.version, **form, "files": [(io.BytesIO(raw), name) for name, raw in files]}
    answer = page.made.client.post("/kit/1/api/upload", headers=headers, data=data)
    assert answer.status_code == status, answer.get_json()
    content = answer.get_json()
    page.version = content.get("version", page.version)
    return content


def test_dropped_pictures_are_copied_into_the_kit_and_told_from_what_is_none(page):
    sent = ("Depot slide.png", _png()), ("../../evil.png", _png((1, 2, 3))), ("notes.png", b"no")
    answer = _upload(page, *sent)
    assert [one["id"] for one in answer["added"]] == ["depot-slide", "evil"]
    assert answer["added"][1]["file"] == "references/evil.png" and len(answer["problems"]) == 1
    assert (page.folder / "references" / "Depot slide.png").read_bytes() == _png()
    assert page.data["reference"][-1]["kind"] == "photograph"
    again = _upload(page, ("Depot slide.png", _png()), ("evil.png", _png((9, 9, 90))))
    files = [one["file"] for one in again["added"]]  # the same picture once, another one never overwritten
    assert files == ["references/Depot slide.png", "references/evil-2.png"]
    page.post("api/undo")
    assert len(page.data["reference"]) == 4 and (page.folder / "references" / "evil-2.png").exists()
    assert _upload(page, ("notes.png", b"no"), status=422)["problems"]


def test_a_picture_can_take_the_place_of_a_missing_one(page):
    (page.folder / "a.png").unlink()
    answer = _upload(page, ("found.png", _png(size=(280, 40))), **{"for": "a"})
    assert answer["references"][0]["file"] == "references/found.png" and answer["references"][0]["v"]
    assert len(page.data["reference"][0]["anchor"]) == 6


def test_a_folder_of_pictures(page, tmp_path_factory):
    folder = tmp_path_factory.mktemp("scans")
    (folder / "one.png").write_bytes(_png())
    (folder / "two.png").write_bytes(_png((10, 90, 20)))
    (folder / "read me.txt").write_text("nothing")
    listed = page.get("api/folder", path=str(folder))
    assert [p["name"] for p in listed["pictures"]] == ["one.png", "two.png"]
    answer = page.post("api/add", path=str(folder))
    assert [one["id"] for one in answer["added"]] == ["one", "two"]
    page.post("api/add", 422, path=str(folder / "nowhere.png"))


def test_lists_as_tables(page):
    (bench,) = page.get("api/lists")["lists"]
    assert bench["columns"][:2] == ["id", "name"] and bench["rows"][0]["cells"]["name"] == "Signal"
    assert sorted(row["place"] for row in bench["rows"]) == list(range(6))
    assert min(bench["rows"], key=lambda row: row["place"])["id"] == "W1"  # the grey ones first
    (page.folder / "bench.csv").write_text("id,name,hex\nA,B,#zz\n")
    assert page.get("api/lists")["lists"][0]["problems"]


def test_one_order_over_all_lists(tmp_path):
    """Where several lists are shown at once, a red of one stands beside a red of the other."""
    (tmp_path / "a.csv").write_text("id,name,hex\nA1,Red,#b01010\nA2,Green,#10a020\nA3,Grey,#808080\n")
    (tmp_path / "b.csv").write_text("id,name,hex\nB1,Green,#109020\nB2,No colour,\nB3,Red,#a01010\n")
    lists = tables(tmp_path, {"kit": {"swatches": ["a.csv", "b.csv"]}})
    rows = sorted((row for one in lists for row in one["rows"]), key=lambda row: row["place"])
    assert [row["id"] for row in rows] == ["A3", "A1", "B3", "A2", "B1", "B2"]


def test_mixing_by_hand(page):
    from palette.paints.mixing import mixture
    from palette.swatches.model import SwatchList

    answer = page.post("api/mix", drops={"R1": 3, "W1": 1}, target={"colour": "#aa5544"})
    expected = mixture({"R1": 3, "W1": 1}, SwatchList.read(page.folder / "bench.csv"))
    assert answer["colour"]["lab"] == pytest.approx(list(expected), abs=1e-3) and answer["difference"] > 0
    assert page.post("api/mix", drops={"R1": 1})["difference"] is None
    for drops in ({}, {"R1": 0}, {"R1": True}, {"nothing": 1}, {"R1": 1.5}, [], {"R1": 10**9}):
        page.post("api/mix", 422, drops=drops)


def test_what_a_typed_colour_means(page):
    assert page.get("api/colour", text="munsell N 5/")["table"] == {"munsell": "N 5/"}
    assert page.get("api/colour", text="R1")["table"] == {"swatch": "R1"}
    assert page.get("api/colour", 422, text="no colour")["problems"]


def test_every_error_is_json(page):
    assert page.get("api/read", 404, ref="nowhere", x=1, y=1)["problems"]
    assert page.get("api/guide", 422, paper="a5")["problems"]
    assert page.get("api/recipes", 422)["problems"]
