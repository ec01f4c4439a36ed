"""`palette new`. Fails when the kit it lays cannot be used at once, or it overwrites anything."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from palette.commands import group
from palette.kit.read import read


def test_it_prints_what_it_wrote_and_the_kit_can_be_read(tmp_path: Path) -> None:
    folder = tmp_path / "tram"
    done = CliRunner().invoke(group, ["new", str(folder)])
    assert done.exit_code == 0
    assert done.stdout.split() == [str(folder / "kit.toml"), str(folder / "swatches/own.csv")]
    assert read(folder).title == "tram"


def test_a_name_with_a_space_can_be_typed_as_it_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "milk van"
    told = CliRunner().invoke(group, ["new", str(folder)]).stderr
    assert told.count(f'"{folder}"') == 3


def test_it_refuses_where_there_is_a_kit(tmp_path: Path) -> None:
    (tmp_path / "kit.toml").write_text("mine")
    done = CliRunner().invoke(group, ["new", str(tmp_path)])
    assert (done.exit_code, done.stdout) == (1, "")
    assert done.stderr.startswith(f"error: {tmp_path / 'kit.toml'}: ")
    assert (tmp_path / "kit.toml").read_text() == "mine" and len(list(tmp_path.iterdir())) == 1


def test_it_says_where_a_folder_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    done = CliRunner().invoke(group, ["new", str(tmp_path / "file" / "kit")])
    assert done.exit_code == 1 and done.stderr.startswith("error: ") and done.stderr.count("\n") == 1


def test_what_fails_half_way_leaves_nothing_and_can_be_done_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # fails when half a kit stays behind, which the next try then takes for a kit
    link = os.link
    for name in ("kit.toml", "own.csv"):

        def full(new: str, old: str, name: str = name) -> None:
            if Path(old).name == name:
                raise OSError(28, "No space left on device")
            link(new, old)

        with monkeypatch.context() as patched:
            patched.setattr(os, "link", full)
            done = CliRunner().invoke(group, ["new", str(tmp_path / "tram")])
        assert done.exit_code == 1 and "no space left" in done.stderr and done.stderr.count("\n") == 1
        assert not list(tmp_path.iterdir())
    assert CliRunner().invoke(group, ["new", str(tmp_path / "tram")]).exit_code == 0
