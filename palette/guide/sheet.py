"""A sheet of colours, as a PNG or a PDF: a picture beside its colours, their shares, words and paints."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem
from palette.files import replace_whole
from palette.guide.chips import seen_key
from palette.paints.match import MatchedColour
from palette.sample.pictured import ClusteredPicture
from palette.typeset.pages import whole
from palette.words.catalogue import Words

KINDS = (".png", ".pdf")
PAINTS = 3  # of each colour; more would not be read
_DOTS_PER_INCH = 144
_MARK = 0.045  # of the longer side of a picture: the width of a number's disc on it
_MOST_ROWS = 100  # of a PNG, which is one page


def write_sheet(
    path: Path,
    colours: Sequence[MatchedColour],
    pictures: Sequence[ClusteredPicture] = (),
    words: Words | None = None,
) -> None:
    """Write a sheet; the file's ending says which kind.

    Raises:
        InputError: another ending, a place that cannot be written, or too many colours for one PNG.
    """
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise InputError(Problem(str(path), None, "is neither .png nor .pdf", "end its name in one of these"))
    if kind == ".png" and len(colours) > _MOST_ROWS:
        what = f"holds {len(colours)} colours, too many for one picture"
        raise InputError(Problem(str(path), None, what, "write a .pdf"))
    replace_whole(path, render(colours, pictures, "pdf" if kind == ".pdf" else "png", words))


def render(
    colours: Sequence[MatchedColour],
    pictures: Sequence[ClusteredPicture],
    kind: Literal["png", "pdf"],
    words: Words | None = None,
) -> bytes:
    """The sheet as the bytes of a 'png' or a 'pdf'."""
    import typst

    images = [list(_png(picture)) for picture in pictures]
    document = {**_data(colours, pictures, words or Words()), "pictures": images, "paged": kind == "pdf"}
    source = whole(files("palette.guide").joinpath("sheet.typ").read_bytes())
    with as_file(files("palette.typeset.fonts")) as folder:
        result = typst.compile(
            source,
            font_paths=typst.Fonts(font_paths=[str(folder)]),
            sys_inputs={"data": json.dumps(document)},
            format=kind,
            ppi=_DOTS_PER_INCH,
            timestamp=0 if kind == "pdf" else None,
        )
    return bytes(result[0] if isinstance(result, list) else result)


def _data(colours: Sequence[MatchedColour], pictures: Sequence[ClusteredPicture], w: Words) -> dict[str, Any]:
    if len(pictures) == 1:
        title = w("sheet-title-of", file=pictures[0].file.name)
    elif pictures:
        title = w("sheet-title-of-several", count=len(pictures))
    else:
        title = w("sheet-title-paints")
    count = w("sheet-count", count=len(colours))
    paints = any(one.paints for one in colours)
    return {
        "title": title,
        "subtitle": w("sheet-largest-first", colours=count) if pictures else count,
        "light": w("sheet-full-light") if pictures else "",
        "language": w.language,
        "words": w.all("sheet-label"),
        "shares": bool(pictures),
        "paints": paints,
        "rows": [
            {
                "number": str(number),
                "hex": one.hex,
                "name": w.colour(one.name),
                "id": "" if one.id == one.hex else one.id,
                "share": one.share or 0.0,
                "share_text": "" if one.share is None else w("percent", amount=w.number(one.share * 100)),
                "lab": "  ".join(w.number(value) for value in one.lab),
                "paints": [
                    {
                        "hex": one.paint_hex(paint),
                        "swatch": paint.swatch,
                        "name": paint.name,
                        "range": ", ".join(
                            filter(None, (paint.range, w("sheet-retired") if paint.retired else ""))
                        ),
                        "difference": w.number(paint.difference),
                        "shows": w(f"seen-{seen_key(paint.difference)}"),
                    }
                    for paint in one.paints[:PAINTS]
                ],
            }
            for number, one in enumerate(colours, 1)
        ],
        "views": [
            {
                "file": picture.file.name,
                "details": w(
                    "sheet-pixels",
                    width=str(picture.width),
                    height=str(picture.height),
                    profile=picture.profile,
                ),
                "alt": w("sheet-alt", file=picture.file.name),
                "aspect": picture.width / picture.height,
                "marks": _marks(picture.labels),
            }
            for picture in pictures
        ],
    }


def _png(picture: ClusteredPicture) -> bytes:
    from PIL import Image

    from palette.evidence.pictures.decode import small_srgb

    height, width = picture.small.shape[:2]
    stream = io.BytesIO()
    Image.fromarray(small_srgb(picture.small, width, height)).save(stream, "PNG")
    return stream.getvalue()


def _marks(labels: NDArray[np.int32]) -> list[dict[str, Any]]:
    """Where each colour's number goes: the middle of the roomiest place it has, as fractions.

    The smallest colours choose first, and no number goes onto another if its colour has room elsewhere.
    """
    from scipy.ndimage import distance_transform_edt

    marks: list[dict[str, Any]] = []
    free = np.ones(labels.shape, dtype=bool)
    y, x = np.ogrid[: labels.shape[0], : labels.shape[1]]
    numbers, areas = np.unique(labels[labels >= 0], return_counts=True)
    for number in numbers[np.argsort(areas, kind="stable")]:
        own = labels == number
        room = distance_transform_edt(np.pad(own, 1))[1:-1, 1:-1]
        if (own & free).any():
            room = np.where(free, room, 0)
        row, column = np.unravel_index(int(np.argmax(room)), room.shape)
        free &= np.hypot(y - row, x - column) > _MARK * max(labels.shape)
        marks.append(
            {
                "number": int(number) + 1,
                "x": (float(column) + 0.5) / labels.shape[1],
                "y": (float(row) + 0.5) / labels.shape[0],
            }
        )
    return marks
