"""The PDF: tagged and described for reading programs, on the paper asked for, unharmed by any text.

ISO 14289-1 (PDF/UA-1) asks for what is checked here: a structure tree, MarkInfo, a language, a title that the
window shows, table headers, and a description of every figure. The typesetter checks the rest as it writes.
"""

import re
from dataclasses import replace
from functools import cache
from importlib.resources import files
from io import BytesIO
from itertools import pairwise

import numpy as np
import pypdf
import pytest
from PIL import Image

from palette.guide.chips import chip
from palette.guide.dossier import pdf as dossier_pdf
from palette.guide.dossier.assembly import assemble
from palette.guide.dossier.content import Dossier, Explained
from palette.guide.painter import pdf
from palette.guide.painter.assembly import assemble as paint
from palette.swatches.model import SwatchList
from palette.words.catalogue import Words
from tests.guide.guide_made import chosen_for, guide, made, worked
from tests.pdf_text import pages_of, words_of

EVIL = (
    '#import "x": *; $x^2$ *b* _i_ `c` <label> @ref \\ // /* ~ -- "q"',
    "#panic(1) ] [ } { #{",
    "<script>alert(1)</script> & <b>",
    "{{ 7*7 }} {% raw %}",
    "Крыша №7", "Στέγη", "גג וחלונות (חדש) 7", "سقف العربة", "屋根と窓枠",
    "Verylongwordwithoutanybreakwhatsoever" * 4,
    "\u0007\u202eevil\u202c \ue000\ufffe x",
    " ",
)  # fmt: skip


def dossier(count: int = 12, **kit: object) -> Dossier:
    scheme, swatches, pictures, odds = made(count, **kit)  # type: ignore[arg-type]
    chosen = chosen_for(scheme, swatches, odds)
    return assemble(scheme, swatches, pictures, odds=odds, chosen=chosen)


@pytest.fixture(scope="module")
def raw() -> bytes:
    return painted(12)


@pytest.fixture(scope="module")
def document(raw: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(raw))


@pytest.fixture(scope="module")
def evidence() -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(told(12)))


def structure(document: pypdf.PdfReader) -> list[pypdf.generic.DictionaryObject]:
    """Every element of the structure tree, in reading order."""
    elements = []

    def walk(node: object) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for kid in node:
                walk(kid)
        elif isinstance(node, dict):
            if "/S" in node:
                elements.append(node)
            walk(node.get("/K", []))

    walk(document.trailer["/Root"]["/StructTreeRoot"]["/K"])
    return elements


of = cache(guide)


@cache
def painted(count: int) -> bytes:
    """The guide of so many parts."""
    return pdf.render(of(count))


@cache
def told(count: int) -> bytes:
    """The dossier of so many parts."""
    return dossier_pdf.render(dossier(count))


@pytest.mark.parametrize(("which", "title"), [("document", "Painting guide"), ("evidence", "Dossier")])
def test_they_are_tagged_titled_and_in_a_language(
    which: str, title: str, request: pytest.FixtureRequest
) -> None:
    document = request.getfixturevalue(which)
    root = document.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert document.metadata.title == f"Marrow Bay Tramways car 7: {title}"
    xmp = document.xmp_metadata.stream.get_data()
    assert b"pdfuaid:part" in xmp


@pytest.mark.parametrize("count", [1, 12, 60])
def test_pages_are_numbered_and_only_the_last_is_nearly_empty(count: int) -> None:
    """Fails where the typesetter does not settle (numbers repeat), and where a break leaves a page bare."""
    pages = pages_of(painted(count))
    for index, text in enumerate(pages, 1):
        assert f"{index} of {len(pages)}" in text
        assert len(text) > 400 or index == len(pages)


def test_every_figure_is_described(evidence: pypdf.PdfReader) -> None:
    figures = [node for node in structure(evidence) if node["/S"] == "/Figure"]
    assert len(figures) == 6  # three references with a picture, three slices of inferred colours
    assert all(str(node["/Alt"]) for node in figures)
    assert any("sampled places outlined: 1 Rocker panels" in str(node["/Alt"]) for node in figures)


