"""Work side by side: the same answers, in order, from other processes."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PIL import Image

from palette import cache, jobs
from palette.errors import InputError
from palette.evidence.pictures.decode import open_picture


@pytest.fixture(autouse=True)
def two_cores(monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: 2)


def files(tmp_path: Path, count: int) -> list[Path]:
    paths = []
    for i in range(count):
        paths.append(tmp_path / f"{i}.png")
        Image.new("L", (8 + i, 8), 10).save(paths[-1])
    return paths


def test_answers_come_in_order_and_progress_is_told(tmp_path):
    told = []
    widths = jobs.each(open_picture_width, files(tmp_path, 8), progress=lambda *n: told.append(n))
    assert widths == [8, 9, 10, 11, 12, 13, 14, 15]
    assert told == [(i + 1, 8) for i in range(8)]


def open_picture_width(path: Path) -> int:
    return open_picture(path).width


def test_an_exception_is_raised_here_as_it_is(tmp_path):
    paths = files(tmp_path, 7)
    paths[3].write_text("Dear sir")
    with pytest.raises(InputError, match="no picture"):
        jobs.each(open_picture_width, paths)


SCRIPT = """
import os
from pathlib import Path
from palette import jobs
print("run")  # a script without a main guard runs once
pids = jobs.each(os.path.realpath, {paths!r})
print(len(pids))
"""


def test_a_script_without_a_main_guard_runs_once(tmp_path):
    paths = [str(path) for path in files(tmp_path, 8)]
    (tmp_path / "script.py").write_text(SCRIPT.format(paths=paths))
    done = subprocess.run(
        [sys.executable, str(tmp_path / "script.py")], capture_output=True, text=True, check=True, timeout=300
    )
    assert done.stdout.split() == ["run", "8"]


def own_process(path: Path) -> int:
    """Its number, once another process has begun: one alone could be done before the next is there."""
    (path.parent / f"{os.getpid()}.begun").touch()
    end = time.monotonic() + 120
    while len(list(path.parent.glob("*.begun"))) < 2 and time.monotonic() < end:
        time.sleep(0.01)
    return os.getpid()


def test_processes_are_used(tmp_path):
    used = set(jobs.each(own_process, files(tmp_path, 8)))
    assert len(used) == 2 and os.getpid() not in used


def end_unless(parent: int) -> int:
    if os.getpid() != parent:
        os._exit(9)
    return parent


def test_a_process_that_is_gone_does_not_lose_its_work():
    assert jobs.each(end_unless, [os.getpid()] * 8) == [os.getpid()] * 8


def test_what_the_cache_holds_is_not_computed(tmp_path, monkeypatch):
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    paths = files(tmp_path, 3)
    calls = []

    def compute(path: Path) -> int:
        calls.append(path)
        return path.stat().st_size

    def key(path: Path) -> str | None:
        return None if path == paths[2] else cache.key("size", cache.content(path))

    for _ in range(2):
        jobs.each(compute, paths, key, worth=lambda size: size > 0)
    assert calls == [*paths, paths[2]]
