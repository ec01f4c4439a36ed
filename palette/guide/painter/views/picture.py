"""The model as a reference shows it: the sampled places outlined, numbers around it, each step's places
lit."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from palette import cache
from palette.errors import InputError
from palette.guide.chips import tidy
from palette.guide.illustrations import may_be_printed
from palette.guide.painter.show import Shown
from palette.guide.painter.views.callouts import MARGIN, framed
from palette.guide.painter.views.rings import Box, ringed
from palette.guide.places import Points, points
from palette.kit.model import Kit, Reference
from palette.memory import digest
from palette.words.catalogue import Words

WIDTH, TALLEST = 160.0, 100.0  # mm: the view fits into this
_LARGE, _SMALL = 1500, 520  # pixels across
_FADED = 0.72  # how near to white what is not lit is


def draw(kit: Kit, groups: Sequence[tuple[str, ...]], words: Words) -> Shown:
    """The kit's `cover`, or the reference that shows most parts, with every part's largest place numbered.

    Where its picture may not be printed its places are outlined on an empty ground; where there is none at
    all, every part is unseen.
    """
    from PIL import Image

    number = {part.id: index for index, part in enumerate(kit.parts, 1)}
    reference = _cover(kit, number.keys())
    if reference is None:
        return Shown(unseen=tuple(part.id for part in kit.parts))
    opened = _open(kit, reference)
    if opened is None:
        return Shown(unseen=tuple(part.id for part in kit.parts))
    levels, full = opened
    height, width = levels.shape[:2]
    shapes = {
        id: [points(s.region, *full) for s in reference.samples if s.part == id]
        for id in dict.fromkeys(s.part for s in reference.samples)
        if id in number
    }
    size = min(WIDTH / width, TALLEST / height)
    across, down = width * size, height * size
    ids = sorted(shapes, key=number.__getitem__)
    targets = []
    for id in ids:
        largest = max(shapes[id], key=_area)
        x, y = (sum(p[k] for p in largest) / len(largest) for k in (0, 1))
        targets.append((MARGIN + x * across, MARGIN + y * down))
    caption = "picture" if may_be_printed(reference) else "bare"
    view = framed(0, across, down, targets, [number[id] for id in ids], caption)
    pictures = [_jpeg(_outlined(levels, [shape for id in ids for shape in shapes[id]], 2))]
    lit: dict[tuple[str, ...], int] = {}
    ratio = min(1.0, _SMALL / max(width, height))
    small = np.asarray(
        Image.fromarray(levels).resize((max(1, round(width * ratio)), max(1, round(height * ratio))))
    )
    for group in groups:
        chosen = [shape for id in group for shape in shapes.get(id, [])]
        if chosen:
            lit[tuple(sorted(group))] = len(pictures)
            pictures.append(_jpeg(_lit(small, chosen)))
    unseen = tuple(part.id for part in kit.parts if part.id not in shapes)
    credit = tidy(reference.credit)
    credits = (words("picture-credit", credit=credit),) if credit else ()
    several = len(kit.references) > 1
    return Shown(tuple(pictures), (view,), lit, unseen, {}, credits, one_picture=several)


def _cover(kit: Kit, ids: object) -> Reference | None:
    """The reference named for it, else the one that shows most parts; of equal ones one that may be
    printed, in colour, the first."""
    known = set(ids)  # type: ignore[call-overload]
    usable = [r for r in kit.references if any(s.part in known for s in r.samples)]
    named = [r for r in usable if r.id == kit.cover]
    originals = [r for r in usable if r.subject == "original"] or usable
    if named:
        return named[0]
    if not originals:
        return None

    def shows(reference: Reference) -> tuple[bool, int, bool]:
        count = len({s.part for s in reference.samples} & known)
        return (may_be_printed(reference), count, reference.tone == "colour")

    return max(originals, key=shows)


def _open(kit: Kit, reference: Reference) -> tuple[NDArray[np.uint8], tuple[int, int]] | None:
    """Levels (h, w, 3) of the corrected picture, or an empty ground, and the whole picture's size."""
    from palette.evidence.combine.corrected import corrected
    from palette.evidence.pictures import looking
    from palette.evidence.pictures.decode import open_picture, resampled, small_srgb
    from palette.report.look import look

    try:
        picture = open_picture(reference.file)
    except InputError:
        return None
    full = (picture.width, picture.height)
    ratio = min(1.0, _LARGE / max(full))
    width, height = (max(1, round(side * ratio)) for side in full)
    if not may_be_printed(reference):
        return np.full((height, width, 3), 250, np.uint8), full
    try:
        correction = None if reference.tone == "grey" else corrected(kit, reference).correction
    except InputError:
        correction = None  # as it is, then; the dossier says what is wrong

    def levels() -> NDArray[np.uint8]:
        linear = resampled(picture.reduced(4 * width * height), width, height)  # fewer pixels to correct
        correct = None if correction is None else look(kit, reference).correct
        if correct is not None:
            linear = looking.corrected(linear, correct)
        return small_srgb(linear, width, height)

    key = cache.key("cover", cache.content(reference.file), digest(correction), width, height)
    return cache.remember(key, levels), full


def _area(shape: Points) -> float:
    x, y = zip(*shape, strict=True)
    return float(abs(sum(x[i - 1] * y[i] - x[i] * y[i - 1] for i in range(len(shape)))) / 2)


def _outlined(levels: NDArray[np.uint8], shapes: Sequence[Points], weight: int) -> NDArray[np.uint8]:
    from PIL import Image, ImageDraw

    picture = Image.fromarray(levels)
    pen = ImageDraw.Draw(picture)
    for shape in shapes:
        line = [(x * picture.width, y * picture.height) for x, y in (*shape, shape[0])]
        pen.line(line, fill=(0, 0, 0), width=3 * weight, joint="curve")
        pen.line(line, fill=(255, 255, 255), width=weight, joint="curve")
    return np.asarray(picture)


def _lit(levels: NDArray[np.uint8], shapes: Sequence[Points]) -> NDArray[np.uint8]:
    """A pale grey copy in which just these places have their colour, each in a ring that the eye finds."""
    from PIL import Image, ImageDraw

    grey = levels.astype(np.float64) @ np.array([0.2126, 0.7152, 0.0722])
    pale = np.repeat((grey + (255 - grey) * _FADED)[..., None], 3, axis=-1).round().astype(np.uint8)
    mask = Image.new("L", (levels.shape[1], levels.shape[0]), 0)
    pen = ImageDraw.Draw(mask)
    for shape in shapes:
        pen.polygon([(x * mask.width, y * mask.height) for x, y in shape], fill=255)
    there = np.asarray(mask) > 0
    pale[there] = levels[there]
    boxes: list[Box] = []
    for shape in shapes:
        xs, ys = ([p[k] * side for p in shape] for k, side in ((0, mask.width), (1, mask.height)))
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    return ringed(_outlined(pale, shapes, 1), boxes)


def _jpeg(levels: NDArray[np.uint8]) -> bytes:
    from PIL import Image

    stream = BytesIO()
    Image.fromarray(levels).save(stream, "JPEG", quality=86)
    return stream.getvalue()