@pytest.mark.parametrize("which", ["document", "evidence"])
def test_tables_have_heads_of_columns_and_rows_and_headings_do_not_skip(
    which: str, request: pytest.FixtureRequest
) -> None:
    """ISO 32000-1, 14.8.4.3.4: a header cell is a TH, and says what it heads."""
    nodes = structure(request.getfixturevalue(which))
    kinds = [node["/S"] for node in nodes]
    assert kinds.count("/THead") >= kinds.count("/Table") > 1
    for body in (node for node in nodes if node["/S"] == "/TBody"):
        for row in kids(body):
            first = kids(row)[0]
            assert first["/S"] == "/TH" and first["/A"].get_object()["/Scope"] == "/Row"
    heads = [node for node in nodes if node["/S"] == "/TH"]
    assert all(node.get("/K") for node in heads)  # none is empty
    levels = [int(str(kind)[2:]) for kind in kinds if str(kind)[:2] == "/H" and str(kind)[2:].isdigit()]
    assert levels[0] == 1 and all(after <= before + 1 for before, after in pairwise(levels))


def kids(node: pypdf.generic.DictionaryObject) -> list[pypdf.generic.DictionaryObject]:
    inner = node["/K"].get_object()
    listed = inner if isinstance(inner, list) else [inner]
    return [kid.get_object() for kid in listed if isinstance(kid.get_object(), dict)]


def test_links_lead_from_the_cover_to_the_cards_and_back(document: pypdf.PdfReader) -> None:
    links = [
        annotation.get_object()
        for page in document.pages
        for annotation in page.get("/Annots", [])
        if annotation.get_object()["/Subtype"] == "/Link"
    ]
    assert len(links) > 24  # a legend of twelve, and as many cards
    assert all("/Contents" in link or "/StructParent" in link for link in links)


@pytest.mark.parametrize("template", ["painter/guide.typ", "dossier/dossier.typ"])
def test_no_text_is_small(template: str) -> None:
    """Nothing is set under 9 points, and what goes on the brush in 10."""
    source = files("palette.guide").joinpath(template).read_text("utf-8")
    sizes = [float(size) for size in re.findall(r"size: (?:if [^{]*\{ )?([\d.]+)pt", source)]
    assert len(sizes) > 8 and min(sizes) >= 9
    if template.startswith("painter"):
        assert "#let code(it) = box(text(size: 10pt, weight: 600, it))" in source


def test_fonts_are_embedded(document: pypdf.PdfReader) -> None:
    for page in document.pages:
        for font in page["/Resources"]["/Font"].values():
            for descendant in font.get_object().get("/DescendantFonts", []):
                assert any(key.startswith("/FontFile") for key in descendant.get_object()["/FontDescriptor"])


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_the_page_is_the_paper_asked_for(paper: str, size: tuple[float, float]) -> None:
    # ISO 216 A4 and ANSI/ASME Y14.1 A, in points of 1/72 inch
    for page in pypdf.PdfReader(BytesIO(pdf.render(guide(2), paper))).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.05)


def test_pages_count_themselves(raw: bytes, document: pypdf.PdfReader) -> None:
    last = len(document.pages)
    assert f"{last} of {last}" in words_of(raw) and f"1 of {last}" in words_of(raw)


def test_the_same_guide_gives_the_same_bytes(raw: bytes) -> None:
    assert pdf.render(guide()) == raw


@pytest.mark.parametrize("count", [1, 60])
def test_any_number_of_parts(count: int) -> None:
    text, evidence = words_of(painted(count)), words_of(told(count))
    assert all(step.title in text for step in of(count).steps)
    assert all(f"part-{i}" in evidence for i in (1, count))


