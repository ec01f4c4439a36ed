"""A reference as it is beside corrected, with its anchors and samples drawn, as one picture to look at."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from palette.colour.spaces import Array, lab_to_hex, lab_to_linear, srgb_decode, srgb_encode
from palette.evidence.pictures.decode import Linear, Picture, small_srgb
from palette.evidence.pictures.labels import Box, Weights, least_hidden, overlap
from palette.evidence.pictures.regions import Mask
from palette.kit.model import Polygon, Rect, Region

if TYPE_CHECKING:
    from PIL import Image, ImageDraw

# Linear light (n, 3) and where it is (n, 2), as fractions of the picture, to CIELAB (n, 3).
Correct: TypeAlias = Callable[[Array, Array], Array]


PANEL = 900  # pixels of a panel's longer side, at most
_MARGIN = 36
_GAP = 24
_INK, _PAPER, _SOFT = (24, 24, 24), (255, 255, 255), (110, 110, 110)
_HIDING = Weights(outside=20, label=4, mark=1)
_LABELS = ((16, 16), (16, 13), (16, 10), (12, 10))  # pixels; sizes of the samples' and the anchors' names
_LATTICE = 13  # colours along each channel at which a correction is worked out …
_PLACES = 3  # … at so many places across and down


@dataclass(frozen=True)
class Mark:
    """A region to draw: a sample with a solid outline, an anchor with a dashed one, as in the guide."""

    region: Region
    label: str
    anchor: bool


@dataclass(frozen=True)
class AnchorRow:
    """One anchor in the table below the panels."""

    label: str
    words: str  # its colour as the kit states it
    stated: Array | None  # Lab (3,); None for a grey of unknown lightness
    corrected: Array  # Lab (3,) after the correction
    difference: float | None  # CIEDE2000 that remains
    left_out: float | None  # when the other anchors alone predict it
    note: str = ""


@dataclass(frozen=True)
class Look:
    """What is to be shown of one reference."""

    picture: Picture
    title: str
    lines: tuple[str, ...]  # facts below the title
    marks: tuple[Mark, ...]
    correct: Correct | None  # None where there is nothing to correct, as in a grey picture
    caption: str  # of the corrected panel
    rows: tuple[AnchorRow, ...] = ()
    notes: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()  # those of the notes that ask for something to be done


def corrected(small: Linear, correct: Correct) -> Linear:
    """A small linear picture (h, w, 3) through a correction, pixel by pixel, in linear light.

    The correction is worked out on a lattice of colours and places, where the picture has any, and
    interpolated between: a picture has more pixels than colours. The lattice is even in encoded levels, up to
    the brightest there is.
    """
    from scipy.interpolate import RegularGridInterpolator

    height, width = small.shape[:2]
    light = np.where(np.isfinite(small), small, 0.0).astype(np.float64)
    levels = srgb_encode(light)
    low, high = min(0.0, float(levels.min())), max(1.0, float(levels.max()))
    axis = np.linspace(low, high, _LATTICE)
    place = np.linspace(0.0, 1.0, _PLACES)
    axes = (place, place, axis, axis, axis)
    x = np.broadcast_to((np.arange(width) + 0.5)[None, :] / width, (height, width))
    y = np.broadcast_to((np.arange(height) + 0.5)[:, None] / height, (height, width))
    points = np.concatenate([np.stack([x, y], axis=-1), levels], axis=-1)
    used = _around(points.reshape(-1, 5), axes)
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)[used]
    table = np.zeros((*used.shape, 3))
    table[used] = srgb_encode(lab_to_linear(correct(srgb_decode(grid[:, 2:]), grid[:, :2])))
    shown = srgb_decode(RegularGridInterpolator(axes, table)(points))
    shown[~np.isfinite(small)] = np.nan
    return shown.astype(np.float32)


def _around(points: Array, axes: Sequence[Array]) -> Mask:
    """The nodes of an even lattice between which any of the points (n, d) lies."""
    used = np.zeros([len(axis) for axis in axes], dtype=bool)
    steps = [(axis[-1] - axis[0]) / (len(axis) - 1) for axis in axes]
    cells = (points - [axis[0] for axis in axes]) / steps
    cells = np.clip(cells.astype(int), 0, np.array(used.shape) - 2)
    used.flat[np.unique(np.ravel_multi_index(tuple(cells.T), used.shape))] = True
    for axis in range(used.ndim):  # a cell has two ends along each axis
        upper = np.roll(used, 1, axis=axis)
        np.moveaxis(upper, axis, 0)[0] = False
        used |= upper
    return used


def draw(look: Look) -> Image.Image:
    """The sheet: title, the panels side by side, the anchors with what remains of their error, notes."""
    from PIL import Image, ImageDraw

    picture = look.picture
    side = max(picture.width, picture.height)
    # A picture too small to be labelled is shown larger, in whole steps.
    scale = PANEL / side if side > PANEL else float(max(1, 360 // side))
    width, height = (max(1, round(side * scale)) for side in (picture.width, picture.height))
    small = picture.reduced(4 * width * height)
    panels = [("As it is", _panel(small, width, height))]
    if look.correct is not None:
        shown = corrected(_within(small, width * height), look.correct)
        panels.append((look.caption, _panel(shown, width, height)))
    head, note, table = _font(30, bold=True), _font(17), _font(18)
    full = max(2 * _MARGIN + len(panels) * width + (len(panels) - 1) * _GAP, 2 * _MARGIN + 860)
    inner = full - 2 * _MARGIN
    column = (inner - (len(panels) - 1) * _GAP) // len(panels)
    notes = [
        line
        for text in look.notes
        for line in _wrapped(text, note, inner - 18, "! " if text in look.problems else "· ")
    ]
    remarks = [_wrapped(row.note, _font(15), int(inner - _note_at(inner))) for row in look.rows]
    heights = [max(40, 20 * len(lines) + 16) for lines in remarks]
    facts = [line for text in look.lines for line in _wrapped(text, note, inner)]
    captions = [_wrapped(caption, _font(18, bold=True), column) for caption, _ in panels]
    caption_height = 26 * max(len(lines) for lines in captions)
    top = _MARGIN + 46 + 24 * len(facts) + 16
    below = top + caption_height + height + 28
    rows_height = 40 + sum(heights) + 14 if look.rows else 0
    sheet = Image.new("RGB", (full, below + rows_height + 24 * len(notes) + _MARGIN), _PAPER)
    pen = ImageDraw.Draw(sheet)
    pen.text((_MARGIN, _MARGIN - 8), _fitted(look.title, head, inner), font=head, fill=_INK)
    for i, line in enumerate(facts):
        pen.text((_MARGIN, _MARGIN + 38 + 24 * i), line, font=note, fill=_SOFT)
    for i, ((_, panel), lines) in enumerate(zip(panels, captions, strict=True)):
        left = _MARGIN + i * (column + _GAP)
        for j, line in enumerate(lines):
            pen.text((left, top + 26 * j), line, font=_font(18, bold=True), fill=_INK)
        panel = _marked(panel, look.marks, scale)
        sheet.paste(panel, (left, top + caption_height))
        frame = (left - 1, top + caption_height - 1, left + width, top + caption_height + height)
        pen.rectangle(frame, outline=_SOFT)
    if look.rows:
        _table(pen, look.rows, remarks, heights, below, inner, table)
    for i, line in enumerate(notes):
        pen.text((_MARGIN, below + rows_height + 24 * i), line, font=note, fill=_INK)
    return sheet


def _within(small: Linear, pixels: int) -> Linear:
    step = max(1, int(np.ceil(np.sqrt(small.shape[0] * small.shape[1] / pixels) - 1e-9)))
    return small[::step, ::step]


def _panel(linear: Linear, width: int, height: int) -> Image.Image:
    from PIL import Image

    return Image.fromarray(small_srgb(linear, width, height))


# -- marks ---------------------------------------------------------------------------------------


def _marked(panel: Image.Image, marks: Sequence[Mark], scale: float) -> Image.Image:
    """Outlines in black on white, so that they show on any ground and in print; then labels, where free."""
    from PIL import ImageDraw

    pen = ImageDraw.Draw(panel)
    boxes: list[Box] = []
    for mark in marks:
        outline = _outline(mark.region, scale)
        _stroke(pen, outline, not mark.anchor, panel.size)
        xs, ys = [x for x, _ in outline], [y for _, y in outline]
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    taken, sizes = _labels(panel.size, marks, boxes)
    for mark, place, size in zip(marks, taken, sizes, strict=True):
        _label(pen, mark, place, size)
    return panel


def _outline(region: Region, scale: float) -> list[tuple[float, float]]:
    """Corners of a region in the panel, closed."""
    if isinstance(region, Rect):
        x0, y0, x1, y1 = region.x, region.y, region.x + region.width, region.y + region.height
        points = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    elif isinstance(region, Polygon):
        points = list(region.points)
    else:
        angles = np.linspace(0, 2 * np.pi, 73)[:-1]
        points = [
            (region.x + region.radius * float(np.cos(a)), region.y + region.radius * float(np.sin(a)))
            for a in angles
        ]
    scaled = [(x * scale, y * scale) for x, y in points]
    return [*scaled, scaled[0]]


def _stroke(
    pen: ImageDraw.ImageDraw, outline: Sequence[tuple[float, float]], solid: bool, size: tuple[int, int]
) -> None:
    shown = _shown(outline, size)
    for line in shown:
        pen.line(line, fill=_PAPER, width=5, joint="curve")
    if solid:
        for line in shown:
            pen.line(line, fill=_INK, width=2, joint="curve")
        return
    left, on = 7.0, True  # dashes run on round the corners
    for (ax, ay), (bx, by) in (pair for line in shown for pair in pairwise(line)):
        length, done = float(np.hypot(bx - ax, by - ay)), 0.0
        while done < length:
            step = min(left, length - done)
            if on:
                at = [done / length, (done + step) / length]
                pen.line([(ax + (bx - ax) * t, ay + (by - ay) * t) for t in at], fill=_INK, width=2)
            done, left = done + step, left - step
            if left <= 1e-9:
                left, on = 7.0, not on


def _shown(outline: Sequence[tuple[float, float]], size: tuple[int, int]) -> list[list[tuple[float, float]]]:
    """The parts of an outline in a panel or just beside it, by Liang and Barsky's clipping; a region may be
    larger than its picture by any factor."""
    beside = 12.0
    lines: list[list[tuple[float, float]]] = []
    for (ax, ay), (bx, by) in pairwise(outline):
        begin, end = 0.0, 1.0
        for start, step, most in ((ax, bx - ax, size[0]), (ay, by - ay, size[1])):
            if step:
                first, last = sorted(((-beside - start) / step, (most + beside - start) / step))
                begin, end = max(begin, first), min(end, last)
            elif not -beside <= start <= most + beside:
                begin, end = 1.0, 0.0
        if begin > end:
            continue
        here, there = ((ax + t * (bx - ax), ay + t * (by - ay)) for t in (begin, end))
        if begin == 0 and lines and lines[-1][-1] == here:
            lines[-1].append(there)
        else:
            lines.append([here, there])
    return lines


def _labels(
    panel: tuple[int, int], marks: Sequence[Mark], boxes: Sequence[Box]
) -> tuple[list[Box], list[int]]:
    """Where the names of marks stand, and how large they are."""
    taken: list[Box] = []
    sizes: list[int] = []
    for of_samples, of_anchors in _LABELS:  # as large as leaves all of them free, where any do
        sizes, taken = [of_anchors if mark.anchor else of_samples for mark in marks], []
        for mark, box, size in zip(marks, boxes, sizes, strict=True):
            taken.append(_place(panel, mark, box, taken, boxes, size))
        if not any(overlap(one, other) for i, one in enumerate(taken) for other in taken[:i]):
            break
    return taken, sizes


def _place(
    panel: tuple[int, int],
    mark: Mark,
    box: Box,
    taken: Sequence[Box],
    boxes: Sequence[Box],
    size: int,
) -> Box:
    """Where the name of a mark stands: beside it, hiding no other name, and as little as can be of marks."""
    x0, y0, x1, y1 = box
    w, h = float(_font(size, bold=True).getlength(_short(mark))) + 0.6 * size, 1.4 * size
    gap = size / 4
    middle_x, middle_y = (x0 + x1 - w) / 2, (y0 + y1 - h) / 2
    places = [
        *((middle_x, y) for y in (y0 - h - gap, y1 + gap)),
        *((x, middle_y) for x in (x1 + gap, x0 - w - gap)),
        *((x, y) for y in (y0 - h - gap, y1 + gap) for x in (x1 + gap, x0 - w - gap)),
        (middle_x, middle_y),
    ]

    candidates = ((x, y, x + w, y + h) for x, y in places)
    x, y, _, _ = least_hidden(candidates, panel, taken, boxes, _HIDING)
    x, y = min(max(x, 0), max(panel[0] - w, 0)), min(max(y, 0), max(panel[1] - h, 0))
    return x, y, x + w, y + h


def _label(pen: ImageDraw.ImageDraw, mark: Mark, place: Box, size: int) -> None:
    fill, ink = (_INK, _PAPER) if mark.anchor else (_PAPER, _INK)
    pen.rounded_rectangle(place, size / 4, fill=fill, outline=_PAPER if mark.anchor else _INK)
    at = (place[0] + 0.3 * size, (place[1] + place[3]) / 2)
    pen.text(at, _short(mark), font=_font(size, bold=True), fill=ink, anchor="lm")


def _short(mark: Mark) -> str:
    return mark.label if len(mark.label) <= 24 else mark.label[:23] + "…"


# -- the table -----------------------------------------------------------------------------------


def _note_at(inner: int) -> float:
    """Where the last column of a table so wide begins."""
    return 60 + 0.27 * inner + 76 + 150 + 120 + 40


def _table(
    pen: ImageDraw.ImageDraw,
    rows: Sequence[AnchorRow],
    remarks: Sequence[Sequence[str]],
    heights: Sequence[int],
    top: int,
    inner: int,
    font: Any,
) -> None:
    """Stated beside corrected for each anchor, its remaining error and what the others alone would miss."""
    left = _MARGIN
    small = _font(15)
    at = {"words": 60, "stated": 60 + 0.27 * inner, "corrected": 60 + 0.27 * inner + 76}
    at["off"] = at["corrected"] + 150
    at["alone"] = at["off"] + 120
    at["note"] = _note_at(inner)
    for key, text, anchor in (
        ("words", "anchor", "ls"),
        ("stated", "stated | corrected", "ls"),
        ("off", "remains", "rs"),
        ("alone", "left out", "rs"),
    ):
        pen.text((left + at[key], top + 22), text, font=small, fill=_SOFT, anchor=anchor)
    pen.line((left, top + 30, left + inner, top + 30), fill=_SOFT)
    foot = top + 34
    for row, lines, height in zip(rows, remarks, heights, strict=True):
        y = foot + height // 2
        foot += height
        pen.text((left, y), row.label, font=_font(18, bold=True), fill=_INK, anchor="lm")
        words = _fitted(row.words, font, int(at["stated"] - at["words"] - 16))
        pen.text((left + at["words"], y), words, font=font, fill=_INK, anchor="lm")
        for key, lab in (("stated", row.stated), ("corrected", row.corrected)):
            x = left + at[key]
            if lab is None:
                pen.rectangle((x, y - 15, x + 76, y + 15), outline=_SOFT)
                pen.line((x, y + 15, x + 76, y - 15), fill=_SOFT)
            else:
                pen.rectangle((x, y - 15, x + 76, y + 15), fill=lab_to_hex(lab))
        for key, value in (("off", row.difference), ("alone", row.left_out)):
            text = "–" if value is None else f"{value:.1f}"
            pen.text((left + at[key], y), text, font=font, fill=_INK, anchor="rm")
        for i, line in enumerate(lines):
            down = y + 20 * (i - (len(lines) - 1) / 2)
            pen.text((left + at["note"], down), line, font=small, fill=_INK, anchor="lm")
    pen.line((left, foot + 2, left + inner, foot + 2), fill=_SOFT)


# -- words ---------------------------------------------------------------------------------------


@cache
def _font(size: int, bold: bool = False) -> Any:
    """DejaVu Sans, which travels with Matplotlib and knows most alphabets."""
    from PIL import ImageFont

    spec = find_spec("matplotlib")
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    for folder in (spec.submodule_search_locations or []) if spec else []:
        file = Path(folder) / "mpl-data" / "fonts" / "ttf" / name
        if file.exists():
            return ImageFont.truetype(str(file), size)
    return ImageFont.load_default(size)


def _fitted(text: str, font: Any, width: int) -> str:
    """The text, cut with an ellipsis where it is wider than the room."""
    if font.getlength(text) <= width:
        return text
    while text and font.getlength(text + "…") > width:
        text = text[:-1]
    return text.rstrip() + "…"


def _wrapped(text: str, font: Any, width: int, bullet: str = "") -> list[str]:
    """The text in lines no wider than the room, the first behind its bullet."""
    lines, line = [], ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and font.getlength(longer) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    lines.append(line)
    lines = [_fitted(one, font, width) for one in lines]
    return [(bullet if i == 0 else "   ") + one for i, one in enumerate(lines)] if bullet else lines


def as_png(image: Image.Image) -> bytes:
    """The bytes of a PNG."""
    import io

    stream = io.BytesIO()
    image.save(stream, "PNG", optimize=True)
    return stream.getvalue()
