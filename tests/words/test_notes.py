"""Every note is said in every language, and the short words that need no catalogue are the catalogue's."""

from __future__ import annotations

import re
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import pytest

import palette
from palette.colour.scales import Sureness, Visibility
from palette.evidence.combine.notes import Disagrees, SetAside
from palette.evidence.correction.notes import AnchorsLeftOut, ByAnchors
from palette.evidence.measure.notes import OfMark, SeveralColours
from palette.evidence.pictures.notes import Mark
from palette.notes import Note, Routine
from palette.words import BASIS, joined, say, shows, sure
from palette.words.catalogue import Words, languages
from palette.words.notes import _say

ROOT = Path(palette.__file__).parent


def kinds(of: type[Note] = Note) -> list[type[Note]]:
    """Every kind of note of the package."""
    for path in ROOT.rglob("notes.py"):
        import_module(".".join(("palette", *path.relative_to(ROOT).with_suffix("").parts)))
    own = [of] if of not in (Note, Routine, SetAside) else []
    return own + [kind for below in of.__subclasses__() for kind in kinds(below)]


def test_every_kind_of_note_has_words() -> None:
    """Fails where a room makes a kind of note that nothing but its name would tell of."""
    made = [kind for kind in kinds() if kind.__module__.startswith("palette.")]
    assert len(made) > 60
    assert [kind.__name__ for kind in made if _say.dispatch(kind) is _say.dispatch(object)] == []


@pytest.mark.parametrize("language", languages())
def test_every_message_that_is_asked_for_is_there(language: str) -> None:
    source = (ROOT / "words" / "notes.py").read_text("utf-8")
    asked = set(re.findall(r'"(note-[\w-]+)"', source)) | {
        "note-" + k for k in re.findall(r': "([a-z-]+)",', source)
    }
    assert len(asked) > 80 and all(Words(language).has(name) for name in asked)


def test_a_note_is_said_in_the_language_of_the_page() -> None:
    german = Words("de")
    assert say(Disagrees(1 / 2400)).endswith("once in 2,400 times")
    assert say(Disagrees(1 / 2400), words=german).endswith("einmal in 2.400 Fällen")
    assert say(OfMark(Mark(2), SeveralColours(0.2)), words=german).startswith(
        "Anker 2: enthält mehr als eine Farbe: 20\u00a0%"
    )
    assert say(AnchorsLeftOut(("anchor 3 (neutral)",)), words=german).startswith(
        "Anker 3 (neutral) widerspricht"
    )
    assert say(ByAnchors(3, 2, False, 1.23), words=german) == (
        "an drei Anker angepasst, davon zwei grau; lässt man einen weg, liegt seine Farbe nach den übrigen "
            "etwa 1,2 daneben"
    )


def test_the_short_words_are_those_of_the_catalogue() -> None:
    words = Words()
    straight = {key: words(f"basis-{key}").replace("’", "'") for key in BASIS}
    assert straight == BASIS
    firmest = zip((1.0, 3.0, 6.0, 10.0, 40.0), Sureness, strict=True)
    assert [sure(radius) for radius, _ in firmest] == [
        words(f"sure-{step.name.lower()}") for step in Sureness
    ]
    keys = ("not", "hardly", "side", "plainly", "another")
    limits = [step.value for step in Visibility]
    inside = [limits[0] / 2, *(low + 0.01 for low in limits[:-1])]
    assert [shows(off) for off in inside] == [words(f"seen-{key}") for key in keys]
    for some in (["a"], ["a", "b"], ["a", "b", "c"]):
        assert joined(some) == words.joined(some)


def test_a_kind_without_words_is_told_by_its_name_and_values() -> None:
    """A correction that somebody adds may notice what the words room has not heard of."""

    @dataclass(frozen=True)
    class TapeWorn(Note):
        share: float

    assert say(TapeWorn(0.25)) == "tape worn (share 0.25)"
