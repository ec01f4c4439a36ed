"""The cache of measurements: never stale, never in the way."""

from __future__ import annotations

import os

import numpy as np
import pytest

from palette import cache
from palette.kit.model import Rect


@pytest.fixture
def place(tmp_path, monkeypatch):
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


def counted():
    """A computation that counts how often it is made."""
    calls = []

    def compute():
        calls.append(1)
        return {"mean": np.arange(3.0), "text": "brown"}

    return calls, compute


def test_a_value_is_computed_once_and_comes_back_equal(place):
    calls, compute = counted()
    first = cache.remember(cache.key("a", 1), compute)
    again = cache.remember(cache.key("a", 1), compute)
    assert len(calls) == 1
    np.testing.assert_array_equal(first["mean"], again["mean"])
    assert first["text"] == again["text"]


def test_none_is_a_value(place):
    cache.keep(cache.key("n"), None)
    assert cache.recall(cache.key("n")) is None
    assert cache.recall(cache.key("other")) is cache.MISSING


def test_another_content_or_parameter_is_another_key(tmp_path):
    picture = tmp_path / "a.jpg"
    picture.write_bytes(b"one")
    before = cache.content(picture)
    status = picture.stat()
    picture.write_bytes(b"two")  # same name, size and date
    os.utime(picture, ns=(status.st_atime_ns, status.st_mtime_ns))
    keys = {
        cache.key(before, Rect(0, 0, 1, 1)),
        cache.key(cache.content(picture), Rect(0, 0, 1, 1)),
        cache.key(before, Rect(0, 0, 1, 1.0000000001)),
        cache.key(before, (Rect(0, 0, 1, 1),)),
        cache.key(before + "Rect"),
        cache.key("ab", "c"),
        cache.key("a", "bc"),
    }
    assert len(keys) == 7


def test_the_code_is_part_of_the_key(monkeypatch):
    before = cache.key("a")
    monkeypatch.setattr(cache, "code", lambda *rooms: "changed")
    assert cache.key("a") != before


def test_an_array_is_no_part_of_a_key():
    with pytest.raises(TypeError):
        cache.key(np.arange(5000))


@pytest.mark.parametrize("damage", ["cut", "flip", "empty", "other", "folder"])
def test_a_damaged_entry_is_computed_anew_and_mended(place, damage):
    calls, compute = counted()
    cache.remember(cache.key("a"), compute)
    (entry,) = place.glob("*.entry")
    raw = entry.read_bytes()
    if damage == "folder":
        entry.unlink()
        entry.mkdir()
    else:
        middle = len(raw) - 20
        entry.write_bytes(
            {
                "cut": raw[:-7],
                "flip": raw[:middle] + bytes([raw[middle] ^ 1]) + raw[middle + 1 :],
                "empty": b"",
                "other": b"something else entirely",
            }[damage]
        )
    assert cache.remember(cache.key("a"), compute)["text"] == "brown"
    assert len(calls) == 2
    if damage != "folder":
        cache.remember(cache.key("a"), compute)
        assert len(calls) == 2


def test_what_is_not_worth_keeping_is_not_kept(place):
    calls, compute = counted()
    for _ in range(2):
        cache.remember(cache.key("a"), compute, worth=lambda value: False)
    assert len(calls) == 2


def test_a_place_that_cannot_be_written_is_no_problem(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    for value in (str(tmp_path / "file"), ""):
        monkeypatch.setenv("PALETTE_CACHE", value)
        calls, compute = counted()
        for _ in range(2):
            assert cache.remember(cache.key("a"), compute)["text"] == "brown"
        assert len(calls) == 2


def test_the_entries_not_asked_for_longest_go_first(place, monkeypatch):
    monkeypatch.setattr(cache, "_NOW_AND_THEN", "")  # at once, not now and then
    monkeypatch.setattr(cache, "MOST_BYTES", 5000)
    for i in range(5):
        cache.keep(cache.key(i), np.zeros(100))
        entry = place / f"{cache.key(i)}.entry"
        os.utime(entry, (i, i))
    assert cache.recall(cache.key(0)) is not cache.MISSING  # asked for: now the youngest
    cache.keep(cache.key(5), np.zeros(100))
    assert cache.recall(cache.key(0)) is not cache.MISSING
    assert cache.recall(cache.key(1)) is cache.MISSING
    assert sum(entry.stat().st_size for entry in place.glob("*.entry")) <= 5000
    assert not [path for path in place.iterdir() if path.name.startswith(".")]
