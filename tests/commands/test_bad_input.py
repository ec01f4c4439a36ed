"""Every command against bad input: one line a problem with its file, exit 1, nothing half written.

A row of these tests fails when a command lets an exception through, says nothing or the wrong file,
answers on standard output all the same, or leaves a file behind or changed.
"""

from __future__ import annotations

import os
import signal
import struct
import subprocess
import sys
import time
import zlib
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from palette.commands import group

KIT = """schema = 1

[kit]
title = "Small van"
swatches = ["list.csv"]

[[part]]
id = "body"

[[part]]
id = "roof"

[[reference]]
id = "slide"
file = "slide.jpg"

  [[reference.anchor]]
  rect = [4, 4, 20, 20]
  colour = { neutral = true }

  [[reference.sample]]
  part = "body"
  rect = [30, 30, 20, 20]

[[reference]]
id = "grey"
file = "grey.png"
tone = "grey"

  [[reference.anchor]]
  rect = [4, 4, 20, 20]
  colour = { munsell = "N 9/" }

  [[reference.sample]]
  part = "roof"
  rect = [30, 30, 20, 20]

[[reference]]
id = "print"
file = "slide.jpg"
subject = "painted"

  [[reference.sample]]
  part = "body"
  rect = [30, 30, 20, 20]
"""
LIST = "id,name,hex\nA,One,#102030\nB,Two,#804020\nC,Three,#d0d0c8\n"

# the commands that read a whole kit, as {K}; those that read lists, as {L}; those that read a picture, as {P}
ON_KIT = {
    "scheme": ["scheme", "{K}"],
    "grey": ["grey", "{K}"],
    "guide": ["guide", "{K}", "--out", "{O}"],
    "check": ["check", "{K}"],
    "look": ["look", "{K}", "slide", "--out", "{O}.png"],
    "references": ["references", "{K}"],
    "basket": ["basket", "{K}"],
}
ON_LIST = {
    "swatches check": ["swatches", "check", "{L}"],
    "swatches merge": ["swatches", "merge", "{L}", "--out", "{O}"],
    "swatches mark": ["swatches", "mark", "{L}", "A", "--owned"],
    "swatches changes": ["swatches", "changes", "{L}", "{L}"],
    "swatches replacements": ["swatches", "replacements", "{L}", "--for", "A"],
    "match": ["match", "--hex", "#405060", "--swatches", "{L}"],
    "mix": ["mix", "--hex", "#405060", "--swatches", "{L}"],
    "sample": ["sample", "{P}", "--swatches", "{L}"],
    "scheme": ["scheme", "{K}"],
    "guide": ["guide", "{K}", "--out", "{O}"],
    "grey": ["grey", "{K}"],
}
ON_PICTURE = {
    "sample": ["sample", "{P}"],
    "scheme": ["scheme", "{K}"],
    "guide": ["guide", "{K}", "--out", "{O}"],
    "look": ["look", "{K}", "slide", "--out", "{O}.png"],
    "references": ["references", "{K}"],
    "check": ["check", "{K}"],
}


def there(commands: dict[str, list[str]]) -> list[str]:
    return [name for name in commands if find_spec(f"palette.commands.{name.split()[0]}")]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "kit.toml").write_text(KIT)
    (tmp_path / "list.csv").write_text(LIST)
    picture = np.full((60, 80, 3), 180, np.uint8)
    picture[28:, 28:] = [90, 60, 50]
    picture += np.random.default_rng(1).integers(0, 9, picture.shape, dtype=np.uint8)
    Image.fromarray(picture).save(tmp_path / "slide.jpg", quality=95)
    Image.fromarray(picture[..., 1]).save(tmp_path / "grey.png")
    return tmp_path


def run(folder: Path, arguments: list[str], out: Path | None = None) -> Result:
    names = {
        "{K}": folder / "kit.toml",
        "{L}": folder / "list.csv",
        "{P}": folder / "slide.jpg",
        "{O}": out or folder / "written",
    }
    filled = []
    for part in arguments:
        for key, path in names.items():
            part = part.replace(key, str(path))
        filled.append(part)
    return CliRunner().invoke(group, filled)


def state(folder: Path) -> dict[str, bytes | None]:
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
        if "__pycache__" not in path.parts
    }


