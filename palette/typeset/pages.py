"""Pages as PDF: tagged, PDF/UA-1, set by the `typst` package; missing characters boxed and named."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from importlib.resources import as_file, files
from io import BytesIO
from typing import Any

PAPERS = ("a4", "letter")
STAND_IN = "□"


def whole(template: bytes) -> bytes:
    """A template with what text.typ beside this defines before it."""
    return files("palette.typeset").joinpath("text.typ").read_bytes() + template


def pages(source: bytes, document: Mapping[str, Any]) -> bytes:
    """The PDF of a template and its data (`sys.inputs.data`, JSON). The same in, the same bytes out, on one
    machine. What text.typ beside this defines is at hand in every template.

    Characters for which no typeface is at hand are set as □, and `missing_characters` in the data names them.
    The first cell of a table's row becomes its header: the typesetter marks the heads of columns only.
    """
    import typst

    source = whole(source)
    unknown: set[str] = set()
    with as_file(files("palette.typeset.fonts")) as folder:
        fonts = typst.Fonts(font_paths=[str(folder)])
        while True:
            data = _without(dict(document), unknown)
            data["missing_characters"] = " ".join(f"U+{ord(c):04X}" for c in sorted(unknown))
            try:
                made = typst.compile(
                    source,
                    font_paths=fonts,
                    sys_inputs={"data": json.dumps(data)},
                    pdf_standards=["ua-1"],
                    timestamp=0,
                )
            except typst.TypstError as error:
                undrawable = _undrawable(error.diagnostic) - unknown
                if not undrawable:
                    raise
                unknown |= undrawable
                continue
            return row_headers(bytes(made))


def row_headers(raw: bytes) -> bytes:
    """A tagged PDF in which the first cell of every row of a table is the header of that row (ISO 32000-1,
    14.8.4.3.4 and 14.8.5.7: TH with the attribute Scope)."""
    import pikepdf

    with pikepdf.open(BytesIO(raw)) as document:
        marked = document.Root.get("/MarkInfo")
        if marked is not None and "/Suspects" in marked and not bool(marked.Suspects):
            del marked.Suspects  # it is false unless said, and one reader warns of a false
        root = document.Root.get("/StructTreeRoot")
        if root is not None:
            _mark(root, pikepdf)
        out = BytesIO()
        document.save(
            out,
            deterministic_id=True,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            fix_metadata_version=False,
        )
    return out.getvalue()


def _mark(node: Any, pikepdf: Any) -> None:
    waiting = [node]
    while waiting:
        node = waiting.pop()
        if isinstance(node, pikepdf.Array):
            waiting += [kid for kid in node if isinstance(kid, pikepdf.Dictionary | pikepdf.Array)]
            continue
        if node.get("/S") == "/TBody":
            for row in _kids(node, pikepdf):
                cells = _kids(row, pikepdf)
                if cells and cells[0].get("/S") == "/TD":
                    cells[0].S = pikepdf.Name.TH
                    cells[0].A = pikepdf.Dictionary(O=pikepdf.Name.Table, Scope=pikepdf.Name.Row)
        kids = node.get("/K")
        if isinstance(kids, pikepdf.Dictionary | pikepdf.Array):
            waiting.append(kids)


def _kids(node: Any, pikepdf: Any) -> list[Any]:
    kids = node.get("/K")
    kids = list(kids) if isinstance(kids, pikepdf.Array) else [kids]
    return [kid for kid in kids if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]


def _undrawable(diagnostic: str) -> set[str]:
    """The characters that the typesetter says it has no glyph for."""
    undrawable: set[str] = set()
    for text in re.findall(r'the text `"((?:[^"\\]|\\.)*)"` could not be displayed', diagnostic):
        plain = re.sub(r"\\u\{([0-9a-fA-F]+)\}", lambda m: chr(int(m.group(1), 16)), text)
        undrawable |= {c for c in plain if ord(c) > 127 and c != STAND_IN}
    return undrawable


def _without(value: Any, unknown: set[str]) -> Any:
    if not unknown:
        return value
    if isinstance(value, str):
        return "".join(STAND_IN if c in unknown else c for c in value)
    if isinstance(value, dict):
        return {key: _without(item, unknown) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_without(item, unknown) for item in value]
    return value
