"""Every target holds for its first seeds, and for those that once found a fault.

`python -m tests.faults --minutes 30` goes on with others.
"""

from __future__ import annotations

import random

import pytest

from tests.faults.registry import mutated, targets
from tests.faults.trying import main

TARGETS = targets()


@pytest.mark.parametrize("name", TARGETS)
def test_what_is_promised_holds(name: str) -> None:
    target = TARGETS[name]
    assert target.check.__doc__, "say what is tried and what must hold"
    for seed in (*target.seeds, *range(target.tries)):
        try:
            target.try_one(seed)
        except Exception as error:
            error.add_note(f"again: python -m tests.faults --only {name} --seed {seed}")
            raise


def test_a_seed_is_a_whole_report() -> None:
    # fails when an input depends on anything but the seed
    first, second = (mutated(b"0123456789" * 9, random.Random("x 5")) for _ in range(2))
    assert first == second != b"0123456789" * 9


def test_what_goes_wrong_is_found_and_named(capsys: pytest.CaptureFixture[str]) -> None:
    # fails when the long run passes over what raises, or does not say how to try it again
    assert main(["--minutes", "0.01", "--only", "_broken"]) >= 1
    shown = capsys.readouterr().out
    assert "AssertionError: six and seven" in shown
    assert "again: python -m tests.faults --only _broken --seed " in shown
