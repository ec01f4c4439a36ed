"""The PDF: tagged and described for reading programs, on the paper asked for, unharmed by any text.

ISO 14289-1 (PDF/UA-1) asks for what is checked here: a structure tree, MarkInfo, a language, a title that the
window shows, table headers, and a description of every figure. The typesetter checks the rest as it writes.
"""

from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import pypdf
import pytest
from palette.guide.assembly import assemble, chip
from palette.guide.content import Guide, Verdict

from palette.guide import pdf
from palette.swatches.model import SwatchList
from tests.guide.guide_made import made

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


def guide(count: int = 12, **kit: object) -> Guide:
    scheme, swatches, pictures, odds = made(count, **kit)  # type: ignore[arg-type]
    return assemble(scheme, swatches, pictures, odds=odds)


@pytest.fixture(scope="module")
def raw() -> bytes:
    return pdf.render(guide())


@pytest.fixture(scope="module")
def document(raw: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(raw))


def structure(document: pypdf.PdfReader) -> list[pypdf.generic.DictionaryObject]:
    """Every element of the structure tree, in reading order."""
    found = []

    def walk(node: object) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for kid in node:
                walk(kid)
        elif isinstance(node, dict):
            if "/S" in node:
                found.append(node)
            walk(node.get("/K", []))

    walk(document.trailer["/Root"]["/StructTreeRoot"]["/K"])
    return found


def words(raw: bytes) -> str:
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(raw)).pages)
    return " ".join(text.replace("\u200b", "").split())


def test_it_is_tagged_titled_and_in_a_language(document: pypdf.PdfReader) -> None:
    root = document.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert document.metadata.title == "Marrow Bay Tramways car 7: painting guide"  # type: ignore[union-attr]
    xmp = document.xmp_metadata.stream.get_data()  # type: ignore[union-attr]
    assert b"pdfuaid:part" in xmp


def test_every_figure_is_described(document: pypdf.PdfReader) -> None:
    figures = [node for node in structure(document) if node["/S"] == "/Figure"]
    assert len(figures) == 6  # three references with a picture, three slices of inferred colours
    assert all(str(node["/Alt"]) for node in figures)
    assert any("sampled places outlined: 1 Rocker panels" in str(node["/Alt"]) for node in figures)


def test_tables_have_heads_and_headings_do_not_skip(document: pypdf.PdfReader) -> None:
    nodes = structure(document)
    kinds = [node["/S"] for node in nodes]
    assert kinds.count("/THead") >= kinds.count("/Table") > 5
    levels = [int(str(kind)[2:]) for kind in kinds if str(kind)[:2] == "/H" and str(kind)[2:].isdigit()]
    assert levels[0] == 1 and all(after <= before + 1 for before, after in pairwise(levels))


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
    assert f"{last} of {last}" in words(raw) and f"1 of {last}" in words(raw)


def test_the_same_guide_gives_the_same_bytes(raw: bytes) -> None:
    assert pdf.render(guide()) == raw


@pytest.mark.parametrize("count", [1, 60])
def test_any_number_of_parts(count: int) -> None:
    text = words(pdf.render(guide(count)))
    assert all(f"part-{i}" in text for i in range(1, count + 1))


def test_no_parts_no_paints_no_references() -> None:
    scheme, _, _, _ = made(1)
    bare = replace(scheme, kit=replace(scheme.kit, parts=(), references=(), licence=""), parts=())
    text = words(pdf.render(assemble(bare, SwatchList(()), {})))
    assert "names no paint list" in text and "no reference pictures" in text and "states no licence" in text


def test_a_reason_longer_than_a_page_runs_on() -> None:
    scheme, swatches, pictures, _ = made(5)
    told = replace(scheme.parts[4].part, why="because " * 900 + "amen")
    scheme = replace(scheme, parts=(*scheme.parts[:4], replace(scheme.parts[4], part=told)))
    text = words(pdf.render(assemble(scheme, swatches, pictures)))
    assert text.lower().count("because") == 900 and "amen" in text


def test_table_heads_repeat_on_every_page_of_a_long_table() -> None:
    pages = [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf.render(guide(60)))).pages]
    assert sum("How sure" in page and "Off by" in page and "part-" in page for page in pages) >= 4


def test_no_text_can_break_out_of_its_place() -> None:
    text = words(
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
    text = words(pdf.render(guide(3, title="קרון מספר 7", names=("سقف", "Крыша", "Στέγη"))))
    assert "□" not in text
    assert "Крыша" in text and "Στέγη" in text


def test_a_character_no_typeface_has_is_boxed_and_named(monkeypatch: pytest.MonkeyPatch) -> None:
    import typst

    real = typst.Fonts
    monkeypatch.setattr(typst, "Fonts", lambda font_paths: real(False, True, font_paths))
    text = words(pdf.render(guide(2, names=("屋根 roof", "Waist"))))
    assert "□□ roof" in text and "U+5C4B" in text and "U+6839" in text


def test_short_decisions_stand_two_in_a_row_and_the_licence_alone_on_no_page() -> None:
    """Fails where forty decisions of a line fill page after page, or the last line of all gets its own."""
    verdict = Verdict(1, "Part", chip(None), True, False, "Decided by the maker: works drawing.", ())
    few, many = (
        replace(guide(1), verdicts=(verdict,) * count, inferred=(), references=(), notes=())
        for count in (2, 42)
    )
    read = [pypdf.PdfReader(BytesIO(pdf.render(each))) for each in (few, many)]
    assert len(read[1].pages) - len(read[0].pages) <= 2  # in one column it takes twice as many
    for document in read:
        last = document.pages[-1].extract_text()
        assert "Licence and credits" in last and "Made with palette" in last
