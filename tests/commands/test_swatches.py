"""`palette swatches`. Fails when an answer changes its form, its stream or its exit status."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

from palette.commands import group

GOOD = "id,name,range,hex\nA,One,Bench,#102030\nB,Two,Bench,#804020\n"
ODD = "id,name,range,hex,finish\nA,One,Bench,#102030,shiny\n"
BAD = "id,name,range,hex,finish\nA,One,Bench,#10203,shiny\nA,Two,Bench,#804020,\n"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(group, ["swatches", *map(str, arguments)])


def answer(done: Result) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(done.stdout)
    assert content["schema"] == 1
    return content


@pytest.fixture
def lists(tmp_path: Path) -> Path:
    for name, text in (("good", GOOD), ("odd", ODD), ("bad", BAD)):
        (tmp_path / f"{name}.csv").write_text(text)
    return tmp_path


@pytest.mark.parametrize(("name", "count", "status", "kinds"), [
    ("good", 2, 0, []), ("odd", 1, 0, ["remark"]), ("bad", 2, 1, ["error", "remark", "error"]),
])  # fmt: skip
def test_check_answers_with_every_problem(
    lists: Path, name: str, count: int, status: int, kinds: list[str]
) -> None:
    path = lists / f"{name}.csv"
    done = run("check", path, "--json")
    reply = answer(done)
    assert (done.exit_code, reply["swatches"]) == (status, count)
    assert sorted(p["kind"] for p in reply["problems"]) == sorted(kinds)
    assert all(
        p["file"] == str(path) and isinstance(p["line"], int) and p["problem"] for p in reply["problems"]
    )
    assert done.stderr.count("error: ") == kinds.count("error") == len(done.stderr.splitlines())


def test_check_in_words(lists: Path) -> None:
    done = run("check", lists / "odd.csv")
    assert done.exit_code == 0 and done.stdout.splitlines()[-1] == "1 paint, no errors, 1 remark"
    assert done.stdout.startswith(f"remark: {lists / 'odd.csv'}:2: ")


def test_mark_then_replacements_then_changes(lists: Path) -> None:
    (lists / "old.csv").write_text(GOOD)
    assert run("mark", lists / "good.csv", "A", "--retired", "--not-owned").exit_code == 0
    reply = answer(run("replacements", lists / "good.csv", "--json"))["retired"]
    assert [(r["swatch"], [p["swatch"] for p in r["paints"]]) for r in reply] == [("A", ["B"])]
    assert set(reply[0]["paints"][0]) == {"swatch", "name", "range", "lab", "hex", "difference"}
    changed = answer(run("changes", lists / "old.csv", lists / "good.csv", "--json"))
    assert (changed["added"], changed["removed"]) == ([], [])
    assert {c["column"] for c in changed["changed"][0]["cells"]} == {"owned", "retired"}
    assert "nothing changed" in run("changes", lists / "old.csv", lists / "old.csv").stdout
    assert "A  One" in run("changes", lists / "old.csv", lists / "good.csv").stdout
    assert "B  Two" in run("replacements", lists / "good.csv").stdout


def test_mark_wants_to_know_what(lists: Path) -> None:
    assert run("mark", lists / "good.csv", "A").exit_code == 2
    done = run("mark", lists / "good.csv", "A", "Z", "b", "--owned")
    assert done.exit_code == 1 and len(done.stderr.splitlines()) == 2
    assert "'Z'" in done.stderr and "did you mean 'B'?" in done.stderr
    assert (lists / "good.csv").read_text() == GOOD  # not A alone


@pytest.mark.parametrize("option", ["--share", "--grey"])
def test_what_is_no_number_is_a_wrong_command_line(option: str, lists: Path) -> None:
    done = run("read", lists / "good.csv", option, "nan", "--out", lists / "out.csv")
    assert done.exit_code == 2 and "'nan' is no number" in done.stderr


def test_mark_says_what_it_wrote_and_takes_no_guess_which_paint_is_meant(lists: Path) -> None:
    """Fails when one of two rows of an id is marked in silence, or nothing tells a change from none."""
    done = run("mark", lists / "bad.csv", "A", "--owned")
    assert done.exit_code == 1 and f"{lists / 'bad.csv'}:3: id 'A' stands on line 2 already" in done.stderr
    assert (lists / "bad.csv").read_text() == BAD
    path = lists / "good.csv"
    assert run("mark", path, "A", "B", "--owned").stdout == f"{path}: A, B are owned now\n"
    assert "nothing was written" in run("mark", path, "A", "--owned").stdout


def test_a_cell_of_two_lines_is_told_on_one(lists: Path) -> None:
    (lists / "new.csv").write_text(GOOD.replace("One", '"One\r\nand more"'))
    done = run("changes", lists / "good.csv", lists / "new.csv")
    assert done.stdout.splitlines() == ["changed  A  One and more: name One → One and more"]


def test_nothing_that_is_read_is_written_over(lists: Path) -> None:
    """Fails when a slip in --out costs a photograph or a list."""
    for out, more in ((lists / "photo.jpg", ()), (lists / "good.csv", ("--names", lists / "good.csv"))):
        before = out.read_bytes() if out.exists() else None
        done = run("read", lists / "photo.jpg", *more, "--out", out)
        assert done.exit_code == 1 and "would be written over" in done.stderr
        assert (out.read_bytes() if out.exists() else None) == before


def test_merge_writes_one_list_or_nothing(lists: Path) -> None:
    out = lists / "all.csv"
    (lists / "more.csv").write_text("id,name,hex\nC,Three,#445566\n")
    done = run("merge", lists / "good.csv", lists / "more.csv", "--out", out)
    assert (done.exit_code, done.stdout) == (0, f"{out}: 3 paints\n")
    before = out.read_bytes()
    assert run("merge", lists / "good.csv", lists / "odd.csv", "--out", out).exit_code == 1
    assert run("merge", lists / "bad.csv", "--out", out).exit_code == 1
    assert out.read_bytes() == before


def test_card_prints_the_paints_of_a_list(lists: Path) -> None:
    out = lists / "card.pdf"
    done = run("card", "--out", out, "--paper", "letter", "--swatches", lists / "good.csv")
    assert done.exit_code == 0 and done.stdout.strip() == str(out)
    assert out.read_bytes().startswith(b"%PDF")
    (lists / "d.pdf").mkdir()
    assert run("card", "--out", lists / "d.pdf", "--boxes", 3).exit_code == 1  # a folder
    slip = run("card", "--out", lists / "good.csv", "--boxes", 3)
    assert slip.exit_code == 1 and "is no .pdf" in slip.stderr and (lists / "good.csv").read_text() == GOOD
    (lists / "none.csv").write_text("")
    both = run("card", "--out", out, "--swatches", lists / "none.csv", "--swatches", lists / "no.csv")
    assert both.exit_code == 1 and len(both.stderr.splitlines()) == 2
    assert run("card", "--out", out, "--boxes", 0).exit_code == 2


def test_read_measures_a_photographed_card(tmp_path: Path) -> None:
    """Fails when list and JSON disagree, or a bad photograph leaves a list behind or a traceback."""
    pytest.importorskip("cv2")
    from palette.swatches.model import SwatchList
    from tests.paints.card.photographs import Scene, photograph, some_paints

    photo, out = tmp_path / "card.jpg", tmp_path / "out.csv"
    photo.write_bytes(photograph(Scene(some_paints(2, np.random.default_rng(2)), size=(760, 1010))))
    done = run("read", photo, "--grey", 49.5, "--white", "box-1", "--out", out, "--json")
    assert done.exit_code == 0, done.output
    reply = answer(done)
    assert [paint["box"] for paint in reply["paints"]] == [1, 2]
    read = SwatchList.read(out).swatches
    assert [swatch.id for swatch in read] == ["box-1", "box-2"]
    for swatch, paint in zip(read, reply["paints"], strict=True):
        assert swatch.lab == pytest.approx(paint["straight"]["lab"], abs=1e-3)
        assert swatch.spread == pytest.approx(paint["straight"]["spread"], abs=0.01)
    assert read[1].tint_white == "box-1" and read[1].tint_share == 0.1
    before = out.read_bytes()
    refused = run("read", photo, photo.with_name("missing.jpg"), "--out", out)
    assert refused.exit_code == 1 and "missing.jpg: there is no such file" in refused.stderr
    assert out.read_bytes() == before
    assert run("read", photo, "--grey", 50, "--chart", "since-2014", "--out", out).exit_code == 2
    text = run("read", photo, "--grey", 49.5, "--out", out)
    assert "box-2" in text.stdout and "--white" in text.stderr


def test_read_without_opencv_says_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "cv2", None)
    done = run("read", tmp_path / "card.jpg", "--out", tmp_path / "out.csv")
    assert done.exit_code == 1
    remedy = "install it from palette's own folder: pip install '.[card]'"
    assert done.stderr == f"error: reading a card needs OpenCV; {remedy}\n"
