"""The dossier as a PDF, on A4 or US Letter."""

from __future__ import annotations

from dataclasses import asdict
from importlib.resources import files
from typing import Any

from palette.guide.dossier.content import Dossier
from palette.typeset.pages import pages


def render(dossier: Dossier, paper: str = "a4") -> bytes:
    """The PDF of a dossier. The same dossier gives the same bytes on one machine."""
    source = files("palette.guide.dossier").joinpath("dossier.typ").read_bytes()
    return pages(source, document(dossier, paper))


def document(dossier: Dossier, paper: str) -> dict[str, Any]:
    """What the template is given."""
    plain = asdict(dossier)
    del plain["pictures"]
    return {
        "dossier": plain,
        "paper": paper,
        "pictures": [list(picture) for picture in dossier.pictures],
        "author": [dossier.maker] if dossier.maker else [],
    }
