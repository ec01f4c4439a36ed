"""A text read in pieces says what the standard library's reader says of the whole."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from palette.kit import pieces as module
from palette.kit.lines import _Walk, index
from palette.kit.pieces import pieces, toml

LINES = [
    "schema = 1",
    "[kit]",
    "[[part]]",
    "[[reference]]",
    "  [[part]]",
    "[[part.hint]]",
    "  [[reference.sample]]",
    "[part.note]",
    "[ part ]",
    '["part"]',
    'id = "a"  # [[part]]',
    'words = """',
    '"""',
    "points = [",
    "[1, 2],",
    "]",
    "colour = { lab = [1, 2, 3] }",
    "part = []",
    "kit.title = 'x'",
    "# a remark",
    "",
    "rect = [1, 2, 3, 4]",
    "[[part]] # more",
    "[[part]",
]


@given(st.lists(st.sampled_from(LINES), max_size=14), st.sampled_from(["\n", "\r\n"]))
def test_pieces_say_what_the_whole_says(lines, newline):
    text = newline.join(lines)
    try:
        whole = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        with pytest.raises(tomllib.TOMLDecodeError) as told:
            toml(text)
        assert str(told.value) == str(error)
        return
    assert toml(text) == whole
    walk = _Walk(text)
    walk.run()
    ours = index(text)
    for places in ("lines", "values", "pairs", "headers"):
        assert list(getattr(ours, places).items()) == list(getattr(walk.index, places).items())


def test_only_the_changed_table_is_read_anew(monkeypatch):
    text = "schema = 1\n" + "".join(f'[[part]]\nid = "a{i}"\n\n' for i in range(40))
    assert len(pieces(text) or ()) == 41
    read: list[str] = []
    monkeypatch.setattr(module.tomllib, "loads", lambda piece: read.append(piece) or _LOADS(piece))
    changed = text.replace('"a7"', '"b7"')
    assert [part["id"] for part in toml(changed)["part"]][6:9] == ["a6", "b7", "a8"]
    assert read == ['[[part]]\nid = "b7"\n\n']


_LOADS = tomllib.loads
