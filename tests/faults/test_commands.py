"""Every command that writes: each of its writes fails at every operation in turn, and leaves all as it was.

The command runs once. Where it comes to write, the write is first tried with a fault at the first operation,
then at the second, and so on, each of which must leave the folder as it was; at last it is let through.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from palette.commands import COMMANDS, group
from palette.errors import InputError
from palette.files import changes
from tests.faults.faulty import disturbed, held, leftovers

KIT = """schema = 1
[kit]
title = "Car"
swatches = ["list.csv"]

[[part]]
id = "waist"

[[reference]]
id = "slide"
file = "references/slide.png"
kind = "print"

  [[reference.sample]]
  part = "waist"
  rect = [8, 8, 40, 40]

[[reference]]
id = "works"
file = "references/works.png"
kind = "print"
tone = "grey"

  [[reference.sample]]
  part = "waist"
  rect = [8, 8, 40, 40]
"""
LIST = "id,name,hex,owned\nA,one,#102030,no\nB,two,#a0b0c0,yes\nC,three,#7f8a66,\n"
WRITING = [  # every command that writes, and the files it writes
    ("new fresh", ["fresh/kit.toml", "fresh/swatches/own.csv"]),
    ("sample references/slide.png --swatches list.csv --sheet sheet.png", ["sheet.png"]),
    ("match --hex #7f8a66 --swatches list.csv --sheet sheet.pdf", ["sheet.pdf"]),
    ("look . slide", ["out/look-slide.png"]),
    ("look . slide --out look.png", ["look.png"]),
    ("grey . --plot plot.svg --as-seen waist --to seen.png", ["plot.svg", "seen.png"]),
    ("guide .", ["out/guide.pdf", "out/guide.html", "out/scheme.json"]),
    ("swatches mark list.csv A --owned --retired", ["list.csv"]),
    ("swatches merge list.csv other.csv --out all.csv", ["all.csv"]),
    ("swatches merge list.csv other.csv --out list.csv", ["list.csv"]),
    ("swatches card --out card.pdf", ["card.pdf"]),
    ("add . new.png", ["kit.toml", "references/new.png"]),
    ("frames film.mkv --at 0.5 --into .", ["kit.toml", "references/film-0h00m00s500.png"]),
    ("release . --out car.zip --draft", ["car.zip", "editions/1/scheme.json", "editions/1/edition.json"]),
    ("shelf . --out site", ["site/index.html", "site/feed.xml", "site/shelf-state.json"]),
]
# `demo` writes as `new` does, and `guide`; `swatches read` as `swatches merge`; the desk by kit.write.Draft,
# as `frames` does. The others write nothing.
READING = {"references", "scheme", "mix", "basket", "swatches", "check", "demo", "desk", "changes"}


@pytest.fixture
def place(quick: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(quick)
    (quick / "references").mkdir()
    levels = np.random.default_rng(1).normal([120, 90, 60], 3, (64, 64, 3)).clip(0, 255).astype(np.uint8)
    Image.fromarray(levels).save("references/slide.png")
    Image.fromarray(levels.mean(axis=2).astype(np.uint8)).save("references/works.png")
    Image.fromarray(levels[:32]).save("new.png")
    Path("kit.toml").write_text(KIT)
    Path("list.csv").write_text(LIST)
    Path("other.csv").write_text("id,name,hex\nD,four,#445566\n")
    return quick


def film() -> None:
    av = pytest.importorskip("av")
    with av.open("film.mkv", "w") as container:
        stream = container.add_stream("ffv1", rate=25)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for _ in range(25):
            frame = av.VideoFrame.from_ndarray(np.full((72, 64), 128, np.uint8), format="yuv420p")
            container.mux(stream.encode(frame))
        container.mux(stream.encode())


@pytest.mark.parametrize(("words", "files"), WRITING, ids=[words for words, _ in WRITING])
def test_a_write_that_fails_changes_nothing(
    place: Path, monkeypatch: pytest.MonkeyPatch, words: str, files: list[str]
) -> None:
    if words.startswith("frames"):
        film()
    tried, real = [], changes._Work.do

    def do(self: changes._Work, asked: Sequence[Any], folders: Sequence[Path]) -> None:
        before = held(place)
        for at in range(500):
            number = (errno.ENOSPC, errno.EIO, errno.EROFS)[at % 3]

            def fail(name: str, number: int = number) -> None:
                raise OSError(number, os.strerror(number))

            with disturbed(at, fail) as met:
                try:
                    real(changes._Work(self.root, self.follow), asked, folders)
                except InputError as error:
                    assert len(error.problems) == 1
                    named = {*(str(change.path) for change in asked), *(str(c.path.parent) for c in asked)}
                    assert error.problems[0].file in {str(self.root), *named, *map(str, folders)}
                else:
                    break  # past the last operation, or in what is cleared away after the work
            assert held(place) == before, (at, met)
        changes._undo_all(self.root)  # the folder is held already
        tried.append(at)

    monkeypatch.setattr(changes._Work, "do", do)
    before = held(place)
    done = CliRunner().invoke(group, words.split())
    assert done.exit_code == 0, done.output
    assert len(tried) >= 1 and min(tried) >= 5
    now = held(place)
    changed = [name for name, what in now.items() if what is not None and before.get(name, b"") != what]
    assert set(files) <= set(changed) and not leftovers(place)
    assert all(name in files or name.startswith(("out/", "site/")) for name in changed)


@pytest.mark.parametrize(("words", "files"), WRITING, ids=[words for words, _ in WRITING])
def test_a_folder_that_may_not_be_written_is_said(
    place: Path, monkeypatch: pytest.MonkeyPatch, words: str, files: list[str]
) -> None:
    # fails when a command ends in a traceback, or says that it is done, where it could not write
    if words.startswith("frames"):
        film()
    before = held(place)

    def refuse(*args: Any, **options: Any) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(os, "mkdir", refuse)
    done = CliRunner().invoke(group, words.split())
    assert done.exit_code == 1 and done.stderr.splitlines()[-1].startswith("error: "), done.output
    assert "read-only file system" in done.stderr and held(place) == before


def test_every_command_is_accounted_for() -> None:
    # fails when a command is added and nobody says whether it writes
    named = {words.split()[0] for words, _ in WRITING}
    assert named | READING == set(COMMANDS), set(COMMANDS) ^ (named | READING)
