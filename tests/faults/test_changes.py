"""What belongs together changes together or not at all, wherever the disk fails or the process is killed.

Each test does one change again and again, and disturbs another operation each time.
"""

from __future__ import annotations

import errno
import os
import shutil
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from palette.errors import InputError
from palette.files import (
    Change,
    ChangedMeanwhile,
    change_together,
    create_whole,
    replace_whole,
    undo_stopped,
)
from tests.faults.faulty import disturbed, held, leftovers
from tests.faults.killing import ended, killed, needs_forks, started

ERRORS = (errno.ENOSPC, errno.EIO, errno.EROFS)


def several(folder: Path) -> None:
    """A picture that is new, one that is replaced, a file that goes, and the record that names them."""
    change_together(
        [
            Change(folder / "references/new.png", b"new picture", None),
            Change(folder / "references/old.png", b"better picture"),
            Change(folder / "gone.txt", None),
            Change(folder / "kit.toml", "new record", b"old record"),
        ],
        folder,
        [folder / "swatches"],
    )


def one(folder: Path) -> None:
    replace_whole(folder / "kit.toml", "new record")


def first(folder: Path) -> None:
    create_whole(folder / "new.txt", "new")


CHANGES: list[Callable[[Path], None]] = [several, one, first]


def prepared(folder: Path) -> Path:
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "references").mkdir(parents=True)
    (folder / "references/old.png").write_bytes(b"old picture")
    (folder / "gone.txt").write_text("to go")
    (folder / "kit.toml").write_text("old record")
    return folder


def outcomes(folder: Path, change: Callable[[Path], None]) -> tuple[dict, dict, int]:
    """What the folder holds before and after, and how many operations lie between."""
    before = held(prepared(folder))
    with disturbed(None, lambda name: None) as met:
        change(folder)
    after = held(folder)
    assert before != after and not leftovers(folder)
    return before, after, len(met)


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize("change", CHANGES)
def test_a_disk_that_fails(quick: Path, change: Callable[[Path], None], lasting: bool) -> None:
    folder = quick / "kit"
    before, after, count = outcomes(folder, change)
    assert count > 5
    for at in range(count):
        for number in ERRORS:
            prepared(folder)

            def fail(name: str, number: int = number) -> None:
                raise OSError(number, os.strerror(number))

            with disturbed(at, fail, lasting):
                try:
                    change(folder)
                    failed = False
                except InputError as error:
                    failed = True
                    assert len(error.problems) == 1 and os.strerror(number).lower() in str(error)
            now = {name: what for name, what in held(folder).items() if ".palette-" not in name}
            if not lasting:
                assert now == (before if failed else after), (at, number)
            undo_stopped(folder)  # what could not be put back then
            assert not leftovers(folder), (at, number)
            if lasting:  # it could not even put back, but what is there is whole
                now = {name: what for name, what in held(folder).items() if name != "swatches"}
                whole = {name: what for name, what in after.items() if name != "swatches"}
                assert now in (before, whole) and (failed or now == whole), (at, number)
            else:
                assert held(folder) == (before if failed else after), (at, number)


@needs_forks
@pytest.mark.parametrize("change", CHANGES)
def test_a_process_that_is_killed(quick: Path, change: Callable[[Path], None]) -> None:
    folder = quick / "kit"
    before, after, count = outcomes(folder, change)
    seen = set()
    for at in range(count):
        prepared(folder)
        assert killed(at, change, folder)
        undo_stopped(folder)
        now = held(folder)
        assert not leftovers(folder), at
        now.pop("swatches", None)  # a folder made before the files is no harm
        assert now in (before, {k: v for k, v in after.items() if k != "swatches"}), at
        seen.add(now == before)
        if now == before:
            change(folder)  # nothing stands in the way of doing it again
            assert held(folder) == after, at
    assert seen == {True, False}


@needs_forks
def test_what_the_user_has_changed_since_is_left(quick: Path) -> None:
    # fails when a run that was stopped takes back what was written over it by hand
    folder = quick / "kit"
    _, _, count = outcomes(folder, several)
    left = 0
    for at in range(0, count, 2):
        prepared(folder)
        assert killed(at, several, folder)
        (folder / "kit.toml").write_text("by hand")
        kept = {name: what for name, what in held(folder).items() if ".palette-" not in name}
        left += bool(leftovers(folder))
        replace_whole(folder / "other.txt", "the next change clears up")
        assert held(folder) == {**kept, "other.txt": b"the next change clears up"}
    assert left > 5