def refused(done: Result, *files: str) -> list[str]:
    """The error lines of a run that must have been refused, each naming one of `files`."""
    said = f"{done.stdout}\n{done.stderr}"
    assert done.exception is None or isinstance(done.exception, SystemExit), repr(done.exception)
    assert done.exit_code == 1, said
    assert "Traceback" not in said and "a fault in palette" not in said, said
    errors = [line for line in done.stderr.splitlines() if line.startswith("error: ")]
    assert errors, said
    assert all(any(name in line for name in files) for line in errors), errors
    assert all("; " in line for line in errors), errors  # what to do about it
    return errors


def png_bomb() -> bytes:
    """A PNG that claims 20,000 × 20,000 pixels and holds them, in some hundred kilobytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    packer = zlib.compressobj(1)
    row = bytes(1 + 20_000 * 3)
    data = b"".join(packer.compress(row) for _ in range(300)) + packer.flush()
    header = struct.pack(">IIBBBBB", 20_000, 20_000, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def written(name: str, make: Callable[[bytes], bytes | None]) -> Callable[[Path], None]:
    """A folder's file replaced by what `make` makes of it; taken away where that is None."""

    def change(folder: Path) -> None:
        raw = make((folder / name).read_bytes())
        (folder / name).unlink()
        if raw is not None:
            (folder / name).write_bytes(raw)

    return change


