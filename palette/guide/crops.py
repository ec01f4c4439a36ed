"""What each picture shows of each part: cut out and corrected, to stand beside the colour that was chosen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import lab_to_linear, srgb_decode, srgb_encode
from palette.errors import InputError
from palette.evidence.pictures.decode import Linear, open_picture, small_srgb
from palette.evidence.pictures.looking import Correct
from palette.guide.illustrations import may_be_printed
from palette.guide.places import Points, points
from palette.kit.model import Kit, Reference

WIDTH, HEIGHT = 96, 64  # pixels of a crop
_AROUND = 0.4  # of the place's sides: what is shown around it
_NODES = 4  # of the lattice, each way
_PIXELS = 1 << 21  # of the whole picture, reduced


@dataclass(frozen=True)
class Crop:
    """A part's place in one picture as JPEG, corrected where the picture is in colour."""

    part: str
    reference: str
    jpeg: bytes


def crops(kit: Kit) -> tuple[Crop, ...]:
    """The places of all parts in all pictures of the original, a part's largest in each. A picture that may
    not be reproduced, cannot be opened or cannot be corrected has none."""
    found = []
    for reference in kit.references:
        if reference.subject == "original" and reference.samples and may_be_printed(reference):
            try:
                found += _of(kit, reference)
            except InputError:  # the dossier says what is wrong with it
                continue
    return tuple(found)


def _of(kit: Kit, reference: Reference) -> list[Crop]:
    picture = open_picture(reference.file)
    correct = None
    if reference.tone != "grey":
        from palette.report.look import look

        correct = look(kit, reference).correct
    shapes: dict[str, Points] = {}
    for sample in reference.samples:
        shape = points(sample.region, picture.width, picture.height)
        shapes[sample.part] = max(shapes.get(sample.part, shape), shape, key=_area)
    whole = picture.reduced(_PIXELS)
    return [Crop(part, reference.id, _jpeg(whole, shape, correct)) for part, shape in shapes.items()]


def _area(shape: Points) -> float:
    xs, ys = zip(*shape, strict=True)
    return float((max(xs) - min(xs)) * (max(ys) - min(ys)))


def _jpeg(whole: Linear, shape: Points, correct: Correct | None) -> bytes:
    from PIL import Image, ImageDraw

    x0, y0, x1, y1 = frame(shape, whole.shape[1], whole.shape[0])
    cut = np.nan_to_num(whole[y0:y1, x0:x1], nan=1.0)
    levels = (
        small_srgb(cut, WIDTH, HEIGHT) if correct is None else _corrected(whole, (x0, y0, x1, y1), correct)
    )
    image = Image.fromarray(levels).resize((3 * WIDTH, 3 * HEIGHT), Image.Resampling.BICUBIC)
    across, down = whole.shape[1] / (x1 - x0), whole.shape[0] / (y1 - y0)
    line = [
        ((x * across - x0 / (x1 - x0)) * image.width, (y * down - y0 / (y1 - y0)) * image.height)
        for x, y in (*shape, shape[0])
    ]
    pen = ImageDraw.Draw(image)
    for fill, width in (((0, 0, 0), 5), ((255, 255, 255), 2)):
        pen.line(line, fill=fill, width=width, joint="curve")
    stream = BytesIO()
    image.save(stream, "JPEG", quality=88)
    return stream.getvalue()


def frame(shape: Points, width: int, height: int) -> tuple[int, int, int, int]:
    """What of a picture of `width` × `height` pixels is shown around a place (x0, y0, x1, y1), in the shape
    of a crop as far as the picture reaches."""
    xs, ys = [p[0] * width for p in shape], [p[1] * height for p in shape]
    w = (1 + 2 * _AROUND) * max(max(xs) - min(xs), (max(ys) - min(ys)) * WIDTH / HEIGHT, 6.0)
    w = min(w, float(width), height * WIDTH / HEIGHT)
    h = w * HEIGHT / WIDTH
    x = min(max((min(xs) + max(xs) - w) / 2, 0.0), width - w)
    y = min(max((min(ys) + max(ys) - h) / 2, 0.0), height - h)
    x0, y0 = int(x), int(y)
    return x0, y0, min(width, max(x0 + 1, round(x + w))), min(height, max(y0 + 1, round(y + h)))


def _corrected(whole: Linear, box: Sequence[int], correct: Correct) -> NDArray[np.uint8]:
    """The part of a picture in `box`, corrected, as sRGB (HEIGHT, WIDTH, 3)."""
    from PIL import Image
    from scipy.ndimage import map_coordinates

    x0, y0, x1, y1 = box
    cut = np.nan_to_num(whole[y0:y1, x0:x1], nan=1.0).astype(np.float32)
    channels = [
        Image.fromarray(np.ascontiguousarray(cut[..., c])).resize((WIDTH, HEIGHT), Image.Resampling.BOX)
        for c in range(3)
    ]
    small = np.stack([np.asarray(channel, np.float64) for channel in channels], axis=-1)
    # A correction is dear by the colour: it is worked out on a lattice of the crop's own, at its middle
    seen = srgb_encode(np.clip(small.reshape(-1, 3), 0.0, None)).T
    low, span = seen.min(axis=1), np.maximum(np.ptp(seen, axis=1), 1e-6)
    axes = low[:, None] + span[:, None] * np.linspace(0.0, 1.0, _NODES)
    nodes = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    middle = np.array([(x0 + x1) / 2 / whole.shape[1], (y0 + y1) / 2 / whole.shape[0]])
    lab = correct(srgb_decode(nodes.reshape(-1, 3)), np.tile(middle, (_NODES**3, 1)))
    lattice = srgb_encode(lab_to_linear(lab)).reshape(*nodes.shape)
    at = (seen - low[:, None]) / span[:, None] * (_NODES - 1)
    levels = np.stack([map_coordinates(lattice[..., c], at, order=1, mode="nearest") for c in range(3)], -1)
    levels = np.clip(levels, 0.0, 1.0).reshape(HEIGHT, WIDTH, 3)
    return np.asarray(np.round(255 * levels), dtype=np.uint8)
