"""Places in a TOML text. Fails when a string, a comment or a bracket is taken for something else."""

from __future__ import annotations

import tomllib

from palette.kit.lines import index

TRICKY = '''# [not.a.table]
schema = 1
"quoted # key" = 'a ] } # text'
dotted . key = """two
lines with \\""" and # and [brackets]""""   # four quotes end it
literal = \'\'\'
it''s # not over [yet]
\'\'\'
nested = [ [1, 2], # remark ] here
  [3,
   4], { a = "}", b = [5] } ]
[[part]]      # first
id = "a"
  [[part.hint]]
  words = "x"
  [[part.hint]]
  words = "y"
[[reference]]
id = "between"
[[part]]
id = "b"
[part.extra]
k = 2026-01-01T00:00:00Z
'''


def test_every_line_is_the_one_it_stands_on() -> None:
    places = index(TRICKY)
    lines = places.lines
    assert tomllib.loads(TRICKY)["part"][1]["id"] == "b"
    keys = [("schema",), ("quoted # key",), ("dotted", "key"), ("literal",)]
    assert [lines[key] for key in keys] == [2, 3, 4, 6]
    assert [lines["nested", i] for i in range(3)] == [9, 10, 11]
    assert (lines["nested", 1, 1], lines["nested", 2, "b", 0]) == (11, 11)
    hints = [("part", 0), ("part", 0, "hint", 0), ("part", 0, "hint", 1, "words")]
    assert [lines[key] for key in hints] == [12, 14, 17]
    between = [("reference", 0, "id"), ("part", 1), ("part", 1, "extra", "k")]
    assert [lines[key] for key in between] == [19, 20, 23]


def test_every_value_is_cut_out_whole() -> None:
    places = index(TRICKY)
    whole = tomllib.loads(TRICKY)
    for path, (start, end) in places.values.items():
        expected = whole
        for key in path:
            expected = expected[key]
        assert tomllib.loads(f"v = {TRICKY[start:end]}")["v"] == expected, path


def test_newlines_of_windows_count_once() -> None:
    text = TRICKY.replace("\n", "\r\n")
    assert index(text).lines == index(TRICKY).lines
