"""The catalogue: every language says everything, with the same values, and writes numbers as its readers
do."""

from __future__ import annotations

import csv
import datetime
import re
from importlib.resources import files

import pytest

from palette.words.catalogue import Words, languages

MESSAGE = re.compile(r"(?m)^([a-z][\w-]*) =((?:.|\n(?=[ \t]))*)")


def messages(language: str) -> dict[str, set[str]]:
    """The names of a language's messages, each with the values it takes."""
    text = files("palette.words.catalogue").joinpath(f"{language}.ftl").read_text("utf-8")
    return {name: set(re.findall(r"\$(\w+)", body)) for name, body in MESSAGE.findall(text)}


def test_there_is_a_second_language() -> None:
    assert {"en", "de"} <= set(languages())


@pytest.mark.parametrize("language", [code for code in languages() if code != "en"])
def test_a_language_says_all_that_english_says_with_the_same_values(language: str) -> None:
    english, other = messages("en"), messages(language)
    own = {name for name in other if name.startswith(("hue-", "modifier-"))}
    assert other.keys() - own == english.keys()
    assert {name: values for name, values in other.items() if name not in own} == english


@pytest.mark.parametrize("language", languages())
def test_every_message_can_be_said(language: str) -> None:
    words = Words(language)
    for name, values in messages(language).items():
        numbers = {"count": 2, "total": 3, "drops": 2}
        said = words(name, **{value: numbers.get(value, "x") for value in values})
        assert said and "{" not in said and "$" not in said


@pytest.mark.parametrize("language", [code for code in languages() if code != "en"])
def test_every_colour_has_a_name(language: str) -> None:
    text = files("palette.colour.data").joinpath("iscc_nbs.csv").read_text("utf-8")
    for row in csv.DictReader(text.splitlines()):
        assert Words(language).colour(row["name"]) != row["name"]


def test_numbers_and_dates_are_the_readers_own() -> None:
    """Unicode CLDR: a comma and a full stop in German; a true minus and no negative zero everywhere."""
    assert Words("en").number(1234.56) == "1,234.6" and Words("de").number(1234.56) == "1.234,6"
    assert Words("de").number(-1.25, 2) == "−1,25" and Words("en").number(-0.04) == "0.0"
    day = datetime.date(2026, 5, 4)
    assert Words("en").date(day) == "4 May 2026" and Words("de").date(day) == "4. Mai 2026"


def test_what_comes_from_outside_is_never_read_as_a_message() -> None:
    evil = '{ $amount } { label-guide } "{" ' * 400
    assert Words()("decided-why", why=evil) == f"Decided by the maker: {evil}"


def test_a_language_that_is_not_there_is_said_to_be_missing() -> None:
    with pytest.raises(ValueError, match="de, en"):
        Words("xx")
