"""The scheme beside the page: rows that come by themselves, in a process of its own."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest

from palette.desk.bench import Bench
from palette.desk.engine import Ask, Engine
from palette.evidence.combine.corrected import corrected
from palette.kit.model import Kit
from palette.memory import digest
from palette.paints.scheme import scheme
from tests.desk.desk_made import small_kit
from tests.evidence.combine.kits import ANCHORS, RED, SIDE, part, picture, reference, write


@pytest.fixture
def bench(tmp_path, monkeypatch):
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("PALETTE_STATE", str(tmp_path / "state"))
    (tmp_path / "kit").mkdir()
    made = Bench(1, small_kit(tmp_path / "kit"))
    yield made
    made.close()


def test_the_rows_are_the_scheme_and_follow_every_change(bench):
    """Fails where a row is another than `palette scheme` gives, before or after a mark, or a missing picture
    takes the rest with it."""
    assert bench.scheming.wait(300)
    rows = {row["part"]: row for row in bench.scheming.rows()["rows"]}
    coloured = scheme(bench.kit())
    waist = coloured.part("waist")
    assert rows["waist"]["colour"]["lab"] == pytest.approx(waist.lab, abs=1e-3)
    assert rows["waist"]["conflict"] and rows["waist"]["chosen"]["recipe"] and not rows["waist"]["stale"]
    clash = rows["waist"]["conflict_with"]
    assert set(clash["both"]) == {"a", "b"} and len(clash["crops"]) == 2 and clash["todo"]
    assert rows["roof"]["colour"] is None and rows["roof"]["basis"] == "none"

    version = bench.live.read().version
    stream = bench.live.hub.listen({})
    next(stream)
    mark = {"rect": [6 * SIDE + 8, 8, 20, 20]}
    bench.live.change(version, [{"op": "mark.add", "ref": "b", "region": mark, "part": "roof"}])
    assert bench.scheming.wait(300)
    rows = {row["part"]: row for row in bench.scheming.rows()["rows"]}
    roof = scheme(bench.kit()).part("roof")
    assert rows["roof"]["colour"]["lab"] == pytest.approx(roof.lab, abs=1e-3)
    assert np.array(rows["waist"]["colour"]["lab"]) == pytest.approx(waist.lab, abs=1e-3)
    told = [""]
    while not told[-1].startswith("event: settled"):
        told.append(next(stream).decode())
    assert any(one.startswith("event: rows") and '"part": "roof"' in one for one in told)

    (bench.path.parent / "a.png").unlink()
    bench.scheming.poke()
    assert bench.scheming.wait(300)
    after = bench.scheming.rows()
    assert [p["what"] for p in after["problems"]] and len(after["rows"]) == 2
    waist = next(row for row in after["rows"] if row["part"] == "waist")
    assert not waist["conflict"] and [e["reference"] for e in waist["evidence"]] == ["b"]


def test_a_process_that_ends_before_it_answered_is_replaced(bench):
    """Fails where the page would wait for ever for what a process was asked that is gone."""
    bench.scheming.start()
    bench.scheming._process.kill()
    assert bench.scheming.wait(300)
    assert {row["part"] for row in bench.scheming.rows()["rows"]} == {"waist", "roof"}


def test_anchors_alone_correct_a_picture(tmp_path):
    """Fails where a picture on which no part is marked yet is another than `palette look` makes it, or stays
    corrected without its anchors."""
    anchors = {i: f"{{ lab = {list(ANCHORS[i])} }}" for i in (0, 1, 3)}
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    kit = Kit.read(write(tmp_path, part("waist"), reference("a", {}, anchors)))
    told: list[tuple] = []
    engine = Engine(told.append)
    for number, asked in enumerate((kit, replace(kit, references=(replace(kit.references[0], anchors=()),)))):
        engine.scheme(Ask("scheme", number, (str(number), asked, b"")))
    corrections = [answer[1:] for answer in told if answer[0] == "correction"]
    assert [(id, len(rows)) for id, _, _, rows in corrections] == [("a", 3), ("a", 0)]
    assert digest(corrections[0][2]) == digest(corrected(kit, kit.references[0]).correction)
    notes = next(answer[4] for answer in told if answer[0] == "settled")
    assert "anchors" in notes["a"][0]


def test_a_picture_is_seen_corrected(bench):
    """Fails where tiles through the table are others than the correction gives, pixel by pixel."""
    from palette.colour.spaces import lab_to_linear, srgb_decode, srgb_encode
    from palette.desk.pictures import Lut, lattice

    assert bench.scheming.wait(300)
    reference = bench.kit().references[0]
    correction = bench.pictures.corrections["a"]
    lut = Lut(lattice(correction))
    levels = np.array([[[200, 170, 120], [90, 80, 60], [150, 150, 140], [60, 90, 50]]], np.uint8)
    place = np.array([[(i + 0.5) / 4, 0.5] for i in range(4)])
    lab, _ = correction.apply(srgb_decode(levels[0] / 255), np.zeros((4, 3, 3)), place)
    want = 255 * np.clip(srgb_encode(lab_to_linear(lab)), 0, 1)
    seen = lut.through(levels, (0, 0, 4, 1), 4, 1)[0]
    assert np.abs(seen - want).max() < 6
    bench.scheming.picture(reference)
    for _ in range(600):
        if bench.scheming.picture(reference)["corrected"]:
            break
        time.sleep(0.2)
    told = bench.scheming.picture(reference)
    assert told["corrected"] and len(told["anchors"]) == 6 and told["caption"].startswith("Corrected")
    table, v = bench.scheming.corrected(reference)
    assert table is not None and v == told["corrected"]
