"""Files are replaced whole or not at all, and texts are UTF-8 or named for what they are.

Each test fails when a file is left half written, loses its permissions, or is read as what it is not.
"""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path

import pytest

from palette.errors import InputError
from palette.files import (
    LARGEST_TEXT,
    ChangedMeanwhile,
    again_if_changed,
    create_whole,
    make_folder,
    read_text,
    replace_together,
    replace_unchanged,
    replace_whole,
)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_file_is_replaced_with_its_permissions(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_text("old")
    path.chmod(0o640)
    replace_whole(path, "näw\r\n")
    assert path.read_bytes() == "näw\r\n".encode() and path.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == ["a"]


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        replace_whole(tmp_path / "a", b"x")
    finally:
        os.umask(before)
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept/a").write_text("old")
    (tmp_path / "a").symlink_to("kept/a")
    replace_whole(tmp_path / "a", "new")
    assert (tmp_path / "a").is_symlink() and (tmp_path / "kept/a").read_text() == "new"


def test_several_files_change_together_or_not_at_all(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("old")
    (tmp_path / "c").mkdir()
    with pytest.raises(InputError, match=r"/c: cannot be written: it is a folder"):
        replace_together({tmp_path / "a": "new", tmp_path / "b": "new", tmp_path / "c": "new"})
    assert (tmp_path / "a").read_text() == "old" and names(tmp_path) == ["a", "c"]


def test_a_failure_while_writing_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_text("old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="no space left on device"):
        replace_whole(tmp_path / "a", "new")
    assert (tmp_path / "a").read_text() == "old" and names(tmp_path) == ["a"]


def test_what_must_be_new_never_replaces(tmp_path: Path) -> None:
    create_whole(tmp_path / "a", "first")
    with pytest.raises(InputError, match="exists"):
        create_whole(tmp_path / "a", "second")
    assert (tmp_path / "a").read_text() == "first" and names(tmp_path) == ["a"]


def test_a_file_changed_meanwhile_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("mine")
    replace_unchanged(tmp_path / "a", b"mine", b"mine, too")
    with pytest.raises(InputError, match="changed by another"):
        replace_unchanged(tmp_path / "a", b"mine", b"again")
    assert (tmp_path / "a").read_text() == "mine, too"


def test_changes_made_at_once_all_take_effect_and_endless_ones_end(tmp_path: Path) -> None:
    # fails when one of two that read the same file drops the other's change, or gives up at once
    path = tmp_path / "a"
    path.write_bytes(b"")

    def add(letter: bytes) -> None:
        before = path.read_bytes()
        time.sleep(0.002)
        replace_unchanged(path, before, before + letter)

    def writer(letter: bytes) -> None:
        for _ in range(5):
            again_if_changed(lambda: add(letter), 60)

    threads = [threading.Thread(target=writer, args=(letter,)) for letter in (b"a", b"b", b"c")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(path.read_bytes()) == sorted(5 * b"abc")
    with pytest.raises(ChangedMeanwhile, match="changed by another"):
        again_if_changed(lambda: replace_unchanged(path, b"never so", b"x"), 0.05)


def test_a_folder_where_a_file_is(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("x")
    for path in (tmp_path / "a", tmp_path / "a" / "b"):
        with pytest.raises(InputError, match="folder cannot be made"):
            make_folder(path)


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "is empty"),
        (" \n".encode("utf-8-sig"), "is empty"),
        ("a,ä".encode("utf-16"), ":1: is written in UTF-16"),
        ("a,b".encode("utf-16-be"), ":1: is written in UTF-16"),
        ("a,b".encode("utf-32"), ":1: is written in UTF-32"),
        (b"a\nb\0c\n", ":2: is no text"),
        ("a\nb\nä".encode("latin-1"), ":3: is not UTF-8 .byte 0xe4"),
        ("a\nCafé crème, ½ £3".encode("cp1252"), ":2: is not UTF-8 but probably Windows-1252 .*'Café'"),
        ("a\nCafé crème".encode("mac_roman"), ":2: is not UTF-8 but probably Mac Roman.*'Café'"),
        ("a\nGęś szara\nŻółty".encode("cp1250"), ":2: is not UTF-8 but probably Windows-1250 .*'Gęś'"),
        ("a\nRůžová šeď".encode("cp1250"), ":2: is not UTF-8 but probably Windows-1250 .*'Růžová'"),
        ("a\nSzürke őz\nTűzpiros".encode("cp1250"), ":2: is not UTF-8 but probably Windows-1250"),
        ("a\nGęś szara".encode("iso8859_2"), ":2: is not UTF-8 but probably ISO 8859-2 .*'Gęś'"),
        ("a\nElfenbein weiß, grün".encode("cp1252"), ":2: is not UTF-8 but probably Windows-1252"),
        ("a\nåben rød fjæl".encode("cp1252"), ":2: is not UTF-8 but probably Windows-1252"),
        ("a\nGrün mittel, weiß".encode("cp850"), ":2: is not UTF-8 .byte"),
        ("a\nКрасный".encode("cp1251"), ":2: is not UTF-8 .byte"),
        ("a\n赤い色".encode("cp932"), ":2: is not UTF-8 .byte"),
    ],
)
def test_texts_that_are_none(tmp_path: Path, raw: bytes, said: str) -> None:
    (tmp_path / "a").write_bytes(raw)
    with pytest.raises(InputError, match=said):
        read_text(tmp_path / "a")


def test_a_huge_file_is_not_read_whole(tmp_path: Path) -> None:
    with open(tmp_path / "a", "wb") as sparse:
        sparse.truncate(LARGEST_TEXT + 1)
    with pytest.raises(InputError, match="larger than"):
        read_text(tmp_path / "a")
    with pytest.raises(InputError, match="larger than"):
        read_text(Path("/dev/zero"))


def test_names_that_can_be_no_file(tmp_path: Path) -> None:
    for name in ("a\0b", "x" * 300):
        with pytest.raises(InputError, match="cannot be read"):
            read_text(tmp_path / name)


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_marks_of_a_merge_are_named_as_what_they_are(tmp_path: Path, newline: str) -> None:
    lines = ["[kit]", "<<<<<<< HEAD", 'title = "a"', "=======", 'title = "b"', ">>>>>>> other", ""]
    (tmp_path / "kit.toml").write_bytes(newline.join(lines).encode())
    with pytest.raises(InputError, match="lines 2, 4, 6") as error:
        read_text(tmp_path / "kit.toml")
    assert error.value.problems[0].line == 2
    (tmp_path / "plain.md").write_text("Title\n=======\n<<<<<<< no end\n")
    assert read_text(tmp_path / "plain.md").startswith("Title")
