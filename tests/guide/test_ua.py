"""PDF/UA-1 (ISO 14289-1), as far as a program can check it: by two checkers of other people's, `pdfua` and,
where it is installed, `outloud`, which goes through the checkpoints of the Matterhorn Protocol 1.1; and here
what both leave out.

A third (veraPDF) is a Java program that none of the registries of Python, Debian or npm has.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pdfua import validate

from palette.guide.dossier import pdf as dossier_pdf
from palette.guide.painter import pdf
from tests.guide.guide_made import guide
from tests.guide.test_pages import told
from tests.guide.test_pdf import dossier

# ISO 32000-1, 14.8.4: the standard structure types in use; others need a role map
STANDARD = {
    "Document", "Part", "Div", "H1", "H2", "H3", "P", "L", "LI", "Lbl", "LBody", "Table", "THead", "TBody",
    "TR", "TH", "TD", "Span", "Link", "Figure", "Caption", "Note", "Reference", "Art", "Sect", "Formula",
}  # fmt: skip
PAINTS = {"Tj", "TJ", "'", '"', "Do", "f", "F", "f*", "S", "s", "B", "B*", "b", "b*", "sh", "BI"}
PAGE = "https://quayside.example/car-7"


TITLES = {"arabic": "ترام خليج مارو", "japanese": "マロー湾", "sixty": "Marrow Bay"}


@pytest.fixture(scope="module", params=["guide", "dossier", *TITLES])
def raw(request: pytest.FixtureRequest) -> bytes:
    if request.param == "guide":
        return pdf.render(guide(12, page=PAGE))
    return dossier_pdf.render(dossier()) if request.param == "dossier" else pdf.render(told(request.param))


@pytest.fixture(scope="module")
def document(raw: bytes) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(raw))


def elements(document: pikepdf.Pdf) -> list[Any]:
    return [
        o for o in document.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/StructElem"
    ]


def test_the_checker_finds_nothing(raw: bytes, tmp_path: Path) -> None:
    path = tmp_path / "made.pdf"
    path.write_bytes(raw)
    assert [f"{f.rule_id}: {f.message}" for f in validate(str(path)).findings] == []


def test_the_other_checker_finds_no_error(raw: bytes, tmp_path: Path) -> None:
    """It warns of grids that are no tables, such as chips in a row."""
    outloud = pytest.importorskip("outloud", reason="pip install outloud; it brings some 200 MB")
    path = tmp_path / "made.pdf"
    path.write_bytes(raw)
    found = outloud.check(path)
    passed = [row["name"] for row in found.criteria["pdfua1"] if row["status"] == "pass"]
    assert found.errors == 0, [f"{f.rule}: {f.message}" for f in found.findings]
    assert len(passed) > 8  # of 31 checkpoints; most of the others are of forms, sound, scripts or layers


def test_all_that_is_drawn_is_tagged_or_an_artifact(document: pikepdf.Pdf) -> None:
    """ISO 14289-1, 7.1: nothing stands on the page that is neither."""
    for page in document.pages:
        depth = 0
        for _, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            depth += (name in ("BDC", "BMC")) - (name == "EMC")
            assert depth > 0 or name not in PAINTS, name


def test_types_are_standard_or_mapped_and_the_title_is_shown(document: pikepdf.Pdf) -> None:
    mapped = {str(kind).lstrip("/") for kind in document.Root.StructTreeRoot.get("/RoleMap", {})}
    used = {str(element.S).lstrip("/") for element in elements(document)}
    assert used <= STANDARD | mapped
    assert "/Suspects" not in document.Root.MarkInfo
    assert bool(document.Root.ViewerPreferences.DisplayDocTitle) and str(document.Root.Lang) == "en-GB"
    with document.open_metadata() as said:
        assert said.get("pdfuaid:part") == "1"
        assert any(title in said.get("dc:title") for title in TITLES.values())


def test_links_are_tagged_described_and_in_the_order_of_the_tags(document: pikepdf.Pdf) -> None:
    """ISO 14289-1, 7.18: every link is in the tree and says where it leads; tabs follow the tree."""
    links = [note for page in document.pages for note in page.get("/Annots", [])]
    for page in document.pages:
        assert "/Annots" not in page or page.Tabs == "/S"
    assert all(
        note.Subtype == "/Link" and "/StructParent" in note and str(note.get("/Contents", ""))
        for note in links
    )


def test_every_header_has_a_scope_and_every_figure_a_description(document: pikepdf.Pdf) -> None:
    for element in elements(document):
        if element.S == "/TH":
            given = element.get("/A", [])
            owners = given if isinstance(given, pikepdf.Array) else [given]
            assert any(owner.get("/Scope") in ("/Row", "/Column", "/Both") for owner in owners)
        if element.S in ("/Figure", "/Formula"):
            assert str(element.get("/Alt", "")).strip()
