"""The painter's guide as a PDF, on A4 or US Letter."""

from __future__ import annotations

from dataclasses import asdict
from importlib.resources import files
from typing import Any

from palette.guide.painter.content import Guide
from palette.typeset.pages import pages


def render(guide: Guide, paper: str = "a4") -> bytes:
    """The PDF of a guide. The same guide gives the same bytes on one machine."""
    return pages(files("palette.guide.painter").joinpath("guide.typ").read_bytes(), document(guide, paper))


def document(guide: Guide, paper: str) -> dict[str, Any]:
    """What the template is given."""
    plain = asdict(guide)
    del plain["pictures"], plain["targets"]
    code = qr_code(guide.page) if guide.page else None
    return {
        "guide": plain,
        "paper": paper,
        "pictures": [list(picture) for picture in guide.pictures],
        "author": [guide.maker] if guide.maker else [],
        "qr": None if code is None else list(code),
    }


def qr_code(address: str) -> bytes | None:
    """A QR code as SVG; None where the address is too long for one (ISO/IEC 18004)."""
    from io import BytesIO

    import segno

    try:
        code = segno.make(address, error="m", micro=False)
    except segno.DataOverflowError:
        return None
    stream = BytesIO()
    code.save(stream, kind="svg", border=2, xmldecl=False)
    return stream.getvalue()
