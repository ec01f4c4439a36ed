"""Four files, together and whole, from a kit on disk."""

from __future__ import annotations

import json
import os
import shutil
import stat
import threading
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from palette.errors import InputError
from palette.guide import build, build_from
from palette.kit.model import Kit
from palette.paints.scheme import scheme
from palette.report.scheme import scheme_document
from tests.pdf_text import words_of

KIT = """
schema = 1
[kit]
title = "Small van"
swatches = ["paints.csv"]

[[part]]
id = "body"
name = "Body"

[[reference]]
id = "yard"
file = "yard.png"
credit = "R. Hale"

  [[reference.anchor]]
  rect = [4, 4, 20, 20]
  colour = { munsell = "N 8/" }

  [[reference.sample]]
  part = "body"
  rect = [50, 20, 30, 30]
"""


NAMES = ("guide.pdf", "dossier.pdf", "guide.html", "scheme.json")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "kit.toml").write_text(KIT, "utf-8")
    (tmp_path / "paints.csv").write_text(
        "id,name,range,hex\nA1,Bus red,Depot,#8a2a2a\nA2,Cream,Depot,#e6d8b4\n", "utf-8"
    )
    picture = np.full((80, 120, 3), 120, np.uint8)
    picture[:30, :30] = 202
    picture[15:60, 45:90] = (138, 44, 40)
    picture = np.clip(picture + np.random.default_rng(0).integers(-2, 3, picture.shape), 0, 255).astype(
        np.uint8
    )
    Image.fromarray(picture).save(tmp_path / "yard.png")
    return tmp_path


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_four_files_and_nothing_else(folder: Path) -> None:
    paths = build(Kit.read(folder), folder / "new" / "out")
    assert [path.name for path in paths] == ["guide.pdf", "dossier.pdf", "guide.html", "scheme.json"]
    assert names(folder / "new" / "out") == ["dossier.pdf", "guide.html", "guide.pdf", "scheme.json"]
    for path in paths[:2]:
        assert "Bus red" in words_of(path.read_bytes())
    assert "Bus red" in paths[2].read_text("utf-8")


def test_the_json_is_the_schemes_own_and_names_its_edition(folder: Path) -> None:
    kit = Kit.read(folder)
    written = json.loads(build(kit, folder / "out")[3].read_bytes())
    assert written["edition"] == {"version": "", "stage": "draft", "date": None}
    assert written == json.loads(scheme_document(scheme(kit)))


def test_twice_gives_the_same_bytes(folder: Path) -> None:
    kit = Kit.read(folder)
    first = [path.read_bytes() for path in build(kit, folder / "out")]
    assert [path.read_bytes() for path in build(kit, folder / "out")] == first


def test_a_full_disk_leaves_all_as_they_were(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kit, out = Kit.read(folder), folder / "out"
    out.mkdir()
    for name in NAMES:
        (out / name).write_text("old")
    calls = []

    def full(descriptor: int) -> None:
        calls.append(descriptor)
        if len(calls) == 3:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="no space left on device"):
        build(kit, out)
    assert names(out) == sorted(NAMES)
    assert all(path.read_text() == "old" for path in out.iterdir())


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_folder_is_said_to_be_one(folder: Path) -> None:
    out = folder / "out"
    out.mkdir()
    out.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        with pytest.raises(InputError, match="cannot be written"):
            build(Kit.read(folder), out)
        assert names(out) == []
    finally:
        out.chmod(stat.S_IRWXU)


def test_a_file_in_the_way_of_the_folder(folder: Path) -> None:
    (folder / "out").write_text("mine")
    with pytest.raises(InputError, match="cannot be made"):
        build(Kit.read(folder), folder / "out")
    assert (folder / "out").read_text() == "mine"


def test_a_folder_in_the_way_of_a_file_stops_them_all(folder: Path) -> None:
    (folder / "out" / "scheme.json").mkdir(parents=True)
    with pytest.raises(InputError, match=r"scheme\.json"):
        build(Kit.read(folder), folder / "out")
    assert names(folder / "out") == ["scheme.json"]


