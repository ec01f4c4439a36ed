"""The references' pictures, small, for the page. One that cannot be opened becomes a note, not an error."""

from __future__ import annotations

import re
from dataclasses import dataclass
from io import BytesIO

from palette.errors import InputError
from palette.kit.model import Kit, Reference
from palette.words.catalogue import Words

_DENIES = re.compile(
    r"all rights|no licen[cs]e|unlicen[cs]ed|unknown|none|private|"
    r"not (?:for|to be)|permission (?:denied|refused)",
    re.IGNORECASE,
)
LONGER_SIDE = 900  # pixels: 270 dots an inch at the width it is printed


@dataclass(frozen=True)
class Illustration:
    """A small picture as JPEG (b'' where `missing` says why there is none); `width` and `height` are those of
    the whole picture, in which regions are counted."""

    jpeg: bytes
    width: int
    height: int
    missing: str = ""


def may_be_printed(reference: Reference) -> bool:
    """Whether a picture may be reproduced: its maker prints it, and a licence is given that does not deny
    it."""
    return reference.print and bool(reference.licence.strip()) and not _DENIES.search(reference.licence)


def illustrations(kit: Kit, words: Words | None = None) -> dict[str, Illustration]:
    """The pictures of a kit's references to the original, by id; those that may not be reproduced without
    one."""
    words = words or Words()
    from PIL import Image

    from palette.evidence.pictures.decode import open_picture, thumbnail

    drawn = {}
    for reference in (r for r in kit.references if r.subject == "original"):
        if not may_be_printed(reference):
            why = words("picture-no-licence" if reference.print else "picture-not-printed")
            drawn[reference.id] = Illustration(b"", 0, 0, why)
            continue
        try:
            picture = open_picture(reference.file)
            small = Image.fromarray(thumbnail(reference.file, LONGER_SIDE))
        except InputError as error:
            reason = "; ".join(problem.what for problem in error.problems)
            drawn[reference.id] = Illustration(b"", 0, 0, f"{reference.file.name}: {reason}")
            continue
        stream = BytesIO()
        if reference.tone == "grey":
            small = small.convert("L")
        small.save(stream, "JPEG", quality=88)
        drawn[reference.id] = Illustration(stream.getvalue(), picture.width, picture.height)
    return drawn
