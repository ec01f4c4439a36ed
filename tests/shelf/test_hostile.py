"""Kits from strangers on a shelf: one line where one is wrong, and nothing of the user's is published."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

import pytest

from palette.errors import InputError
from palette.guide import build
from palette.kit.model import Kit
from palette.shelf.bundle import release
from palette.shelf.site import shelf
from tests.faults.budget import cpu_seconds
from tests.faults.faulty import held
from tests.shelf.test_shelf import make

SPARSE = 30 << 30
REFERENCE = (
    '[[reference]]\nid = "a"\nfile = "{}"\n[[reference.sample]]\npart = "waist"\nrect = [0, 0, 5, 5]\n'
)


def sparse(path: Path) -> None:
    """A file of 30 gigabytes that takes no room."""
    with path.open("wb") as stream:
        stream.truncate(SPARSE)


def add(kit: Path, text: str) -> None:
    (kit / "kit.toml").write_text((kit / "kit.toml").read_text() + text)


@pytest.fixture
def kits(tmp_path: Path) -> Path:
    kits = tmp_path / "kits"
    make(kits / "good", "Good")
    picture = make(kits / "huge-picture")
    add(picture, REFERENCE.format("a.jpg"))
    sparse(picture / "a.jpg")
    sparse(make(kits / "huge-list") / "list.csv")
    sparse(make(kits / "huge-words") / "README.md")
    (kits / "huge-kit").mkdir()
    sparse(kits / "huge-kit" / "kit.toml")
    mesh = make(kits / "huge-mesh")
    add(mesh, 'mesh = "a.stl"\n')
    sparse(mesh / "a.stl")
    return kits


def test_files_of_thirty_gigabytes_are_one_line_each_and_the_others_are_built(
    kits: Path, tmp_path: Path
) -> None:
    with cpu_seconds(20):
        built = shelf([kits], tmp_path / "site", jobs=1)
    told = {Path(one.folder).name: one.problem for one in built.kits}
    assert told.pop("good") == ""
    assert set(told) == {"huge-picture", "huge-list", "huge-words", "huge-kit", "huge-mesh"}
    for name, problem in told.items():
        assert problem.startswith("error: ") and "\n" not in problem and "larger than" in problem, (
            name,
            problem,
        )


def test_a_scheme_and_a_guide_do_not_read_thirty_gigabytes(kits: Path, tmp_path: Path) -> None:
    for name in ("huge-picture", "huge-mesh"):
        with cpu_seconds(10), pytest.raises(InputError, match="larger than 2 GB"):
            build(Kit.read(kits / name), tmp_path / "out")


def test_links_out_of_a_kit_publish_nothing(tmp_path: Path) -> None:
    # fails when a stranger's kit carries a file of the user's into a bundle or onto the web
    secret = tmp_path / "secret.txt"
    secret.write_text("my diary")
    kit = make(tmp_path / "kits" / "one")
    for name in ("README.md", "LICENCE.txt"):
        (kit / name).symlink_to(secret)
    release(Kit.read(kit), tmp_path / "one.zip")
    with zipfile.ZipFile(tmp_path / "one.zip") as inside:
        assert not any(b"my diary" in inside.read(name) for name in inside.namelist())
    shelf([tmp_path / "kits"], tmp_path / "site", jobs=1)
    assert not any(b"my diary" in (raw or b"") for raw in held(tmp_path / "site").values())
    add(kit, '[[kit.files]]\nfile = "mesh.stl"\n')
    (kit / "mesh.stl").symlink_to(secret)
    with pytest.raises(InputError, match="outside the kit's folder"):
        release(Kit.read(kit), tmp_path / "two.zip")


def test_a_link_in_the_site_is_not_written_through(tmp_path: Path) -> None:
    make(tmp_path / "kits" / "one")
    theirs = tmp_path / "theirs"
    theirs.mkdir()
    (tmp_path / "site" / "kits").mkdir(parents=True)
    (tmp_path / "site" / "kits" / "one").symlink_to(theirs)
    with pytest.raises(InputError):
        shelf([tmp_path / "kits"], tmp_path / "site", jobs=1)
    assert not list(theirs.iterdir())


def test_folders_that_lead_in_a_circle_or_deep_down_end(tmp_path: Path) -> None:
    kits = tmp_path / "kits"
    make(kits / "one", "One")
    (kits / "round").symlink_to(kits)
    deep = kits
    for _ in range(200):
        deep = deep / "d"
    os.makedirs(deep)
    built = shelf([kits], tmp_path / "site", jobs=1)
    assert [Path(one.folder).name for one in built.kits] == ["one"]


def test_names_with_scripts_are_text_on_every_page(tmp_path: Path) -> None:
    bad = "</script><script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    kit = make(tmp_path / "kits" / "<img src=x>", bad)
    text = (kit / "kit.toml").read_text().replace('id = "waist"', f"id = \"waist\"\nname = '''{bad}'''")
    (kit / "kit.toml").write_text(text)
    (kit / "README.md").write_text(f"{bad}\n\n[here](javascript:alert(1))\n")
    shelf([tmp_path / "kits"], tmp_path / "site", jobs=1)
    for name, raw in held(tmp_path / "site").items():
        if name.endswith((".html", ".js", ".xml")):
            text = (raw or b"").decode()
            assert "<script>alert" not in text and "<img src=x" not in text, name
            assert 'href="javascript:' not in text, name
