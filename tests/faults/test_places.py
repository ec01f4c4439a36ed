"""Nothing is written where nobody asked: through links out of a folder, or over what is no ordinary file."""

from __future__ import annotations

import os
import socket
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from click.testing import CliRunner

from palette.commands import group
from palette.errors import InputError
from palette.files import (
    change_together,
    check_writable,
    inside,
    make_folder,
    replace_together,
    replace_whole,
)
from palette.kit.write import Draft
from tests.faults.faulty import held

KIT = 'schema = 1\n[kit]\ntitle = "Car"\n\n[[part]]\nid = "waist"\n'
LIST = "id,name,hex\nA,one,#102030\n"
posix = pytest.mark.skipif(os.name == "nt", reason="Windows has no such files")


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """A file of the user's that no kit may touch."""
    path = tmp_path / "mine.txt"
    path.write_text("mine")
    return path


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    folder = tmp_path / "kit"
    folder.mkdir()
    (folder / "kit.toml").write_text(KIT)
    return folder


def refused(arguments: list[str | Path]) -> str:
    done = CliRunner().invoke(group, [str(word) for word in arguments])
    assert (done.exit_code, done.stdout) == (1, "") and done.stderr.count("\n") == 1, done.output
    return done.stderr


@pytest.mark.parametrize("name", ["guide.pdf", "guide.html", "scheme.json"])
@pytest.mark.parametrize("named", [False, True])
def test_a_guide_does_not_follow_a_link_out_of_its_folder(
    kit: Path, mine: Path, name: str, named: bool
) -> None:
    (kit / "out").mkdir()
    (kit / "out" / name).symlink_to(mine)
    said = refused(["guide", kit, *(["--out", kit / "out"] if named else [])])
    assert said.startswith(f"error: {kit / 'out' / name}: leads out of ")
    assert mine.read_text() == "mine" and [path.name for path in (kit / "out").iterdir()] == [name]


def test_a_link_to_a_place_that_is_not_there_yet_is_refused_too(kit: Path, tmp_path: Path) -> None:
    (kit / "out").mkdir()
    (kit / "out/guide.html").symlink_to(tmp_path / "new.txt")
    assert "leads out of" in refused(["guide", kit])
    assert not (tmp_path / "new.txt").exists()


def test_the_kits_own_out_may_be_no_link_out_of_it_unless_named(kit: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (kit / "out").symlink_to(tmp_path / "elsewhere")
    assert "leads out of" in refused(["guide", kit])
    assert not list((tmp_path / "elsewhere").iterdir())
    done = CliRunner().invoke(group, ["guide", str(kit), "--out", str(kit / "out")])
    assert done.exit_code == 0 and (tmp_path / "elsewhere/guide.pdf").exists()


def test_a_link_within_the_folder_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "real/a").write_text("old")
    (tmp_path / "a").symlink_to("real/a")
    replace_whole(tmp_path / "a", "new", tmp_path)
    assert (tmp_path / "a").is_symlink() and (tmp_path / "real/a").read_text() == "new"


@pytest.mark.parametrize("what", ["file", "folder"])
def test_what_is_written_into_a_kit_stays_in_it(kit: Path, tmp_path: Path, what: str) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "a").write_text("mine")
    if what == "file":
        (kit / "references").mkdir()
        (kit / "references/a").symlink_to(outside / "a")
    else:
        (kit / "references").symlink_to(outside)
    before = held(outside)
    for write in (
        lambda: replace_whole(kit / "references/a", "x", kit),
        lambda: check_writable(kit / "references/a", kit),
        lambda: replace_together({kit / "b": "x", kit / "references/a": "x"}, kit),
        lambda: change_together([], kit, [kit / "references/a/b"]),
        lambda: make_folder(kit / "references/a/b", kit),
        lambda: inside(kit / "references/a", kit),
    ):
        with pytest.raises(InputError, match="leads out of"):
            write()
    assert held(outside) == before and not (kit / "b").exists()


