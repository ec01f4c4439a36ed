"""Which pictures show another livery. Fails when a repaint's year is counted to the wrong side of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from palette.evidence.combine.liveries import other_livery
from palette.kit.model import Kit, PartSample, Rect, Reference


def kit(*years: int | None, repainted: tuple[int, ...] = (1968,), year: int | None = None) -> Kit:
    sample = (PartSample("body", Rect(0, 0, 1, 1)),)
    references = tuple(Reference(str(y), Path("x"), year=y, samples=sample) for y in years)
    return Kit(Path("kit.toml"), "x", repainted=repainted, year=year, references=references)


@pytest.mark.parametrize(
    ("kit_", "others"),
    [
        (kit(1950, 1967, 1968), {"1968"}),  # two against one
        (kit(1967, 1968), {"1967"}),  # a tie goes to the later
        (kit(1950, 1967, 1968, year=1970), {"1950", "1967"}),  # the kit says which it is after
        (kit(1950, 1967, 1968, year=1967), {"1968"}),
        (kit(1950, None, 1969, year=1950), {"1969"}),  # undated: taken to show it
        (kit(1950, 1969, repainted=()), set()),
        (kit(1950, 1960, 1970, repainted=(1955, 1968), year=1960), {"1950", "1970"}),
    ],
)
def test_pictures_of_another_livery(kit_: Kit, others: set[str]) -> None:
    assert set(other_livery(kit_)) == others
