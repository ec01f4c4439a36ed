"""The watch over a kit's files, which tells what other programs changed and is silent of its own desk."""

from __future__ import annotations

import threading

import pytest

from palette.desk import live as module
from palette.desk.live import Live
from tests.desk.desk_made import small_kit


@pytest.fixture
def watched(tmp_path, monkeypatch):
    """A kit that is watched, what is told of it, and a wait until the watch has looked twice more."""
    monkeypatch.setattr(module, "_EYE", 0.01)
    stamps, looked = module._stamps, threading.Semaphore(0)

    def counted(kit):
        if threading.current_thread().name == "watch":
            looked.release()
        return stamps(kit)

    monkeypatch.setattr(module, "_stamps", counted)
    live = Live(small_kit(tmp_path))
    told = []
    live.hub.tell = lambda event, **data: told.append((event, data.get("by")))
    live.watch()

    def wait():
        while looked.acquire(blocking=False):
            pass
        for _ in range(3):
            assert looked.acquire(timeout=120)

    wait()
    yield live, told, wait
    live.close()


def test_its_own_desk_is_no_other_program(watched):
    live, told, wait = watched
    ops = [{"op": "swatch.mark", "list": "bench.csv", "ids": ["R1"], "owned": True}]
    live.change(live.read().version, ops)
    wait()
    live.go(True)
    wait()
    assert told == [("kit", "desk"), ("kit", "desk")]


def test_another_program_is_told(watched):
    live, told, wait = watched
    path = live.path.parent / "bench.csv"
    path.write_text(path.read_text() + "N1,New,50,0,0\n")
    wait()
    assert told == [("kit", "editor")]
