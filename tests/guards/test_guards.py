"""Accuracy stays where it is: what a room measures lies in its band.

Where a change is meant to move a figure, run `python -m tests.guards.rebase` and say why it moved.
"""

from __future__ import annotations

import pytest

from tests.guards.bands import bands
from tests.guards.figures import ROOMS
from tests.guards.mutants import MUTANTS, wrong


@pytest.mark.parametrize("room", ROOMS)
def test_figures_lie_in_their_bands(room: str) -> None:
    held = {figure: band for (its_room, figure), band in bands().items() if its_room == room}
    figures = ROOMS[room]()
    assert set(figures) == set(held), "run python -m tests.guards.rebase"
    outside = [
        f"{figure}: {value:.4f} is not within {held[figure].low:.4f} to {held[figure].high:.4f}"
        for figure, value in figures.items()
        if not held[figure].low <= value <= held[figure].high
    ]
    assert not outside, "; ".join(outside)


def test_every_mutant_can_be_made_and_every_room_has_some() -> None:
    # the mutants themselves are tried by `python -m tests.guards.mutants`, in minutes
    assert [problem for mutant in MUTANTS if (problem := wrong(mutant))] == []
    assert {mutant.room for mutant in MUTANTS} == set(ROOMS)
