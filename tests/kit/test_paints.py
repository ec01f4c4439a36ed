"""Which parts are one paint, and the words of hints."""

from __future__ import annotations

from pathlib import Path

from palette.kit.check import check
from palette.kit.model import Hint, Kit, Part
from palette.kit.paints import same_paint


def kit(*parts: Part) -> Kit:
    return Kit(Path("kit.toml"), "T", parts=parts)


def test_same_as_is_one_paint_along_a_chain() -> None:
    paints = same_paint(kit(Part("a", "A"), Part("c", "C", same_as="b"), Part("b", "B", same_as="a")))
    assert paints == {"a": "a", "b": "a", "c": "a"}


def test_a_part_that_is_the_same_as_none_here_stands_alone() -> None:
    assert same_paint(kit(Part("a", "A", same_as="gone"), Part("b", "B"))) == {"a": "a", "b": "b"}


def test_same_as_that_leads_round_is_one_paint_and_ends() -> None:
    ring = kit(Part("a", "A", same_as="c"), Part("b", "B", same_as="a"), Part("c", "C", same_as="b"))
    assert same_paint(ring) == {"a": "a", "b": "a", "c": "a"}


def test_every_unknown_word_is_told_with_the_nearest_known() -> None:
    first, second = check(
        kit(
            Part("a", "A", hints=(Hint("dark bleu", line=7),)), Part("b", "B", hints=(Hint("grean", line=9),))
        )
    )
    assert (first.line, second.line) == (7, 9)
    assert "'blue'" in str(first) and "'green'" in str(second)
