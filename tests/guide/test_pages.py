"""The printed pages as a reader meets them, whatever the kit: nothing small, nothing cut off, nothing that
runs into something else, no page wasted. Read with PDFium, letter by letter."""

from __future__ import annotations

import ctypes
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from palette.evidence.combine.model import Scheme
from palette.guide.dossier import assembly as evidence
from palette.guide.dossier import pdf as dossier_pdf
from palette.guide.painter import pdf
from palette.guide.painter.assembly import assemble
from palette.guide.painter.content import Guide
from palette.paints.choosing.chosen import Odds
from palette.swatches.model import SwatchList
from palette.words.catalogue import Words
from tests.guide.guide_made import NAMES, chosen_for, made, worked

NAMED = {
    "one": (1, NAMES, "Marrow Bay Tramways car 7"),
    "sixty": (60, NAMES, "Marrow Bay Tramways car 7"),
    "long": (
        12,
        tuple(f"{part} with every bracket, bead, rivet and the inner lining face"[:60] for part in NAMES),
        "The Marrow Bay and Hollis Point Corporation Tramways "
        "open-ended single-truck car no. 7, as it was rebuilt at the depot",
    ),
    "arabic": (12, ("سقف العربة", "أعمدة النوافذ", "الخطوط والرقم 7"), "ترام خليج مارو، العربة رقم 7"),
    "japanese": (12, ("屋根と窓枠", "飾り線と数字の7"), "マロー湾電気軌道 第7号車"),
    "german": (12, NAMES, "Marrow Bay Tramways car 7"),
    "no paints": (5, NAMES, "Marrow Bay Tramways car 7"),
}
BOTH = [(name, "guide") for name in NAMED] + [(name, "dossier") for name in ("long", "arabic", "no paints")]
BOTTOM = {"a4": 42.5, "letter": 36.8}  # points: below are the guide's footers
PAPER = {"german": "letter"}


@dataclass(frozen=True)
class Letter:
    """A character: its size in points, its font, its line, its box (left, bottom, right, top)."""

    text: str
    size: float
    font: str
    line: float
    box: tuple[float, float, float, float]


@dataclass(frozen=True)
class Page:
    width: float
    height: float
    letters: tuple[Letter, ...]
    rules: tuple[tuple[float, float, float, float], ...]  # left, bottom, right, top of lines across the page


@cache
def kit(name: str) -> tuple[Scheme, SwatchList, Mapping[str, Odds]]:
    count, names, title = NAMED[name]
    scheme, paints, _, odds = made(count, title, names, page="https://quayside.example/kits/car-7")
    if name == "no paints":
        paints = SwatchList(())
    if name == "long":
        scheme, paints, odds = coded(scheme, paints, odds)
    return scheme, paints, odds


def coded(
    scheme: Scheme, paints: SwatchList, odds: Mapping[str, Odds]
) -> tuple[Scheme, SwatchList, dict[str, Odds]]:
    """The same with codes of forty letters that do not break."""

    def code(id: str) -> str:
        return f"{id}-QUAYSIDEMARINEHOBBYLACQUERBOTTLE17ML"[:40]

    parts = tuple(
        replace(
            part,
            paints=tuple(replace(p, swatch=code(p.swatch)) for p in part.paints),
            mixes=tuple(replace(m, drops=tuple((code(id), n) for id, n in m.drops)) for m in part.mixes),
        )
        for part in scheme.parts
    )
    likely = {
        part: replace(each, likely=tuple((code(id), share) for id, share in each.likely))
        for part, each in odds.items()
    }
    swatches = tuple(replace(swatch, id=code(swatch.id)) for swatch in paints.swatches)
    return replace(scheme, parts=parts), SwatchList(swatches), likely


@cache
def told(name: str) -> Guide:
    scheme, paints, odds = kit(name)
    return assemble(worked(scheme, paints, dict(odds)), Words("de" if name == "german" else "en"))


@cache
def pages(name: str, which: str = "guide") -> tuple[Page, ...]:
    if which == "guide":
        return read(pdf.render(told(name), PAPER.get(name, "a4")))
    scheme, paints, odds = kit(name)
    chosen = chosen_for(scheme, paints, dict(odds))
    return read(dossier_pdf.render(evidence.assemble(scheme, paints, {}, odds=dict(odds), chosen=chosen)))