def test_two_builds_at_once_leave_whole_files(folder: Path) -> None:
    kit, out = Kit.read(folder), folder / "out"
    expected = [path.read_bytes() for path in build(kit, out)]
    shutil.rmtree(out)
    problems: list[Exception] = []

    def run() -> None:
        try:
            build(kit, out)
        except Exception as error:
            problems.append(error)

    threads = [threading.Thread(target=run) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert problems == []
    assert names(out) == sorted(NAMES)
    assert [(out / name).read_bytes() for name in NAMES] == expected


def test_no_such_paper(folder: Path) -> None:
    with pytest.raises(ValueError, match="a4, letter"):
        build(Kit.read(folder), folder / "out", "a3")


def test_what_has_not_changed_is_found_again_and_what_has_is_not(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Fails where an unchanged kit is worked out again, or a changed list, picture or option is not."""
    from palette.guide import writing
    from palette.guide.dossier import pdf as dossier_pdf
    from palette.guide.painter import pdf as guide_pdf

    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    real, made = writing.make, []

    def counted(*arguments: object, **more: object) -> object:
        made.append(arguments)
        return real(*arguments, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(writing, "make", counted)
    for pages in (guide_pdf, dossier_pdf):
        monkeypatch.setattr(pages, "render", lambda content, paper: repr(content).encode())
    first = [path.read_bytes() for path in build(Kit.read(folder), folder / "out")]
    assert [path.read_bytes() for path in build(Kit.read(folder), folder / "out")] == first
    assert len(made) == 1
    build(Kit.read(folder), folder / "out", "letter")
    build(Kit.read(folder), folder / "out", mine=True)
    paints = folder / "paints.csv"
    paints.write_text(paints.read_text("utf-8").replace("Bus red", "Old red"), "utf-8")
    assert b"Old red" in build(Kit.read(folder), folder / "out")[2].read_bytes()
    assert len(made) == 4


def test_an_unchanged_kit_is_known_before_it_is_read(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from palette import guide

    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    with (folder / "kit.toml").open("a", encoding="utf-8") as stream:
        stream.write('\n[workshop]\nown = "words"\n')
    first: list[str] = []
    again: list[str] = []
    paths = build_from(folder, None, first.append)
    before = [path.read_bytes() for path in paths]
    os.utime(paths[0], (1, 1))
    monkeypatch.setattr(guide, "build", None)  # whoever calls it fails
    assert build_from(folder, None, again.append) == paths
    assert [path.read_bytes() for path in paths] == before
    assert again == first and "workshop" in first[0]  # what there is to warn of is said again
    assert paths[0].stat().st_mtime > 1  # and the files are as new as the asking


@pytest.fixture
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Grows by one whenever a guide is built; no page is set."""
    from palette import guide

    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    runs: list[object] = []

    def quickly(kit: Kit, out: Path, **wanted: object) -> list[Path]:
        out.mkdir(exist_ok=True)
        for name in NAMES:
            (out / name).write_text(json.dumps({"kit": kit.title, "parts": []}), "utf-8")
        runs.append(wanted)
        return [out / name for name in NAMES]

    monkeypatch.setattr(guide, "build", quickly)
    return runs


def test_nothing_is_taken_for_unchanged_that_is_not(folder: Path, built: list[object]) -> None:
    out = folder / "out"

    def is_built_once(**wanted: object) -> None:
        before = len(built)
        build_from(folder, **wanted)  # type: ignore[arg-type]
        assert len(built) == before + 1
        build_from(folder, **wanted)  # type: ignore[arg-type]
        assert len(built) == before + 1

    is_built_once()
    is_built_once(paper="letter")
    is_built_once(out=folder / "for-me")
    (out / "guide.html").write_text("mine", "utf-8")
    is_built_once()
    (out / "dossier.pdf").unlink()
    is_built_once()
    for name, word in (("paints.csv", "Cream"), ("kit.toml", "Small")):
        (folder / name).write_text((folder / name).read_text("utf-8").replace(word, "Old"), "utf-8")
        is_built_once()
    Image.open(folder / "yard.png").transpose(Image.Transpose.FLIP_TOP_BOTTOM).save(folder / "yard.png")
    is_built_once()
    (out / "guide.html").rename(folder / "elsewhere.html")
    (out / "guide.html").symlink_to(folder / "elsewhere.html")
    before = len(built)
    build_from(folder)
    assert len(built) == before + 1  # which is where links that lead out are refused


def test_what_changed_while_it_was_read_is_not_taken_for_known(
    folder: Path, built: list[object], monkeypatch: pytest.MonkeyPatch
) -> None:
    from palette import guide

    quickly = guide.build

    def meanwhile(*arguments: object, **wanted: object) -> list[Path]:
        paths = quickly(*arguments, **wanted)  # type: ignore[arg-type]
        paints = folder / "paints.csv"
        paints.write_text(paints.read_text("utf-8") + f"B{len(built)},Moss,Depot,#445522\n", "utf-8")
        return paths

    monkeypatch.setattr(guide, "build", meanwhile)
    build_from(folder)
    build_from(folder)
    assert len(built) == 2


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ((), ("no reference may be copied, so the cover has no picture",)),
        ((('credit = "R. Hale"', 'credit = "R. Hale"\nlicence = "CC-BY-4.0"'),), ()),
        (
            (
                (
                    "[[reference]]",
                    '[[part]]\nid = "seat"\n\n[[part]]\nid = "lamp"\nfinish = "bare"\n\n[[reference]]',
                ),
            ),
            ("no reference may be copied", "no colour is decided for seat; "),
        ),
    ],
)
def test_what_a_stranger_would_miss_is_said(
    folder: Path, monkeypatch: pytest.MonkeyPatch, change: tuple[tuple[str, str], ...], said: tuple[str, ...]
) -> None:
    """Fails where a cover without a picture or an open colour passes in silence, or a part that gets no paint
    is named."""
    kit = folder / "kit.toml"
    for old, new in change:
        kit.write_text(kit.read_text("utf-8").replace(old, new, 1), "utf-8")
    _without_pages(monkeypatch)
    lines: list[str] = []
    build_from(folder, None, lines.append)
    assert len(lines) == len(said)
    for line, words in zip(lines, said, strict=True):
        assert line.startswith(f"warning: {kit}: ") and words in line


def test_a_kit_without_parts_is_said_to_be_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "kit.toml").write_text('schema = 1\n[kit]\ntitle = "Nothing"\n', "utf-8")
    _without_pages(monkeypatch)
    lines: list[str] = []
    build_from(tmp_path, None, lines.append)
    (line,) = lines
    assert "the kit has no part, so the guide is empty" in line


def _without_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    from palette.guide.dossier import pdf as dossier_pdf
    from palette.guide.painter import pdf as guide_pdf

    for pages in (guide_pdf, dossier_pdf):
        monkeypatch.setattr(pages, "render", lambda content, paper: repr(content).encode())
