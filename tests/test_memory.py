"""What a process remembers does not grow with the number of kits that it works on."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette import cache, memory
from palette.memory import Memory, remembered
from palette.shelf.many import ask

KITS = 12


@remembered()
def _own(kit: str) -> np.ndarray:
    return np.full(10_000, float(len(kit)))


@remembered()
def _shared(name: str) -> np.ndarray:
    return np.zeros(10_000)


def _question(kit: Path) -> float:
    return float(_own(str(kit))[0] + _shared("list")[0])


def test_many_kits_leave_no_more_behind_than_two(monkeypatch: pytest.MonkeyPatch) -> None:
    # fails when answers of kits that are done stay, or when what all of them ask for is computed for each
    own = Memory()
    monkeypatch.setattr(memory, "MEMORY", own)
    monkeypatch.setattr("palette.shelf.many.MEMORY", own)
    answers = list(ask(_question, [Path("kit" * n) for n in range(1, KITS)] + [Path("bad", "\0")], jobs=1))
    assert len(answers) == KITS and not any(one.problem for one in answers)
    assert own.missed == KITS + 1  # the shared one once
    assert len(own._kept) <= 2 and own._bytes < 3 * 80_200


def test_what_was_asked_for_again_stays() -> None:
    own = Memory()
    for name in (b"once", b"twice"):
        own.keep(name, 1.0)
    own.turn()
    assert own.recall(b"twice") == 1.0
    own.turn()
    assert own.recall(b"once") is cache.MISSING and own.recall(b"twice") == 1.0