def read(raw: bytes) -> tuple[Page, ...]:
    document = pypdfium2.PdfDocument(raw)
    try:
        return tuple(_page(page) for page in document)
    finally:
        document.close()


def _page(page: pypdfium2.PdfPage) -> Page:
    text = page.get_textpage()
    name, flags, x, y = ctypes.create_string_buffer(120), ctypes.c_int(), ctypes.c_double(), ctypes.c_double()
    letters = []
    for index in range(text.count_chars()):
        shown = chr(pdfium.FPDFText_GetUnicode(text, index))
        if not shown.isprintable() or shown.isspace():
            continue
        pdfium.FPDFText_GetFontInfo(text, index, name, 120, flags)
        pdfium.FPDFText_GetCharOrigin(text, index, x, y)
        size = pdfium.FPDFText_GetFontSize(text, index)
        letters.append(Letter(shown, size, name.value.decode(), y.value, text.get_charbox(index)))
    paths = [path.get_bounds() for path in page.get_objects(filter=(pdfium.FPDF_PAGEOBJ_PATH,))]
    rules = tuple(sorted((p for p in paths if p[2] - p[0] > 300 and p[3] - p[1] < 4), key=lambda p: -p[3]))
    return Page(*page.get_size(), tuple(letters), rules)


@pytest.mark.parametrize(("name", "which"), BOTH)
def test_no_letter_is_small_or_off_the_page(name: str, which: str) -> None:
    for page in pages(name, which):
        assert min(letter.size for letter in page.letters) > 8.99
        for letter in page.letters:
            left, bottom, right, top = letter.box
            assert left > 28 and right < page.width - 28 and bottom > 14 and top < page.height - 14, letter


@pytest.mark.parametrize("name", [name for name in NAMED if name != "no paints"])
def test_what_goes_on_the_brush_stands_in_ten_points_bold(name: str) -> None:
    codes = [row.paint.code for row in told(name).tray]
    found = set()
    for page in pages(name):
        run = "".join(letter.text for letter in page.letters)
        for code in codes:
            start = run.find(code)
            while start >= 0:
                found.add(code)
                for letter in page.letters[start : start + len(code)]:
                    assert letter.size > 9.99 and "Semibold" in letter.font, (code, letter)
                start = run.find(code, start + 1)
    assert found == set(codes)


@pytest.mark.parametrize("name", NAMED)
def test_the_foot_of_a_page_is_one_line(name: str) -> None:
    """Fails where a long title wraps, and what is clipped of it cannot be read."""
    for number, page in enumerate(pages(name), 1):
        foot = [letter for letter in page.letters if letter.line < BOTTOM[PAPER.get(name, "a4")]]
        assert len({round(letter.line, 1) for letter in foot}) == 1
        rule = [bottom for _, bottom, _, top in page.rules if top < BOTTOM[PAPER.get(name, "a4")]]
        assert rule and max(letter.box[3] for letter in foot) < rule[0]
        said = "".join(letter.text for letter in foot)
        assert "Quayside" in said and said.endswith(
            (f"{number}of{len(pages(name))}", f"{number}von{len(pages(name))}")
        )


@pytest.mark.parametrize("name", NAMED)
def test_no_letter_of_the_title_hangs_into_its_rule(name: str) -> None:
    first = pages(name)[0]
    count = len(NAMED[name][2].replace(" ", ""))
    # "Painting guide" stands beside it
    title = [letter for letter in first.letters[: count + 13] if letter.size > 14]
    assert len(title) >= count - 1  # a hyphen at the end of a line is told as none
    above = next(top for _, bottom, _, top in first.rules if top < title[0].line)
    assert min(letter.box[1] for letter in title) > above


@pytest.mark.parametrize(("name", "which"), BOTH)
def test_no_page_but_the_last_is_less_than_a_third_full(name: str, which: str) -> None:
    for page in pages(name, which)[:-1]:
        lowest = min(letter.box[1] for letter in page.letters if letter.line > 60)
        assert page.height - lowest > page.height / 3


@pytest.mark.parametrize("name", ["long", "arabic", "no paints"])
def test_the_head_of_a_dossiers_page_is_one_line_above_its_rule(name: str) -> None:
    for page in pages(name, "dossier")[1:]:
        rule = page.rules[0]
        head = [letter for letter in page.letters if letter.line > rule[3]]
        assert len({round(letter.line, 1) for letter in head}) == 1
        assert min(letter.box[1] for letter in head) > rule[3] + 1