def test_a_record_that_is_a_link_out_of_its_folder_is_not_written(kit: Path, tmp_path: Path) -> None:
    (kit / "kit.toml").rename(tmp_path / "other.toml")
    (kit / "kit.toml").symlink_to(tmp_path / "other.toml")
    draft = Draft(kit)
    draft.set(("kit", "title"), "Another")
    with pytest.raises(InputError, match="leads out of"):
        draft.save()
    assert (tmp_path / "other.toml").read_text() == KIT


def test_a_list_that_the_user_named_may_be_a_link(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept/list.csv").write_text(LIST)
    (tmp_path / "list.csv").symlink_to("kept/list.csv")
    done = CliRunner().invoke(group, ["swatches", "mark", str(tmp_path / "list.csv"), "A", "--owned"])
    assert done.exit_code == 0 and (tmp_path / "list.csv").is_symlink()
    assert (tmp_path / "kept/list.csv").read_text() == "id,name,hex,owned\nA,one,#102030,yes\n"


@posix
def test_a_pipe_is_written_to(tmp_path: Path) -> None:
    # fails when a pipe is renamed over: its reader then waits for ever
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "list.csv").write_text(LIST)
    got: list[bytes] = []
    reader = threading.Thread(target=lambda: got.append((tmp_path / "pipe").read_bytes()))
    reader.start()
    words = ["swatches", "merge", str(tmp_path / "list.csv"), "--out", str(tmp_path / "pipe")]
    assert CliRunner().invoke(group, words).exit_code == 0
    reader.join(120)
    assert got == [LIST.encode()] and stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)


@posix
def test_a_pipe_that_nobody_reads_is_not_waited_for_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from palette.files import places

    monkeypatch.setattr(places, "_READER", 0.1)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(InputError, match="nobody reads from this pipe"):
        replace_whole(tmp_path / "pipe", "x")


@posix
def test_a_socket_is_written_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # a socket's path must be short
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("s")
        listening.listen()
        got: list[bytes] = []

        def listen() -> None:
            with listening.accept()[0] as to:
                got.append(to.recv(100))

        reader = threading.Thread(target=listen)
        reader.start()
        replace_whole(Path("s"), "hello")
        reader.join(120)
    assert got == [b"hello"] and stat.S_ISSOCK(Path("s").stat().st_mode)


@posix
def test_a_device_stays_a_device(tmp_path: Path) -> None:
    # run as root, a rename would put a file in its place: a device of our own stands for /dev/null
    device = tmp_path / "null"
    try:
        os.mknod(device, stat.S_IFCHR | 0o666, os.makedev(1, 3))
    except PermissionError:
        pytest.skip("only root makes devices")
    try:
        device.write_bytes(b"x")
    except OSError:
        pytest.skip("devices are not for use here")
    (tmp_path / "list.csv").write_text(LIST)
    for words in (["swatches", "merge", tmp_path / "list.csv"], ["swatches", "card"]):
        if words[-1] == "card":
            (tmp_path / "card.pdf").symlink_to(device)
            words = [*words, "--out", tmp_path / "card.pdf"]
        else:
            words = [*words, "--out", device]
        assert CliRunner().invoke(group, [str(word) for word in words]).exit_code == 0
        assert stat.S_ISCHR(device.stat().st_mode)


@posix
@pytest.mark.parametrize("name", ["/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"])
def test_standard_output_may_be_named(tmp_path: Path, name: str) -> None:
    if not os.path.exists(name):
        pytest.skip("not on this system")
    (tmp_path / "list.csv").write_text(LIST)
    words = [sys.executable, "-m", "palette", "swatches", "merge", str(tmp_path / "list.csv"), "--out", name]
    with open(tmp_path / "got", "w+") as got:
        assert subprocess.run(words, stdout=got).returncode == 0
    assert (tmp_path / "got").read_text() == LIST + f"{name}: 1 paint\n"
    assert subprocess.run(words, stdout=subprocess.PIPE, text=True).stdout == LIST + f"{name}: 1 paint\n"


@posix
def test_a_full_device_is_said_in_one_line(tmp_path: Path) -> None:
    if not os.path.exists("/dev/full"):
        pytest.skip("not on this system")
    with pytest.raises(InputError, match="/dev/full: cannot be written: no space left on device"):
        replace_whole(Path("/dev/full"), "x" * 100_000)
    assert stat.S_ISCHR(os.stat("/dev/full").st_mode)
