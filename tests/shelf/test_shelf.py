"""Bundles, editions and the shelf: whole, the same for the same input, and only what changed made again."""

from __future__ import annotations

import hashlib
import json
import shutil
import xml.etree.ElementTree as ElementTree
import zipfile
from pathlib import Path

import pytest

from palette.errors import InputError
from palette.kit.model import Kit
from palette.report.changes import changes_json
from palette.shelf import bundle as bundling
from palette.shelf.bundle import check_bundle, release
from palette.shelf.comparing import compare
from palette.shelf.filed import filed
from palette.shelf.many import ask, scheme_of
from palette.shelf.site import shelf
from tests.evidence.combine.kits import PAINTS

KIT = """schema = 1
[kit]
title = {title}
version = "{version}"
licence = "CC-BY-4.0"
swatches = ["list.csv"]
[[part]]
id = "waist"
area_cm2 = 10
colour = {{ lab = [40, {a}, 24] }}
why = "paint book"
"""


def make(folder: Path, title: str = "Car", version: str = "1.0", a: int = 42) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "list.csv").write_text(PAINTS)
    (folder / "kit.toml").write_text(KIT.format(title=json.dumps(title), version=version, a=a))
    return folder


def test_a_bundle_holds_what_its_manifest_says_and_is_the_same_twice(tmp_path: Path) -> None:
    kit = Kit.read(make(tmp_path / "kit"))
    entries = release(kit, tmp_path / "one.zip").entries
    again = release(kit, tmp_path / "two.zip").entries
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
    assert entries == again == check_bundle(tmp_path / "one.zip")
    names = {entry.file for entry in entries}
    assert {"guide-a4.pdf", "guide-letter.pdf", "dossier.pdf", "guide.html", "scheme.json"} <= names
    assert {"LICENCE.txt", "CREDITS.txt", "swatches/list.csv"} <= names
    with zipfile.ZipFile(tmp_path / "one.zip") as inside:
        raw = inside.read("guide.html")
    assert hashlib.sha256(raw).hexdigest() in {entry.sha256 for entry in entries}


def test_a_bundle_that_was_tampered_with_is_told(tmp_path: Path) -> None:
    release(Kit.read(make(tmp_path / "kit")), tmp_path / "one.zip")
    with (
        zipfile.ZipFile(tmp_path / "one.zip") as old,
        zipfile.ZipFile(tmp_path / "bad.zip", "w") as new,
    ):
        for name in old.namelist():
            if name != "dossier.pdf":
                new.writestr(name, old.read(name) + (b" " if name == "guide.html" else b""))
        new.writestr("extra.exe", "x")
    with pytest.raises(InputError) as error:
        check_bundle(tmp_path / "bad.zip")
    said = [problem.what for problem in error.value.problems]
    assert len(said) == 3 and all(any(n in text for text in said) for n in ("guide.html", "dossier", "extra"))


@pytest.mark.parametrize("raw", [b"", b"PK\x03\x04 no", b"Dear sir"])
def test_what_is_no_bundle_is_refused(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / "a.zip").write_bytes(raw)
    with pytest.raises(InputError, match=r"no bundle|no manifest"):
        check_bundle(tmp_path / "a.zip")


def test_what_a_stranger_would_miss_is_said_at_once_and_a_draft_may_go(tmp_path: Path) -> None:
    folder = make(tmp_path / "kit")
    text = (folder / "kit.toml").read_text().replace('licence = "CC-BY-4.0"\n', "")
    (folder / "kit.toml").write_text(text + '[[part]]\nid = "roof"\n')
    kit = Kit.read(folder)
    with pytest.raises(InputError) as error:
        release(kit, tmp_path / "one.zip")
    said = " ".join(problem.what for problem in error.value.problems)
    assert "no licence" in said and "'roof' has no colour" in said
    assert not (tmp_path / "one.zip").exists() and not (folder / "editions").exists()
    assert len(release(kit, tmp_path / "one.zip", draft=True).warnings) == 2
    with zipfile.ZipFile(tmp_path / "one.zip") as inside:
        assert "The kit has no licence" in inside.read("guide.html").decode()


def test_a_bundle_that_cannot_be_written_files_no_edition(tmp_path: Path, monkeypatch) -> None:
    folder = make(tmp_path / "kit")

    def full(path: Path, data: bytes) -> None:
        raise InputError("disk full")

    monkeypatch.setattr(bundling, "replace_whole", full)
    with pytest.raises(InputError):
        release(Kit.read(folder), tmp_path / "one.zip")
    assert filed(Kit.read(folder)) == [] and not (folder / "editions").exists()


