"""`palette swatches`. Fails when an answer changes its form, its stream or its exit status."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from palette.commands import group

GOOD = "id,name,range,hex\nA,One,Bench,#102030\nB,Two,Bench,#804020\n"
ODD = "id,name,range,hex,finish\nA,One,Bench,#102030,shiny\n"
BAD = "id,name,range,hex,finish\nA,One,Bench,#10203,shiny\nA,Two,Bench,#804020,\n"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(group, ["swatches", *map(str, arguments)])


def answer(done: Result) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(done.stdout)
    assert found["schema"] == 1
    return found


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
    found = answer(done)
    assert (done.exit_code, found["swatches"]) == (status, count)
    assert sorted(p["kind"] for p in found["problems"]) == sorted(kinds)
    assert all(
        p["file"] == str(path) and isinstance(p["line"], int) and p["problem"] for p in found["problems"]
    )
    assert done.stderr.count("error: ") == kinds.count("error") == len(done.stderr.splitlines())


def test_check_in_words(lists: Path) -> None:
    done = run("check", lists / "odd.csv")
    assert done.exit_code == 0 and done.stdout.splitlines()[-1] == "1 paint, no errors, 1 remark"
    assert done.stdout.startswith(f"remark: {lists / 'odd.csv'}:2: ")


def test_mark_then_replacements_then_changes(lists: Path) -> None:
    (lists / "old.csv").write_text(GOOD)
    assert run("mark", lists / "good.csv", "A", "--retired", "--not-owned").exit_code == 0
    found = answer(run("replacements", lists / "good.csv", "--json"))["retired"]
    assert [(r["swatch"], [p["swatch"] for p in r["paints"]]) for r in found] == [("A", ["B"])]
    assert set(found[0]["paints"][0]) == {"swatch", "name", "range", "lab", "hex", "difference"}
    changed = answer(run("changes", lists / "old.csv", lists / "good.csv", "--json"))
    assert (changed["added"], changed["removed"]) == ([], [])
    assert {c["column"] for c in changed["changed"][0]["cells"]} == {"owned", "retired"}
    assert "nothing changed" in run("changes", lists / "old.csv", lists / "old.csv").stdout
    assert "A  One" in run("changes", lists / "old.csv", lists / "good.csv").stdout
    assert "B  Two" in run("replacements", lists / "good.csv").stdout


def test_mark_wants_to_know_what(lists: Path) -> None:
    assert run("mark", lists / "good.csv", "A").exit_code == 2
    done = run("mark", lists / "good.csv", "A", "Z", "--owned")
    assert done.exit_code == 1 and "'Z'" in done.stderr
    assert (lists / "good.csv").read_text() == GOOD  # not A alone


def test_merge_writes_one_list_or_nothing(lists: Path) -> None:
    out = lists / "all.csv"
    (lists / "more.csv").write_text("id,name,hex\nC,Three,#445566\n")
    done = run("merge", lists / "good.csv", lists / "more.csv", "--out", out)
    assert (done.exit_code, done.stdout) == (0, f"{out}: 3 paints\n")
    before = out.read_bytes()
    assert run("merge", lists / "good.csv", lists / "odd.csv", "--out", out).exit_code == 1
    assert run("merge", lists / "bad.csv", "--out", out).exit_code == 1
    assert out.read_bytes() == before
