"""What was changed in a kit, step by step."""

from __future__ import annotations

import os

import pytest

from palette.desk import history
from palette.desk.history import History


@pytest.fixture
def kit(tmp_path, monkeypatch):
    monkeypatch.setenv("PALETTE_STATE", str(tmp_path / "state"))
    monkeypatch.setattr(history, "MOST_STEPS", 5)
    (tmp_path / "kit.toml").write_bytes(b"0")
    return tmp_path / "kit.toml"


def step(log: History, kit, number: int) -> None:
    before, after = kit.read_bytes(), str(number).encode()
    kit.write_bytes(after)
    log.note(f"step {number}", "desk", {kit: (before, after)})


def test_old_steps_go_and_the_rest_can_be_undone(kit):
    """Fails where the log grows for ever, another desk on the kit loses its place in it, or a text that can
    still be undone to is thrown away."""
    mine, other = History(kit), History(kit)
    for number in range(1, 9):
        step(mine, kit, number)
    assert other.undo.words == "step 8"
    mine.go(back=True)
    texts = mine._folder / "texts"
    for text in texts.iterdir():
        os.utime(text, (0, 0))
    for number in (9, 10):
        step(mine, kit, number)
    log = (mine._folder / "steps.jsonl").read_text().splitlines()
    assert len(log) <= 10 and len(list(texts.iterdir())) <= 7
    for steps in (mine, other, History(kit)):
        assert [s.words for s in steps.steps()[0]] == ["step 5", "step 6", "step 7", "step 9", "step 10"]
    for back in (b"9", b"7", b"6", b"5", b"4"):
        other.go(back=True)
        assert kit.read_bytes() == back
    assert mine.undo is None and mine.redo.words == "step 5"