def test_no_parts_no_paints_no_references() -> None:
    scheme, _, _, _ = made(1)
    bare = replace(scheme, kit=replace(scheme.kit, parts=(), references=(), licence=""), parts=())
    text = words_of(dossier_pdf.render(assemble(bare, SwatchList(()), {})))
    assert "names no paint list" in text and "no reference pictures" in text and "states no licence" in text
    painter = words_of(pdf.render(paint(worked(bare, SwatchList(())), Words())))
    assert "names no paint list" in painter and "states no licence" in painter


def test_a_reason_longer_than_a_page_runs_on() -> None:
    scheme, swatches, pictures, _ = made(5)
    told = replace(scheme.parts[4].part, why="because " * 900 + "amen")
    scheme = replace(scheme, parts=(*scheme.parts[:4], replace(scheme.parts[4], part=told)))
    text = words_of(dossier_pdf.render(assemble(scheme, swatches, pictures, chosen={})))
    assert text.lower().count("because") == 900 and "amen" in text


def test_table_heads_repeat_on_every_page_of_a_long_table() -> None:
    pages = pages_of(told(60))
    assert sum("How sure" in page and "Off by" in page and "part-" in page for page in pages) >= 4


def test_a_web_address_is_printed_and_coded() -> None:
    import cv2

    address = "https://quayside.example/car-7"
    made_of = guide(2, page=address)
    assert address in words_of(pdf.render(made_of))
    picture = np.asarray(Image.open(BytesIO(qr_png(address))).convert("L"))
    assert cv2.QRCodeDetector().detectAndDecode(picture)[0] == address


def qr_png(address: str) -> bytes:
    """The same code as the guide's, drawn as dots (the guide's own is SVG)."""
    import segno

    assert pdf.qr_code(address) is not None and pdf.qr_code("x" * 9000) is None
    stream = BytesIO()
    segno.make(address, error="m", micro=False).save(stream, kind="png", scale=8, border=4)
    return stream.getvalue()


def test_no_text_can_break_out_of_its_place() -> None:
    text = words_of(
        pdf.render(guide(12, names=EVIL, title="#panic() *x* <y> $z$", maker=EVIL[0], licence=EVIL[1]))
    )
    assert "#panic() *x* <y> $z$" in text
    assert '$x^2$ *b* _i_ `c` <label> @ref \\ // /* ~ -- "q"' in text
    assert "<script>alert(1)</script>" in text
    assert "{{ 7*7 }}" in text


def test_hebrew_and_arabic_need_no_font_of_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    import typst

    real = typst.Fonts
    monkeypatch.setattr(typst, "Fonts", lambda font_paths: real(False, True, font_paths))
    text = words_of(pdf.render(guide(3, title="קרון מספר 7", names=("سقف", "Крыша", "Στέγη"))))
    assert "□" not in text
    assert "Крыша" in text and "Στέγη" in text


def test_a_character_no_typeface_has_is_boxed_and_named(monkeypatch: pytest.MonkeyPatch) -> None:
    import typst

    real = typst.Fonts
    monkeypatch.setattr(typst, "Fonts", lambda font_paths: real(False, True, font_paths))
    text = words_of(pdf.render(guide(2, names=("屋根 roof", "Waist"))))
    assert "□□ roof" in text and "U+5C4B" in text and "U+6839" in text


def test_short_decisions_stand_two_in_a_row_and_the_licence_alone_on_no_page() -> None:
    """Fails where forty decisions of a line fill page after page, or the last line of all gets its own."""
    verdict = Explained(1, "Part", chip(None), True, False, "Decided by the maker: works drawing.", ())
    few, many = (
        replace(dossier(1), explained=(verdict,) * count, inferred=(), references=(), notes=())
        for count in (2, 42)
    )
    read = [pages_of(dossier_pdf.render(each)) for each in (few, many)]
    assert len(read[1]) - len(read[0]) <= 2  # in one column it takes twice as many
    for *_, last in read:
        assert "Licence and credits" in last and "Made with palette" in last
