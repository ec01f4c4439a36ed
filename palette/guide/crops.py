"""What each picture shows of each part: cut out and corrected, to stand beside the colour that was chosen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, lab_to_linear, srgb_decode, srgb_encode
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
    cut = []
    for reference in kit.references:
        if reference.subject == "original" and reference.samples and may_be_printed(reference):
            try:
                cut += _of(kit, reference)
            except InputError:  # the dossier says what is wrong with it
                continue
    return tuple(cut)


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
    places = list(dict.fromkeys(shapes.values()))  # parts that are one piece in the picture share theirs
    boxes = [frame(shape, whole.shape[1], whole.shape[0]) for shape in places]
    cuts = [np.nan_to_num(whole[y0:y1, x0:x1], nan=1.0) for x0, y0, x1, y1 in boxes]
    if correct is None:
        seen = [small_srgb(cut, WIDTH, HEIGHT) for cut in cuts]
    else:
        middles = [
            ((x0 + x1) / 2 / whole.shape[1], (y0 + y1) / 2 / whole.shape[0]) for x0, y0, x1, y1 in boxes
        ]
        seen = _corrected(cuts, middles, correct)
    drawn = {
        shape: _jpeg(levels, shape, box, whole.shape)
        for shape, box, levels in zip(places, boxes, seen, strict=True)
    }
    return [Crop(part, reference.id, drawn[shape]) for part, shape in shapes.items()]


def _area(shape: Points) -> float:
    xs, ys = zip(*shape, strict=True)
    return float((max(xs) - min(xs)) * (max(ys) - min(ys)))


def _jpeg(
    levels: NDArray[np.uint8], shape: Points, box: tuple[int, int, int, int], size: tuple[int, ...]
) -> bytes:
    """What is seen in a box of a picture, with the place outlined."""
    from PIL import Image, ImageDraw

    x0, y0, x1, y1 = box
    image = Image.fromarray(levels).resize((3 * WIDTH, 3 * HEIGHT), Image.Resampling.BICUBIC)
    across, down = size[1] / (x1 - x0), size[0] / (y1 - y0)
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


def _corrected(
    cuts: Sequence[Linear], middles: Sequence[tuple[float, float]], correct: Correct
) -> list[NDArray[np.uint8]]:
    """Cuts of a picture, corrected, as sRGB (HEIGHT, WIDTH, 3); `middles` are where they are in it."""
    from scipy.ndimage import map_coordinates

    # A correction is dear by the colour: it is worked out on a lattice of each crop's own, at its middle
    seen = [srgb_encode(np.clip(_small(cut).reshape(-1, 3), 0.0, None)).T for cut in cuts]
    low = [each.min(axis=1)[:, None] for each in seen]
    span = [np.maximum(np.ptp(each, axis=1), 1e-6)[:, None] for each in seen]
    steps = np.linspace(0.0, 1.0, _NODES)
    nodes = np.stack(
        [
            np.stack(np.meshgrid(*(least + wide * steps), indexing="ij"), axis=-1).reshape(-1, 3)
            for least, wide in zip(low, span, strict=True)
        ]
    )
    lab = correct(srgb_decode(nodes.reshape(-1, 3)), np.repeat(np.array(middles), _NODES**3, axis=0))
    lattices = srgb_encode(lab_to_linear(lab)).reshape(len(cuts), _NODES, _NODES, _NODES, 3)
    corrected_cuts = []
    for each, least, wide, lattice in zip(seen, low, span, lattices, strict=True):
        at = (each - least) / wide * (_NODES - 1)
        channels = [map_coordinates(lattice[..., c], at, order=1, mode="nearest") for c in range(3)]
        levels = np.clip(np.stack(channels, axis=-1), 0.0, 1.0).reshape(HEIGHT, WIDTH, 3)
        corrected_cuts.append(np.asarray(np.round(255 * levels), dtype=np.uint8))
    return corrected_cuts


def _small(cut: Linear) -> Array:
    """A cut as linear light (HEIGHT, WIDTH, 3), averaged."""
    from PIL import Image

    size, box = (WIDTH, HEIGHT), Image.Resampling.BOX
    channels = [np.ascontiguousarray(cut[..., c], dtype=np.float32) for c in range(3)]
    small = [np.asarray(Image.fromarray(channel).resize(size, box), np.float64) for channel in channels]
    return np.stack(small, axis=-1)
