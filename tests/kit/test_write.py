"""A changed kit says the new thing, and everything else in its text is as it was.

Each test fails when a comment moves, an entry changes place, a newline turns, or a file is written that
should not have been.
"""

from __future__ import annotations

import copy
import difflib
import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palette.errors import InputError
from palette.kit.read import read
from palette.kit.write import Draft

KIT = """# my kit
schema = 1   # never change this

[kit]
title     = "Car 7"    # working title
tolerance = 3.0        # as agreed

# the parts
[[part]]
id     = "waist"
finish = "gloss"       # shiny
  [[part.hint]]
  words = "red"        # says she
  [[part.than]]
  lighter = "roof"     # see the slide
# about the roof
[[part]]
id = "roof"

[[reference]]
id = "slide"
file = "slide.jpg"     # scanned

  [[reference.sample]] # by eye
  part = "waist"
  rect = [1, 2, 3, 4]

[[part]]
id = "late"            # found later
# the end
"""


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    (tmp_path / "slide.jpg").write_text("x")
    (tmp_path / "kit.toml").write_text(KIT)
    return tmp_path / "kit.toml"


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """Lines taken out and lines put in; the others are the same and in the same order."""
    rows = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    return [r[2:] for r in rows if r[0] == "-"], [r[2:] for r in rows if r[0] == "+"]


def test_a_value_changes_in_its_place(kit: Path) -> None:
    draft = Draft(kit)
    draft.set(("kit", "tolerance"), 2.5)
    draft.set(("part", 0, "finish"), "matt")
    draft.save()
    assert changed_lines(KIT, kit.read_text()) == (
        ["tolerance = 3.0        # as agreed", 'finish = "gloss"       # shiny'],
        ["tolerance = 2.5        # as agreed", 'finish = "matt"        # shiny'],
    )


def test_a_decision_goes_below_the_parts_own_keys(kit: Path) -> None:
    draft = Draft(kit)
    place = draft.place("part", "waist")
    draft.set((*place, "colour"), {"lab": [52.0, 10.0, -20.0]})
    draft.set((*place, "why"), 'he said "red"')
    assert draft.save().part("waist").why == 'he said "red"'
    rows = kit.read_text().splitlines()
    at = rows.index('finish = "gloss"       # shiny')
    assert rows[at + 1 : at + 3] == ["colour = { lab = [52.0, 10.0, -20.0] }", 'why    = "he said \\"red\\""']
    assert changed_lines(KIT, kit.read_text())[0] == []


def test_a_sample_goes_below_the_others_of_its_reference(kit: Path) -> None:
    draft = Draft(kit)
    where = draft.append(
        (*draft.place("reference", "slide"), "sample"), {"part": "roof", "spot": [5, 6, 2.5]}
    )
    assert where == ("reference", 0, "sample", 1)
    draft.save()
    rows = kit.read_text().splitlines()
    at = rows.index("  rect = [1, 2, 3, 4]")
    assert rows[at + 1 : at + 5] == ["", "  [[reference.sample]]", '  part = "roof"', "  spot = [5, 6, 2.5]"]
    assert changed_lines(KIT, kit.read_text())[0] == []


def test_a_reference_comes_with_its_anchors(kit: Path) -> None:
    draft = Draft(kit)
    anchor = {"spot": [1, 1, 1], "colour": {"neutral": True}}
    draft.append(("reference",), {"id": "frame", "file": "slide.jpg", "anchor": [anchor], "time": "12:31.5"})
    references = draft.save().references
    assert [r.id for r in references] == ["slide", "frame"] and references[1].anchors[0].colour.neutral
    assert changed_lines(KIT, kit.read_text())[0] == []


def test_taking_out_leaves_the_remarks_of_others(kit: Path) -> None:
    draft = Draft(kit)
    draft.remove(("part", 0, "than", 0))
    draft.remove(("part", 0, "finish"))
    draft.remove(draft.place("part", "late"))
    draft.save()
    out, put_in = changed_lines(KIT, kit.read_text())
    assert put_in == []
    assert [row for row in out if row] == [
        'finish = "gloss"       # shiny',
        "  [[part.than]]",
        '  lighter = "roof"     # see the slide',
        "[[part]]",
        'id = "late"            # found later',
    ]