def test_a_journal_from_a_stranger_undoes_nothing_outside(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    kit = prepared(tmp_path / "kit")
    staging = kit / ".palette-abcdefgh"
    staging.mkdir()
    digest = "7bbc9dd98d2ac9f04aa5a2ee7a0ad4bf9e3a7fb1bb5aa9ea3b0f7cc2ee8c2ee0"
    (staging / "journal.json").write_text(
        '{"files": [{"path": "../mine.txt", "before": null, "after": "'
        + digest
        + '", "old": null}], "folders": [".."]}'
    )
    replace_whole(kit / "x.txt", "x")
    assert (tmp_path / "mine.txt").read_text() == "mine" and not leftovers(kit)


def test_a_folder_of_the_users_is_not_taken_for_ours(tmp_path: Path) -> None:
    (tmp_path / ".palette-mybackup").mkdir()
    (tmp_path / ".palette-mybackup/letter.txt").write_text("x")
    replace_whole(tmp_path / "x.txt", "x")
    assert sorted(held(tmp_path)) == [
        ".palette-mybackup",
        ".palette-mybackup/letter.txt",
        "x.txt",
    ]


def writing(folder: Path, number: int) -> None:
    for turn in range(5):
        text = f"{number} {turn}"
        change_together([Change(folder / name, text) for name in "abc"], folder)


@needs_forks
def test_writers_of_one_folder_take_turns(tmp_path: Path) -> None:
    # fails when two write at once: the second takes what the first has staged for a leftover
    folder = prepared(tmp_path / "kit")
    writers = [started(writing, folder, number) for number in range(6)]
    assert [ended(writer) for writer in writers] == [0] * 6
    assert len({(folder / name).read_text() for name in "abc"}) == 1 and not leftovers(folder)


def stuck() -> None:
    threading.Event().wait()


@needs_forks
def test_a_process_that_is_stuck_fails_its_test() -> None:
    process = started(stuck)
    with pytest.raises(pytest.fail.Exception, match="still at work"):
        ended(process, patience=0.1)
    assert not process.is_alive()


def test_one_that_does_not_let_go_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from palette.files import locks

    monkeypatch.setattr(locks, "PATIENCE", 0.05)
    with (
        locks.alone(tmp_path),
        pytest.raises(InputError, match="another palette has been writing here for 0 s"),
    ):
        replace_whole(tmp_path / "a", "x")
    assert not (tmp_path / "a").exists()


def test_without_a_place_for_locks_it_writes_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from palette.files import locks

    (tmp_path / "file").write_text("x")
    monkeypatch.setattr(locks, "_homes", lambda: [tmp_path / "file" / "locks"])
    replace_whole(tmp_path / "a", "x")
    assert (tmp_path / "a").read_text() == "x"


def test_a_file_that_was_changed_stops_the_rest(tmp_path: Path) -> None:
    folder = prepared(tmp_path / "kit")
    (folder / "kit.toml").write_text("by another")
    before = held(folder)
    with pytest.raises(ChangedMeanwhile):
        several(folder)
    assert held(folder) == before


def test_what_an_earlier_palette_left_beside_a_file_goes_and_nothing_else(tmp_path: Path) -> None:
    def old(name: str, rights: int = 0o600, hours: float = 2) -> Path:
        path = tmp_path / name
        path.write_text("half a list")
        path.chmod(rights)
        os.utime(path, (time.time() - 3600 * hours,) * 2)
        return path

    left = old(".list.csv.x3f_09ab")
    kept = [
        old(".list.csv.20240131"),  # somebody's copies
        old(".list.csv.original"),
        old(".list.csv.copy2024", rights=0o644),
        old(".list.csv.x3f_09ac", hours=0.1),  # perhaps still at work
        old(".other.csv.x3f_09ab"),
        old("list.csv.x3f_09ab"),
    ]
    replace_whole(tmp_path / "list.csv", "id,name\n")
    assert not left.exists() and all(path.exists() for path in kept)
