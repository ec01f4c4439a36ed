"""The web page: one file, no network, every text escaped, the same content as the PDF."""

import re
from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from palette.guide.painter import html
from tests.guide.guide_made import guide as content

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


@pytest.fixture(scope="module")
def page() -> str:
    return html.render(content())


def test_tags_nest_and_close(page: str) -> None:
    reader = read(page)
    assert reader.wrong == [] and reader.open == []


def test_it_asks_the_network_for_nothing(page: str) -> None:
    for tag, attributes in read(page).tags:
        assert tag not in ("link", "iframe", "object", "base", "form")
        for name in ("src", "href", "srcset", "action", "data"):
            value = attributes.get(name)
            assert value is None or value.startswith(
                ("data:image/jpeg;base64,", "data:image/png;base64,", "#")
            ), (tag, value)
    assert not re.search(r"@import|url\(|fetch\(|XMLHttpRequest|WebSocket|sendBeacon|new Image", page)
    assert "default-src 'none'" in page


def test_only_its_own_script_may_run(page: str) -> None:
    """The policy names the script by its hash (W3C Content Security Policy Level 3); one byte more and none
    runs."""
    scripts = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    assert len(scripts) == 1
    digest = b64encode(sha256(scripts[0].encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in page and "unsafe-eval" not in page


def test_markup_in_any_field_stays_text() -> None:
    evil = "\"><script>alert(1)</script><img src=x onerror=alert(1)> {{ 7*7 }} &amp; </script> ' x"
    kit = {"title": evil, "maker": evil, "version": evil, "scale": evil, "licence": evil, "page": evil}
    reader = read(html.render(content(12, names=(evil,), **kit)))
    assert reader.wrong == [] and reader.open == []
    assert [tag for tag, _ in reader.tags].count("script") == 2
    assert not any(tag == "img" and attributes.get("src") == "x" for tag, attributes in reader.tags)
    assert not any(name.startswith("on") for _, attributes in reader.tags for name in attributes)
    assert evil in "".join(reader.text)


def test_it_says_what_the_content_says(page: str) -> None:
    text = " ".join("".join(read(page).text).split())
    guide = content()
    for row in guide.legend:
        assert row.name in text and row.words in text and row.code in text
    for head, body in (*guide.cautions, *guide.glossary):
        assert head in text and body in text
    for step in guide.steps:
        assert step.title in text and all(" ".join(w.split()) in text for pair in step.facts for w in pair)
        assert " ".join(step.guess.split()) in text
        for tone in step.tones:
            assert tone.how in text or tone.chosen is None
    for row in guide.tray:
        assert row.paint.code in text and row.paint.name in text and " ".join(row.amount.split()) in text
    for mixture in guide.mixtures:
        assert mixture.accuracy in text
    assert all(
        line in text for line in (guide.stage, " ".join(guide.guesses.split()), *guide.credits, *guide.mixing)
    )


def test_it_can_be_read_without_seeing_it(page: str) -> None:
    reader = read(page)
    assert next(attributes for tag, attributes in reader.tags if tag == "html")["lang"] == "en-GB"
    assert all("scope" in attributes for tag, attributes in reader.tags if tag == "th")
    ticks = [
        attributes
        for tag, attributes in reader.tags
        if tag == "input" and attributes.get("type") == "checkbox"
    ]
    assert ticks and all(attributes["aria-label"] for attributes in ticks)
    levels = [int(tag[1]) for tag, _ in reader.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    identifiers = [attributes["id"] for _, attributes in reader.tags if "id" in attributes]
    assert len(identifiers) == len(set(identifiers))


def test_every_link_leads_somewhere(page: str) -> None:
    reader = read(page)
    there = {attributes["id"] for _, attributes in reader.tags if "id" in attributes}
    links = [str(attributes["href"]) for tag, attributes in reader.tags if tag == "a"]
    assert len(links) > 20 and all(link[1:] in there for link in links)


def test_it_has_light_dark_and_print_styles(page: str) -> None:
    assert "prefers-color-scheme: dark" in page
    # Browsers leave backgrounds out of print: then every colour is white.
    assert re.search(r"body \{[^}]*[^-]print-color-adjust: exact", page.partition("@media print")[2])


@pytest.mark.parametrize("count", [1, 60])
def test_any_number_of_parts(count: int) -> None:
    reader = read(html.render(content(count)))
    assert reader.wrong == [] and reader.open == []
    assert sum("id" in a and str(a["id"]).startswith("part-") for _, a in reader.tags) == count