def turned_into_a_folder(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        (folder / name).unlink()
        (folder / name).mkdir()

    return change


def edited(before: bytes, after: bytes) -> Callable[[Path], None]:
    return written("kit.toml", lambda raw: raw.replace(before, after))


KITS: dict[str, tuple[Callable[[Path], None], int | None]] = {
    "missing": (written("kit.toml", lambda raw: None), None),
    "empty": (written("kit.toml", lambda raw: b""), None),
    "a folder": (turned_into_a_folder("kit.toml"), None),
    "UTF-16": (written("kit.toml", lambda raw: raw.decode().encode("utf-16")), 1),
    "a picture": (written("kit.toml", lambda raw: b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\xff\xfe"), 3),
    "no quotes": (edited(b'"Small van"', b"Small van"), 4),
    "a misspelt key": (edited(b'tone = "grey"', b'tne = "grey"'), 28),
    "two parts of one id": (edited(b'id = "roof"', b'id = "body"'), 10),
    "a region without area": (edited(b"[4, 4, 20, 20]", b"[4, 4, 0, 20]"), 18),
    "a part that is none": (edited(b'part = "body"', b'part = "bod"'), 22),
    "a missing picture": (written("slide.jpg", lambda raw: None), 15),
    "a missing list": (written("list.csv", lambda raw: None), 5),
}


@pytest.mark.parametrize("case", KITS)
@pytest.mark.parametrize("name", there(ON_KIT))
def test_a_bad_kit(folder: Path, name: str, case: str) -> None:
    change, line = KITS[case]
    change(folder)
    before = state(folder)
    errors = refused(run(folder, ON_KIT[name]), "kit.toml")
    if line is not None:
        assert any(f"kit.toml:{line}: " in error for error in errors), errors
    assert state(folder) == before


LISTS: dict[str, tuple[Callable[[Path], None], int | None]] = {
    "empty": (written("list.csv", lambda raw: b""), None),
    "UTF-16": (written("list.csv", lambda raw: raw.decode().encode("utf-16")), 1),
    "no header": (written("list.csv", lambda raw: raw.partition(b"\n")[2]), 1),
    "a picture": (written("list.csv", lambda raw: b"\xff\xd8\xff\xe0\0\x10JFIF\0\xfe"), 1),
    "a bad number": (written("list.csv", lambda raw: raw.replace(b"#804020", b"#80402")), 3),
    "one id twice": (written("list.csv", lambda raw: raw.replace(b"B,", b"A,")), 3),
    "an open quote": (written("list.csv", lambda raw: raw.replace(b"Two", b'"Two')), 3),
    "only a header": (written("list.csv", lambda raw: b"id,name,hex\n"), None),
}
FORGIVEN = {("swatches mark", "a bad number"), ("swatches mark", "one id twice")}  # a mark needs ids only


@pytest.mark.parametrize("case", LISTS)
@pytest.mark.parametrize("name", there(ON_LIST))
def test_a_bad_list(folder: Path, name: str, case: str) -> None:
    if (name, case) in FORGIVEN:
        return
    change, line = LISTS[case]
    change(folder)
    before = state(folder)
    errors = refused(run(folder, ON_LIST[name]), "list.csv")
    if line is not None:
        assert any(f"list.csv:{line}: " in error for error in errors), errors
    assert state(folder) == before


@pytest.mark.parametrize("name", [name for name in there(ON_LIST) if "{L}" in ON_LIST[name]])
@pytest.mark.parametrize("case", ["missing", "a folder"])
def test_no_list(folder: Path, name: str, case: str) -> None:
    (folder / "list.csv").unlink()
    if case == "a folder":
        (folder / "list.csv").mkdir()
    before = state(folder)
    refused(run(folder, ON_LIST[name]), "list.csv")
    assert state(folder) == before


@pytest.mark.parametrize("name", there({n: ON_KIT[n] for n in ("scheme", "references", "look")}))
def test_a_key_of_the_makers_own_is_warned_of(folder: Path, name: str) -> None:
    (folder / "kit.toml").write_text(KIT.replace("[kit]\n", '[kit]\nbox = "grey"\n'))
    done = run(folder, ON_KIT[name])
    assert done.exit_code == 0
    assert done.stderr.startswith(f"warning: {folder / 'kit.toml'}:4: [kit] has a key 'box'")


def test_an_unknown_swatch(folder: Path) -> None:
    text = KIT.replace("{ neutral = true }", '{ swatch = "Z" }')
    (folder / "kit.toml").write_text(text)
    for name in there({n: a for n, a in ON_KIT.items() if n in ("scheme", "grey", "guide", "check", "look")}):
        (error,) = refused(run(folder, ON_KIT[name]), "kit.toml:19: ")
        assert "'Z'" in error
    assert not (folder / "written").exists()


PICTURES = {
    "empty": lambda raw: b"",
    "truncated": lambda raw: raw[: len(raw) // 2],
    "text": lambda raw: b"this is a letter, not a picture\n" * 20,
    "a bomb": lambda raw: png_bomb(),
}


@pytest.mark.parametrize("case", PICTURES)
@pytest.mark.parametrize("name", there(ON_PICTURE))
def test_a_bad_picture(folder: Path, name: str, case: str) -> None:
    written("slide.jpg", PICTURES[case])(folder)
    before = state(folder)
    refused(run(folder, ON_PICTURE[name]), "slide.jpg", "kit.toml:15")
    assert state(folder) == before


@pytest.mark.parametrize("name", there({"sample": ON_PICTURE["sample"]}))
@pytest.mark.parametrize("case", ["missing", "a folder"])
def test_no_picture(folder: Path, name: str, case: str) -> None:
    (folder / "slide.jpg").unlink()
    if case == "a folder":
        (folder / "slide.jpg").mkdir()
    refused(run(folder, ON_PICTURE[name]), "slide.jpg")


@pytest.mark.parametrize("name", there({n: ON_KIT[n] for n in ("scheme", "guide", "look", "check")}))
@pytest.mark.parametrize(
    ("what", "line"),
    [("rect = [4, 4, 20, 20]", 18), ("rect = [30, 30, 20, 20]", 23)],
    ids=["anchor", "sample"],
)
def test_a_region_outside_the_picture(folder: Path, name: str, what: str, line: int) -> None:
    (folder / "kit.toml").write_text(KIT.replace(what, "rect = [900, 4, 20, 20]"))
    errors = refused(run(folder, ON_KIT[name]), "kit.toml:")
    assert any(f"kit.toml:{at}: " in error for error in errors for at in range(line - 2, line + 2)), errors
    assert not (folder / "written").exists()


WRITING = {
    "guide": ["guide", "{K}", "--out", "{O}"],
    "look": ["look", "{K}", "slide", "--out", "{O}/look.png"],
    "new": ["new", "{O}"],
    "demo": ["demo", "{O}"],
    "swatches merge": ["swatches", "merge", "{L}", "--out", "{O}/all.csv"],
}


@pytest.mark.parametrize("name", there(WRITING))
@pytest.mark.parametrize("place", ["under a file", "where nothing may be made"])
def test_a_place_that_cannot_be_written(folder: Path, name: str, place: str) -> None:
    out = folder / "list.csv" / "out" if place == "under a file" else Path("/proc/palette")
    if place != "under a file" and not Path("/proc/self").exists():
        pytest.skip("this system has no /proc")
    before = state(folder)
    refused(run(folder, WRITING[name], out), str(out))
    assert state(folder) == before


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 kB with half a kilobyte left."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k,nr_inodes=40", "tmpfs", str(disk)], capture_output=True
    )
    if mounted.returncode != 0:
        pytest.skip("mounting a small disk takes a system that lets us")
    try:
        with open(disk / "filler", "wb", buffering=0) as filler, pytest.raises(OSError):
            while True:
                filler.write(bytes(512))
        yield disk
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.parametrize("name", there(WRITING))
def test_a_full_disk(folder: Path, small_disk: Path, name: str) -> None:
    done = run(folder, WRITING[name], small_disk if name != "new" else small_disk / "kit")
    refused(done, str(small_disk))
    left = [path for path in small_disk.rglob("*") if path.is_file() and path.name != "filler"]
    assert left == [], "a file was begun and left"


def test_a_list_on_a_full_disk_stays_as_it_is(folder: Path, small_disk: Path) -> None:
    (small_disk / "filler").unlink()
    (small_disk / "list.csv").write_text(LIST + "".join(f"X{i},x,#102030\n" for i in range(2500)))
    before = (small_disk / "list.csv").read_bytes()
    done = CliRunner().invoke(group, ["swatches", "mark", str(small_disk / "list.csv"), "A", "--owned"])
    refused(done, "list.csv")
    assert (small_disk / "list.csv").read_bytes() == before and len(list(small_disk.iterdir())) == 1


def command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "palette", *map(str, arguments)]


def test_two_builds_at_once(folder: Path) -> None:
    kit, out = folder / "kit.toml", folder / "out"
    builds = [subprocess.Popen(command("guide", kit), stderr=subprocess.PIPE, text=True) for _ in range(2)]
    for build in builds:
        _, said = build.communicate(timeout=300)
        assert build.returncode == 0, said
    assert sorted(path.name for path in out.iterdir()) == sorted(
        ["guide.pdf", "dossier.pdf", "guide.html", "scheme.json"]
    )
    assert (out / "guide.pdf").read_bytes().rstrip().endswith(b"%%EOF")
    assert (out / "guide.html").read_text("utf-8").rstrip().endswith("</html>")


def test_a_reader_that_has_gone_is_no_fault(folder: Path) -> None:
    many = "id,name,hex,finish\n" + "".join(f"X{i},x,#102030,shiny\n" for i in range(5000))
    (folder / "list.csv").write_text(many)
    with subprocess.Popen(
        command("swatches", "check", folder / "list.csv"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as check:
        assert check.stdout is not None and check.stderr is not None
        check.stdout.readline()
        check.stdout.close()
        assert check.stderr.read() == ""


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no /dev/full")
def test_an_answer_that_cannot_be_written(folder: Path) -> None:
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            command("swatches", "check", folder / "list.csv"), stdout=full, stderr=subprocess.PIPE, text=True
        )
    assert done.returncode == 1 and done.stderr.startswith("error: ") and done.stderr.count("\n") == 1


def test_stopping_it_says_so_and_leaves_nothing(folder: Path) -> None:
    os.mkfifo(folder / "pipe.csv")  # reading it waits until someone writes
    with subprocess.Popen(
        command("swatches", "merge", folder / "pipe.csv", "--out", folder / "all.csv"),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a background job ignores it
    ) as waiting:  # fmt: skip
        with open(folder / "pipe.csv", "w"):  # it has come as far as reading
            time.sleep(0.1)
            waiting.send_signal(signal.SIGINT)
            assert waiting.wait(120) == 130
        assert waiting.stderr is not None and waiting.stderr.read() == "stopped\n"
    assert not (folder / "all.csv").exists()


@pytest.mark.parametrize(
    "words", ["schem", "scheme", "look a b c", "scheme --colour", "guide kit.toml --paper a5"]
)
def test_a_wrong_command_line_is_status_2(words: str) -> None:
    done = CliRunner().invoke(group, words.split())
    assert done.exit_code == 2 and done.stdout == "" and "Error: " in done.stderr


def test_a_fault_of_our_own_is_said_in_one_line(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    import palette.paints.checking

    def broken(paths: object) -> None:
        raise RuntimeError("the cat\nsat on it")

    monkeypatch.setattr(palette.paints.checking, "check", broken)
    done = run(folder, ["swatches", "check", "{L}"])
    assert done.exit_code == 1 and done.stdout == ""
    assert done.stderr.startswith("error: a fault in palette itself (RuntimeError: the cat sat on it)")
    assert done.stderr.count("\n") == 1