def test_editions_are_kept_and_compared(tmp_path: Path) -> None:
    folder = tmp_path / "kit"
    release(Kit.read(make(folder)), tmp_path / "one.zip")
    release(Kit.read(make(folder, version="1.1", a=30)), tmp_path / "two.zip")
    kit = Kit.read(make(folder, version="1.2", a=10))
    assert [one.version for one in filed(kit)] == ["1.0", "1.1"]
    answer = changes_json(compare(kit, None, None))
    assert (answer["from"], answer["to"]) == ("1.1", "now")
    (part,) = changes_json(compare(kit, "1.0", "1.1"))["parts"]
    assert part["old"] == [40, 42, 24] and part["new"] == [40, 30, 24] and part["difference"] > 1
    assert not changes_json(compare(kit, "1.0", "1.0"))["parts"]
    with pytest.raises(InputError, match=r"there is 1\.0, 1\.1"):
        compare(kit, "7", None)
    (folder / "editions" / "1.0" / "scheme.json").write_text("{}")
    with pytest.raises(InputError, match="changed since it was filed"):
        compare(kit, "1.0", None)


def test_a_shelf_builds_only_what_changed_and_names_what_it_cannot(tmp_path: Path) -> None:
    kits, site = tmp_path / "kits", tmp_path / "site"
    make(kits / "one", "One <script>alert(1)</script>")
    make(kits / "two", "Two", a=-30)
    (kits / "bad").mkdir()
    (kits / "bad" / "kit.toml").write_text("oops = [")
    first = shelf([kits], site, jobs=1)
    assert [(Path(k.folder).name, k.built, bool(k.problem)) for k in first.kits] == [
        ("bad", False, True), ("one", True, False), ("two", True, False),
    ]  # fmt: skip
    page = (site / "index.html").read_text()
    assert "&lt;" in page and "<script>alert" not in page
    assert "<script>alert" not in (site / "shelf-data.js").read_text()
    assert len(ElementTree.parse(site / "feed.xml").findall("{http://www.w3.org/2005/Atom}entry")) == 2
    before = {p: p.read_bytes() for p in site.rglob("*") if p.is_file()}
    assert not any(kit.built for kit in shelf([kits], site, jobs=1).kits)
    assert before == {p: p.read_bytes() for p in site.rglob("*") if p.is_file()}
    make(kits / "two", "Two", a=30)
    assert [Path(k.folder).name for k in shelf([kits], site, jobs=1).kits if k.built] == ["two"]
    shutil.rmtree(kits / "one")
    shelf([kits], site, jobs=1)
    assert not (site / "kits" / "one").exists() and (site / "kits" / "two" / "index.html").exists()


def test_a_broken_kit_keeps_the_pages_it_had(tmp_path: Path) -> None:
    make(tmp_path / "kits" / "one", "One")
    shelf([tmp_path / "kits"], tmp_path / "site", jobs=1)
    (tmp_path / "kits" / "one" / "kit.toml").write_text("<<<<<<< ours\n")
    (kit,) = shelf([tmp_path / "kits"], tmp_path / "site", jobs=1).kits
    assert kit.problem and (tmp_path / "site" / "kits" / "one" / "index.html").is_file()
    assert "One" in (tmp_path / "site" / "index.html").read_text()


def test_a_range_that_changed_marks_the_parts_it_touches(tmp_path: Path) -> None:
    make(tmp_path / "kits" / "one", "One")
    old, new = tmp_path / "old.csv", tmp_path / "new.csv"
    old.write_text(PAINTS)
    new.write_text(PAINTS.replace("R1,Signal,40,44,26\n", ""))
    built = shelf([tmp_path / "kits"], tmp_path / "site", jobs=1, lists=(old, new))
    (one,) = built.affected
    assert (one.paint, one.what, one.now) == ("R1", "gone", "R2 Brick") and one.difference > 1
    assert "R1 is gone; use R2 Brick" in (tmp_path / "site" / "index.html").read_text()


def test_a_cluster_answers_as_this_machine_does(tmp_path: Path) -> None:
    """On Dask's LocalCluster with two workers, byte for byte."""
    distributed = pytest.importorskip("distributed")
    from palette.jobs import workers

    kits = tmp_path / "kits"
    for i in range(3):
        make(kits / f"k{i}", f"Kit {i}", a=20 + i)
    shelf([kits], tmp_path / "here", jobs=2)
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        workers("dask", cluster.scheduler_address),
    ):
        shelf([kits], tmp_path / "there")
        schemes = {one.kit: one.answer for one in ask(scheme_of, sorted(kits.iterdir()))}

    def pages(site: Path) -> dict[str, bytes]:
        return {str(p.relative_to(site)): p.read_bytes() for p in site.rglob("*") if p.is_file()}

    assert pages(tmp_path / "here") == pages(tmp_path / "there")
    assert schemes == {str(kit): scheme_of(kit) for kit in sorted(kits.iterdir())}
