"""Many kits at once: each answers as it does alone, and a bad one stops no other."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from palette.commands import group
from tests.shelf.test_shelf import make


@pytest.fixture(scope="module")
def kits(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("kits")
    make(folder / "one", "One")
    make(folder / "two", "Two", a=-30)
    (folder / "bad").mkdir()
    (folder / "bad" / "kit.toml").write_text("oops = [")
    return folder


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(group, [str(word) for word in words])


def test_each_scheme_is_as_it_is_alone_and_a_bad_kit_is_one_line(kits: Path) -> None:
    names = [kits / name for name in ("two", "bad", "one")]
    done = run("scheme", *names, "--jobs", "1", "--json")
    assert done.exit_code == 1
    assert len(done.stderr.splitlines()) == 1 and done.stderr.startswith(f"error: {kits / 'bad'}")
    answer = json.loads(done.stdout)
    assert [one["kit"] for one in answer["kits"]] == [str(name) for name in names]
    assert [one["problem"] is None for one in answer["kits"]] == [True, False, True]
    for one in answer["kits"]:
        alone = run("scheme", one["kit"], "--json")
        assert one["scheme"] == (json.loads(alone.stdout) if alone.exit_code == 0 else None)


def test_the_schemes_of_several_kits_are_printed_in_their_order(kits: Path) -> None:
    done = run("scheme", kits / "two", kits / "one", "--jobs", "1")
    assert done.exit_code == 0
    assert done.stdout == f"{run('scheme', kits / 'two').stdout}\n{run('scheme', kits / 'one').stdout}"


def test_guides_go_into_folders_of_their_own(kits: Path, tmp_path: Path) -> None:
    done = run("guide", kits / "one", kits / "bad", kits / "two", "--out", tmp_path, "--jobs", "1", "--json")
    assert done.exit_code == 1 and done.stderr.startswith("error: ")
    one, bad, two = json.loads(done.stdout)["kits"]
    assert bad["files"] is None and bad["problem"]
    for answer, name in ((one, "one"), (two, "two")):
        assert {Path(file).parent for file in answer["files"]} == {tmp_path / name}
        assert all(Path(file).is_file() for file in answer["files"])
    assert json.loads((tmp_path / "two" / "scheme.json").read_text())["kit"] == "Two"


def test_a_guide_says_how_many_paints_of_long_lists_were_not_mixed(
    kits: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("palette.paints.basket._MIXED", 4)
    done = run("guide", kits / "one", "--out", tmp_path)
    assert done.exit_code == 0 and "so 2 paints were looked at straight" in done.stderr
