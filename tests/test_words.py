"""Every kind of note has words of its own in English; a kind without any is still told."""

import importlib
import inspect
from dataclasses import dataclass
from pkgutil import walk_packages

import pytest

import palette
from palette.evidence.combine.notes import SetAside
from palette.notes import Note, Routine
from palette.words import say

_BASES = {Note, Routine, SetAside}


def kinds() -> list[type[Note]]:
    modules = [m.name for m in walk_packages(palette.__path__, "palette.") if m.name.endswith("notes")]
    found = [
        kind
        for name in modules
        for _, kind in inspect.getmembers(importlib.import_module(name), inspect.isclass)
        if issubclass(kind, Note) and kind.__module__ == name and kind not in _BASES
    ]
    assert len(found) > 50
    return found


@pytest.mark.parametrize("kind", kinds(), ids=lambda kind: kind.__name__)
def test_every_kind_of_note_has_words(kind: type[Note]) -> None:
    assert say.dispatch(kind) is not say.dispatch(Note)


def test_a_kind_without_words_is_told_by_its_name_and_values() -> None:
    """A correction that somebody adds may notice what the words room has not heard of."""

    @dataclass(frozen=True)
    class TapeWorn(Note):
        share: float

    assert say(TapeWorn(0.25)) == "tape worn (share 0.25)"
