"""The web page: one file, no network, every text escaped, the same content as the PDF."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from palette.guide.assembly import assemble
from palette.guide.content import Guide

from palette.guide import html
from tests.guide.guide_made import made

VOID = {"meta", "br", "link", "img", "input", "hr", "wbr"}


class Reader(HTMLParser):
    """Collects text, attributes and whether tags nest."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.wrong: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    return reader


def content(count: int = 12, **kit: object) -> Guide:
    scheme, swatches, pictures, odds = made(count, **kit)  # type: ignore[arg-type]
    return assemble(scheme, swatches, pictures, odds=odds)


@pytest.fixture(scope="module")
def page() -> str:
    return html.render(content())


def test_tags_nest_and_close(page: str) -> None:
    reader = read(page)
    assert reader.wrong == [] and reader.open == []


def test_it_asks_the_network_for_nothing(page: str) -> None:
    for tag, attributes in read(page).tags:
        assert tag not in ("script", "link", "iframe", "object")
        for name in ("src", "href", "srcset", "action", "data"):
            value = attributes.get(name)
            assert value is None or value.startswith(("data:image/jpeg;base64,", "#")), (tag, value)
    assert not re.search(r"@import|url\(", page)
    assert "default-src 'none'" in page


def test_markup_in_any_field_stays_text() -> None:
    evil = "\"><script>alert(1)</script><img src=x onerror=alert(1)> {{ 7*7 }} &amp; ' x"
    kit = {"title": evil, "maker": evil, "version": evil, "scale": evil, "licence": evil}
    guide = content(12, names=(evil,), **kit)
    references = tuple(replace(r, credit=evil, id=evil, missing=evil) for r in guide.references)
    reader = read(html.render(replace(guide, references=references)))
    assert reader.wrong == [] and reader.open == []
    assert not {tag for tag, _ in reader.tags} & {"script", "img"}
    assert not any(name.startswith("on") for _, attributes in reader.tags for name in attributes)
    assert evil in "".join(reader.text)


def test_it_says_what_the_content_says(page: str) -> None:
    text = " ".join("".join(read(page).text).split())
    guide = content()
    for part in guide.parts:
        assert part.name in text and part.chip.words in text and part.choice.title in text
        for value in part.chip.lab:
            assert value in text
    for head, body in guide.cautions:
        assert head in text and body in text
    for stage in guide.order:
        for step in stage.steps:
            assert step.text in text and step.detail in text
    for note in guide.notes:
        assert note.heading in text and all(line in text for line in note.lines)
    rules = (guide.choice_words, guide.tone_words, guide.cover_words, guide.scale_rule, guide.stage_words)
    assert guide.choice_words and all(words in text for words in rules)
    assert all(line in text for line in (*guide.judging, *guide.how_to_read, *guide.credits))


def test_it_can_be_read_without_seeing_it(page: str) -> None:
    reader = read(page)
    assert next(attributes for tag, attributes in reader.tags if tag == "html")["lang"] == "en-GB"
    images = [attributes for tag, attributes in reader.tags if tag == "svg"]
    assert len(images) == 6 and all(image["role"] == "img" and image["aria-label"] for image in images)
    assert all("scope" in attributes for tag, attributes in reader.tags if tag == "th")
    levels = [int(tag[1]) for tag, _ in reader.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    identifiers = [attributes["id"] for _, attributes in reader.tags if "id" in attributes]
    assert len(identifiers) == len(set(identifiers))


def test_it_has_light_dark_and_print_styles(page: str) -> None:
    assert "prefers-color-scheme: dark" in page
    # Browsers leave backgrounds out of print: then all squares are empty and a solid tag is white on white.
    assert re.search(r"body \{[^}]*[^-]print-color-adjust: exact", page.partition("@media print")[2])


@pytest.mark.parametrize("count", [1, 60])
def test_any_number_of_parts(count: int) -> None:
    reader = read(html.render(content(count)))
    assert reader.wrong == [] and reader.open == []
    assert sum("id" in a and str(a["id"]).startswith("part-") for _, a in reader.tags) == count