def test_inline_tables_and_lists_are_changed_inside(kit: Path) -> None:
    text = 'schema = 1\nkit = { title = "x" }\npart = [{ id = "a" }, { id = "b", hint = [] }] # two\n'
    kit.write_text(text)
    draft = Draft(kit)
    draft.set(("kit", "maker"), "me")
    draft.append(("part",), {"id": "c"})
    draft.append(("part", 1, "hint"), {"words": "red"})
    draft.append(("part", 0, "hint"), {"words": "blue"})
    draft.save()
    assert kit.read_text() == (
        'schema = 1\nkit = { title = "x", maker = "me" }\npart = [{ id = "a", hint = [{ words = "blue" }] }, '
        '{ id = "b", hint = [{ words = "red" }] }, { id = "c" }] # two\n'
    )


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_newlines_and_the_byte_order_mark_stay(kit: Path, newline: str, mark: bytes) -> None:
    kit.write_bytes(mark + KIT.replace("\n", newline).encode())
    draft = Draft(kit)
    draft.append(("part",), {"id": "new"})
    draft.save()
    raw = kit.read_bytes()
    assert raw.startswith(mark + b"# my kit") and raw.count(b"\n") == raw.count(newline.encode())


def test_a_change_that_contradicts_the_kit_is_not_saved(kit: Path) -> None:
    draft = Draft(kit)
    draft.append(("reference", 0, "sample"), {"part": "nowhere", "spot": [1, 1, 1]})
    with pytest.raises(InputError, match="nowhere"):
        draft.save()
    assert kit.read_text() == KIT


def test_what_someone_else_wrote_meanwhile_is_not_overwritten(kit: Path) -> None:
    draft, other = Draft(kit), Draft(kit)
    other.set(("kit", "maker"), "other")
    other.save()
    draft.set(("kit", "maker"), "mine")
    with pytest.raises(InputError, match="changed by another"):
        draft.save()
    assert read(kit).maker == "other"
    kit.unlink()
    with pytest.raises(InputError, match="no such file"):
        other.save()
    assert list(kit.parent.glob("*kit.toml*")) == []


def test_no_change_is_lost_when_many_write_at_once(kit: Path) -> None:
    # each tries again when told that the file has changed; without the lock, one overwrites another
    def add(key: str) -> None:
        while True:
            try:
                draft = Draft(kit)
                draft.set(("kit", key), key)
                draft.save()
                return
            except InputError as error:
                assert "changed by another" in str(error)

    keys = [f"x_{i}" for i in range(8)]
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(add, keys))
    assert set(tomllib.loads(kit.read_text())["kit"]) >= set(keys)


_SCALARS = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"])), st.integers(-(2**63), 2**63 - 1), st.booleans(),
    st.floats(allow_nan=False, allow_infinity=False),
)  # fmt: skip
_KEYS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(
    lambda k: k not in ("id", "hint")
)
_TABLES = st.fixed_dictionaries(
    {"id": st.uuids().map(str)},
    optional={"x_note": _SCALARS, "x_list": st.lists(_SCALARS), "x_table": st.dictionaries(_KEYS, _SCALARS)},
)
_EDITS = st.lists(
    st.one_of(
        st.tuples(st.just("set"), st.integers(0, 2), _KEYS.map(lambda k: f"x_{k}"), _SCALARS),
        st.tuples(st.just("add"), _TABLES),
        st.tuples(st.just("hint"), st.integers(0, 2), st.just({"words": "red", "source": "s"})),
    ),
    max_size=6,
)


@settings(max_examples=60, deadline=None)
@given(_EDITS)
def test_any_change_is_what_the_text_then_says(
    tmp_path_factory: pytest.TempPathFactory, edits: list[Any]
) -> None:
    folder = tmp_path_factory.mktemp("kit")
    (folder / "slide.jpg").write_text("x")
    (folder / "kit.toml").write_text(KIT)
    draft, expected = Draft(folder), copy.deepcopy(tomllib.loads(KIT))
    for kind, *what in edits:
        if kind == "set":
            draft.set(("part", what[0], what[1]), what[2])
            expected["part"][what[0]][what[1]] = what[2]
        elif kind == "add":
            draft.append(("part",), what[0])
            expected["part"].append(what[0])
        else:
            draft.append(("part", what[0], "hint"), what[1])
            expected["part"][what[0]].setdefault("hint", []).append(what[1])
    assert tomllib.loads(draft.text) == expected
    assert changed_lines(KIT, draft.text)[0] == []  # only new lines


def test_many_keys_are_set_as_one_by_one(kit: Path) -> None:
    once, each = Draft(kit), Draft(kit)
    values = [
        (("reference", 0, "year"), 1961),
        (("part", 0, "name"), "Waist, lower"),
        (("part", 1, "x_two"), 2),
        (("part", 1, "x_one"), "one"),
        (("reference", 0, "credit"), "A. N. Other"),
        (("kit", "maker"), "somebody"),
    ]
    once.set_many(values)
    for place, value in values:
        each.set(place, value)
    assert tomllib.loads(once.text) == tomllib.loads(each.text)
    once.set_many([(place, None) for place, _ in values if place[-1] != "name"])
    left = tomllib.loads(once.text)
    assert "year" not in left["reference"][0] and "x_one" not in left["part"][1]
    with pytest.raises(KeyError):
        once.set_many([(("part", 0, "nowhere"), None)])
