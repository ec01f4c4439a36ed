"""`palette add`: pictures into a kit, all of them or none."""

from __future__ import annotations

import json
import tomllib

import pytest
from click.testing import CliRunner
from PIL import Image

from palette.commands import group
from palette.kit.start import start


@pytest.fixture
def kit(tmp_path):
    start(tmp_path / "car")
    return tmp_path / "car"


def run(*args):
    return CliRunner().invoke(group, ["add", *map(str, args)])


def entries(kit):
    return tomllib.loads((kit / "kit.toml").read_text()).get("reference", [])


def shot(path, colour=(150, 60, 40), **more):
    image = Image.new("RGB", (64, 48), colour)
    image.paste((40, 80, 170), (0, 0, 20, 48))  # one colour alone might be a toned grey
    image.save(path, **more)
    return path


def test_pictures_become_entries_with_what_their_files_say(kit, tmp_path):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "1998:06:01 10:00:00"  # DateTimeOriginal, Exif 2.3
    dated = shot(tmp_path / "Holiday 3.jpg", exif=exif)
    grey = tmp_path / "works.png"
    Image.new("L", (80, 60), 90).save(grey)
    answer = run(kit, dated, grey, "--json")
    assert answer.exit_code == 0, answer.output
    said = json.loads(answer.stdout)
    assert said["schema"] == 1
    assert [(r["id"], r["file"]) for r in said["references"]] == [
        ("holiday-3", "references/Holiday 3.jpg"),
        ("works", "references/works.png"),
    ]
    first, second = entries(kit)
    assert first["year"] == 1998 and "tone" not in first
    assert second["tone"] == "grey" and "year" not in second
    assert (kit / "references" / "Holiday 3.jpg").read_bytes() == dated.read_bytes()


def test_no_picture_takes_the_place_of_another(kit, tmp_path):
    assert run(kit, shot(tmp_path / "a.png")).exit_code == 0
    (tmp_path / "other").mkdir()
    assert run(kit, shot(tmp_path / "other" / "a.png", (10, 20, 30))).exit_code == 0
    assert [e["file"] for e in entries(kit)] == ["references/a.png", "references/a-2.png"]
    assert [e["id"] for e in entries(kit)] == ["a", "a-2"]
    assert run(kit, tmp_path / "a.png").exit_code == 0  # the same picture is not copied again
    assert entries(kit)[2]["file"] == "references/a.png"


def test_one_that_is_none_keeps_all_out(kit, tmp_path):
    before = (kit / "kit.toml").read_bytes()
    (tmp_path / "notes.jpg").write_text("no picture")
    answer = run(kit, shot(tmp_path / "a.png"), tmp_path / "notes.jpg", tmp_path / "gone.png")
    lines = answer.stderr.splitlines()
    assert answer.exit_code == 1 and len(lines) == 2 and all(line.startswith("error: ") for line in lines)
    assert (kit / "kit.toml").read_bytes() == before and not list((kit / "references").iterdir())


def test_a_folder_stands_for_its_pictures(kit, tmp_path):
    scans = tmp_path / "scans"
    scans.mkdir()
    assert run(kit, scans).exit_code == 1
    shot(scans / "b.png")
    shot(scans / "a.tif")
    (scans / "readme.txt").write_text("x")
    assert run(kit, scans).exit_code == 0
    assert [e["id"] for e in entries(kit)] == ["a", "b"]
