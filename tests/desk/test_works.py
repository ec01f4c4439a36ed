"""Work beside the pages: computed once, announced while it runs, anew when the key changes."""

from __future__ import annotations

import threading

import pytest

from palette.desk.works import Working, Works
from palette.errors import InputError


def test_work_is_done_once_for_a_key():
    works, calls = Works(), []
    for key in (1, 1, 2, 2):
        assert works.ask("a", key, lambda tell, key=key: calls.append(key) or key, "A") == key
    assert calls == [1, 2]


def test_slow_work_says_how_far_it_is_and_comes_later():
    works, go, told = Works(), threading.Event(), threading.Event()

    def slow(tell):
        tell(2, 5)
        told.set()
        go.wait(120)
        return "done"

    with pytest.raises(Working):
        works.ask("a", 1, slow, "Slow", patience=0)
    assert told.wait(120)
    with pytest.raises(Working) as raised:
        works.ask("a", 1, slow, "Slow", patience=0)
    assert (raised.value.label, raised.value.done, raised.value.total) == ("Slow", 2, 5)
    go.set()
    assert works.ask("a", 1, slow, "Slow", patience=120) == "done"


def test_what_nobody_wants_any_more_is_not_begun():
    works, go, calls = Works(), threading.Event(), []
    with pytest.raises(Working):
        works.ask("first", 0, lambda tell: go.wait(120), "First", patience=0)
    for key in (1, 2, 3):
        with pytest.raises(Working):
            works.ask("a", key, lambda tell, key=key: calls.append(key), "A", patience=0)
    go.set()
    works.ask("a", 3, lambda tell: None, "A", patience=120)
    assert calls == [3]


def test_what_nobody_wants_any_more_stops_at_its_next_step():
    """Fails where a search that takes minutes goes on after something newer was asked for."""
    works, begun, ended = Works(), threading.Event(), threading.Event()

    def long(tell):
        begun.set()
        try:
            while not ended.wait(0.01):
                tell(1, 2)
        finally:
            ended.set()

    with pytest.raises(Working):
        works.ask("a", 1, long, "A", patience=0)
    assert begun.wait(120)
    assert works.ask("a", 2, lambda tell: "new", "A", patience=120) == "new"
    assert ended.is_set()


def test_an_input_error_stays_until_the_files_change_and_a_fault_does_not():
    works, calls = Works(), []

    def failing(error):
        def compute(tell):
            calls.append(1)
            raise error

        return compute

    for _ in range(2):
        with pytest.raises(InputError):
            works.ask("a", 1, failing(InputError("wrong")), "A", patience=120)
    assert len(calls) == 1
    for _ in range(2):
        with pytest.raises(OSError):
            works.ask("b", 1, failing(OSError("full")), "B", patience=120)
    assert len(calls) == 3
