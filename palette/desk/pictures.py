"""What the page sees of a kit's pictures and lists: sizes, thumbnails, tiles, the colour under the hand.

Nothing here waits for the scheme: where a correction is known already it is used, else the picture is shown
as it is. What a file costs once, a thumbnail or its levels laid out, is kept by its content.
"""

from __future__ import annotations

import contextlib
import io
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from palette import cache
from palette.colour.spaces import Array, linear_to_lab
from palette.desk import plain
from palette.desk.state import FileFacts
from palette.errors import InputError, Problem
from palette.evidence.pictures.regions import Box
from palette.evidence.pictures.tiles import level_size, tile_box
from palette.kit.model import Kit, Rect, Reference, Region, Spot
from palette.notes import Note

if TYPE_CHECKING:
    from palette.evidence.correction import Correction
    from palette.evidence.measure import Sample
    from palette.evidence.pictures.decode import Picture
    from palette.evidence.pictures.pyramid import Pyramid
    from palette.swatches.model import SwatchList

THUMBS = (240, 480)
_SMALL = 1024  # pixels: tiles of levels up to that are there before the picture has been laid out
_OPEN = 6  # pyramids held open
_ENCODED = 64 << 20  # bytes of encoded tiles kept
_PAINTS = 5
_MIDDLE = 200  # pixels across that tell of grain


class Through(Protocol):
    """What a picture is seen through: `Lut`, or the picture painted."""

    def through(self, levels: NDArray[np.uint8], box: Box, width: int, height: int) -> NDArray[np.uint8]: ...


class Pictures:
    """The pictures and lists of one kit."""

    def __init__(self, swatches: Callable[[], SwatchList], told: Callable[..., None]) -> None:
        self._swatches = swatches
        self._told = told  # an event, to the pages that listen
        self._sizes: dict[tuple[Any, ...], FileFacts] = {}
        self._lists: dict[tuple[Any, ...], dict[str, Any]] = {}
        self._pyramids: OrderedDict[str, Pyramid] = OrderedDict()
        self._encoded: OrderedDict[tuple[Any, ...], bytes] = OrderedDict()
        self._weight = 0
        self._shelf: tuple[SwatchList, SwatchList] | None = None  # the kit's paints, and those to look among
        self._lock = threading.Lock()
        self._laying = threading.Lock()  # one picture is decoded at a time: they are large
        self._reducing = threading.Lock()
        self._small: tuple[Any, NDArray[np.uint8]] | None = None  # the picture that was reduced last
        self.missing: dict[str, tuple[Any, ...]] = {}  # by reference: what it lacks, and what shows the same
        self.corrections: dict[str, Correction] = {}  # by reference, as far as they are known

    # -- files ----------------------------------------------------------------------------------

    def of(self, reference: Reference) -> FileFacts:
        """What is known of a reference's file; its problems where it cannot be read."""
        facts = self._facts(reference.file)
        missing, same = self.missing.get(reference.id, ((), ()))
        return replace(facts, missing=missing, same_as=same)

    def _facts(self, path: Path) -> FileFacts:
        stamp = _stamp(path)
        if stamp not in self._sizes:
            self._sizes[stamp] = _facts(path, stamp)
        return self._sizes[stamp]

    def of_list(self, path: Path) -> dict[str, Any]:
        """How many paints a list holds, its version and its problems."""
        stamp = _stamp(path)
        if stamp not in self._lists:
            self._lists[stamp] = _list(path)
        return self._lists[stamp]

    # -- pictures -------------------------------------------------------------------------------

    def pyramid(self, path: Path) -> Pyramid:
        """A picture laid out; that may take a second, once. InputError where it cannot be read."""
        from palette.evidence.pictures.pyramid import lay_out

        name = str(_stamp(path))
        with self._lock:
            if name in self._pyramids:
                self._pyramids.move_to_end(name)
                return self._pyramids[name]
        with self._laying:  # who waited here finds it laid out
            laid = lay_out(path)
        with self._lock:
            self._pyramids[name] = laid
            while len(self._pyramids) > _OPEN:
                self._pyramids.popitem(last=False)
        return laid

    def laid_out(self, path: Path) -> Pyramid | None:
        """The same where it has been laid out before."""
        from palette.evidence.pictures.pyramid import ready

        name = str(_stamp(path))
        with self._lock:
            if name in self._pyramids:
                return self._pyramids[name]
        laid = ready(path)
        if laid is not None:
            with self._lock:
                self._pyramids[name] = laid
        return laid

    def thumbnail(self, path: Path, side: int) -> bytes:
        """A small upright JPEG, made once for each picture's content."""
        from palette.evidence.pictures.decode import thumbnail

        key = cache.key("thumbnail", cache.content(path), side)
        return self._kept((key,), lambda: cache.remember(key, lambda: jpeg(thumbnail(path, side))))

    def tile(self, path: Path, level: int, x: int, y: int, lut: Through | None, v: str) -> bytes | None:
        """A tile as JPEG, as it is or through a table of corrected colours; None where there is none."""
        laid, facts = self.laid_out(path), self._facts(path)
        width, height = facts.width or 0, facts.height or 0
        box = tile_box(width, height, level, x, y)
        if box is None:
            return None
        wide, high = level_size(width, height, level)
        small = laid is None and max(wide, high) <= _SMALL
        key = (str(_stamp(path)), v, level, x, y, small)

        def make() -> bytes:
            if small:
                levels = self._reduced(path, wide, high)[box[1] : box[3], box[0] : box[2]]
            else:
                levels = (laid or self.pyramid(path)).part(level, box)
            if lut is not None:
                levels = lut.through(levels, box, wide, high)
            return jpeg(levels)

        return self._kept(key, make)

    def _reduced(self, path: Path, width: int, height: int) -> NDArray[np.uint8]:
        """A whole picture that small, without laying it out."""
        from palette.evidence.pictures.decode import open_picture, small_srgb

        key = (str(_stamp(path)), width, height)
        with self._reducing:
            if self._small is None or self._small[0] != key:
                whole = small_srgb(open_picture(path).reduced(4 * width * height), width, height)
                self._small = key, whole
            return self._small[1]

    def soon(self, path: Path) -> None:
        """Lay a picture out, since it is looked at: nobody waits for it here."""

        def lay() -> None:
            with contextlib.suppress(InputError, OSError):
                self.pyramid(path)

        if self.laid_out(path) is None:
            threading.Thread(target=lay, name="lay out", daemon=True).start()

    def crop(self, path: Path, region: Region, side: int, lut: Through | None) -> bytes:
        """The surroundings of a mark as a JPEG of at most `side` pixels."""
        laid = self.pyramid(path)
        width, height = laid.picture.width, laid.picture.height
        x0, y0, x1, y1 = bounds(region)
        margin = max(x1 - x0, y1 - y0) * 0.4 + 4
        box = (
            int(min(max(0, x0 - margin), width - 1)),
            int(min(max(0, y0 - margin), height - 1)),
            int(max(1, min(width, x1 + margin + 1))),
            int(max(1, min(height, y1 + margin + 1))),
        )
        down = 0
        while max(box[2] - box[0], box[3] - box[1]) >> (down + 1) >= side and down < laid.levels - 1:
            down += 1
        level = laid.levels - 1 - down
        wide, high = level_size(width, height, level)
        scaled = (
            box[0] >> down,
            box[1] >> down,
            max((box[0] >> down) + 1, min(wide, box[2] >> down)),
            max((box[1] >> down) + 1, min(high, box[3] >> down)),
        )
        levels = laid.part(level, scaled)
        if lut is not None:
            levels = lut.through(levels, scaled, wide, high)
        return jpeg(levels)

    def _kept(self, key: tuple[Any, ...], make: Callable[[], bytes]) -> bytes:
        with self._lock:
            if key in self._encoded:
                self._encoded.move_to_end(key)
                return self._encoded[key]
        made = make()
        with self._lock:
            if key not in self._encoded:
                self._encoded[key] = made
                self._weight += len(made)
                while self._weight > _ENCODED:
                    _, gone = self._encoded.popitem(last=False)
                    self._weight -= len(gone)
        return made

    # -- the colour under the hand ----------------------------------------------------------------

    def point(self, reference: Reference, x: float, y: float, radius: float) -> dict[str, Any]:
        """What lies within some pixels of a place: the plain mean, at once."""
        laid = self.pyramid(reference.file)
        picture = laid.picture
        from palette.evidence.pictures.regions import pixels

        box, mask = pixels(Spot(x, y, max(radius, 0.6)), picture.width, picture.height)
        if not mask.any():
            box, mask = pixels(Rect(int(x), int(y), 1, 1), picture.width, picture.height)
        if not mask.any():
            raise InputError(
                Problem(None, None, "there is no picture at that place", "point into the picture")
            )
        linear = np.asarray(picture.linear(box), dtype=np.float64)[mask]
        linear = linear[np.isfinite(linear).all(axis=1)]
        if not len(linear):
            raise InputError(Problem(None, None, "the picture is transparent there", "point elsewhere"))
        level = float(np.mean(picture.levels(box)[mask])) if reference.tone == "grey" else None
        mean = linear.mean(axis=0)
        noise = np.cov(linear.T) / max(len(linear), 1) if len(linear) > 1 else np.zeros((3, 3))
        place = (x / picture.width, y / picture.height)
        sd = linear.std(axis=0) if len(linear) > 1 else np.zeros(3)
        return self._readout(reference, (x, y), len(linear), mean, noise, place, level, sd, ())

    def region(self, reference: Reference, region: Region) -> dict[str, Any]:
        """What a mark shows, measured as the scheme measures it."""
        from palette.evidence.measure import sample

        laid = self.pyramid(reference.file)
        try:
            measured = sample(laid.picture, region, kind=reference.kind)
        except ValueError as error:
            what = str(error)
            raise InputError(Problem(None, None, what, "mark a place in the picture")) from None
        grain = _grain(laid.picture, region)
        return self._measured(reference, measured, laid.picture.width, laid.picture.height, grain)

    def mark(self, kit: Kit, id: str, array: str, index: int) -> dict[str, Any]:
        """A mark that stands in the kit, with what it shows."""
        reference = next(r for r in kit.references if r.id == id)
        marks: Any = reference.samples if array == "sample" else reference.anchors
        readout: dict[str, Any] | None = None
        with contextlib.suppress(InputError):
            readout = self.region(reference, marks[index].region)
        return {"ref": id, "array": array, "index": index, "readout": readout}

    def _measured(
        self, reference: Reference, sample: Sample, width: int, height: int, grain: Array
    ) -> dict[str, Any]:
        from palette.words import say

        place = (sample.centre[0] / width, sample.centre[1] / height)
        level = sample.level if reference.tone == "grey" else None
        return self._readout(
            reference,
            sample.centre,
            sample.pixels,
            sample.linear,
            sample.covariance,
            place,
            level,
            grain,
            tuple(say(note) for note in sample.notes),
        )

    def _readout(
        self,
        reference: Reference,
        where: tuple[float, float],
        count: int,
        linear: Array,
        covariance: Array,
        place: tuple[float, float],
        level: float | None,
        sd: Array,
        notes: tuple[str, ...],
    ) -> dict[str, Any]:
        as_is = linear_to_lab(linear)
        corrected, spread, radius = None, None, None
        correction = self.corrections.get(reference.id)
        if correction is not None and reference.tone == "colour":
            from palette.colour.uncertain import radius90

            labs, spreads = correction.apply(linear[None], covariance[None], np.array([place]))
            corrected, spread = labs[0], spreads[0]
            radius = round(float(radius90(corrected, spread)), 3)
        lab = as_is if corrected is None else corrected
        answer: dict[str, Any] = {
            "ref": reference.id,
            "x": round(where[0], 2),
            "y": round(where[1], 2),
            "pixels": count,
            "as_is": plain.colour(as_is),
            "corrected": plain.colour(corrected),
            "spread": plain.spread(corrected, spread, radius),
            "radius90": radius,
            "noise": {"sd": [round(float(v), 5) for v in sd]},
            "notes": list(notes),
            "paints": self.nearest(lab) if reference.tone == "colour" else [],
        }
        if level is not None:
            answer["level"] = round(level, 4)
        return answer

    def nearest(self, lab: Array, count: int = _PAINTS) -> list[dict[str, Any]]:
        """The nearest paints that are sold or to hand: of those that are owned, where any are."""
        swatches = self._swatches()
        if self._shelf is None or self._shelf[0] is not swatches:
            shelf = swatches.where([not s.retired or s.owned is True for s in swatches.swatches])
            owned = shelf.where([s.owned is True for s in shelf.swatches])
            self._shelf = swatches, owned if len(owned) else shelf
        shelf = self._shelf[1]
        if not len(shelf):
            return []
        indices, differences = shelf.nearest(lab, count)
        return [
            plain.paint(shelf.swatches[int(i)], float(d)) for i, d in zip(indices, differences, strict=True)
        ]


class Lut:
    """Colours of a picture as encoded sRGB through a correction, which may differ from place to place.

    `tables` (p, p, n, n, n, 3) are the corrected levels 0..255 at p × p places across and down, for n levels
    of red, green and blue; between, straight lines.
    """

    def __init__(self, tables: NDArray[np.uint8]) -> None:
        from PIL import ImageFilter

        self.places = tables.shape[0]
        size = tables.shape[2]
        # Pillow counts red fastest.
        self._filters = [
            [
                ImageFilter.Color3DLUT(
                    size, (tables[row, column].transpose(2, 1, 0, 3).reshape(-1, 3) / 255).ravel().tolist()
                )
                for column in range(self.places)
            ]
            for row in range(self.places)
        ]

    def at(self, levels: NDArray[np.uint8], place: Array) -> NDArray[np.uint8]:
        """Colours (n, 3) as they are seen at one place (2,), fractions of the sides."""
        from PIL import Image

        image = Image.fromarray(np.ascontiguousarray(levels[None]))
        x, y = (float(value) * (self.places - 1) for value in place)
        out = np.zeros(levels.shape, dtype=np.float32)
        for row in range(self.places):
            for column in range(self.places):
                weight = max(0.0, 1 - abs(x - column)) * max(0.0, 1 - abs(y - row))
                if weight:
                    out += np.float32(weight) * np.asarray(image.filter(self._filters[row][column]))[0]
        return np.rint(out).astype(np.uint8)

    def through(self, levels: NDArray[np.uint8], box: Box, width: int, height: int) -> NDArray[np.uint8]:
        """Levels (h, w, 3) of a box of a picture of that size, corrected."""
        from PIL import Image

        image = Image.fromarray(np.ascontiguousarray(levels))
        x = (np.arange(box[0], box[2]) + 0.5) / width * (self.places - 1)
        y = (np.arange(box[1], box[3]) + 0.5) / height * (self.places - 1)
        out = np.zeros(levels.shape, dtype=np.float32)
        for row in range(self.places):
            down = np.clip(1 - np.abs(y - row), 0, None).astype(np.float32)
            for column in range(self.places):
                across = np.clip(1 - np.abs(x - column), 0, None).astype(np.float32)
                if down.any() and across.any():
                    part = np.asarray(image.filter(self._filters[row][column]), dtype=np.float32)
                    out += part * (down[:, None] * across[None, :])[..., None]
        return np.rint(out).astype(np.uint8)


def lattice(
    correction: Correction, size: int = 9, places: int = 3, pause: Callable[[], None] = lambda: None
) -> NDArray[np.uint8]:
    """The table of a `Lut`: what a correction makes of the colours of encoded sRGB. `pause` is called now
    and then, and may raise."""
    from palette.colour.spaces import lab_to_linear, srgb_decode, srgb_encode

    axis, place = np.linspace(0, 1, size), np.linspace(0, 1, places)
    grid = np.stack(np.meshgrid(place, place, axis, axis, axis, indexing="ij"), axis=-1).reshape(-1, 5)
    labs = []
    for start in range(0, len(grid), 512):
        pause()
        part = grid[start : start + 512]
        none = np.zeros((len(part), 3, 3))
        labs.append(correction.apply(srgb_decode(part[:, 2:]), none, part[:, [1, 0]])[0])
    levels = np.clip(srgb_encode(lab_to_linear(np.concatenate(labs))), 0, 1)
    return np.rint(levels * 255).astype(np.uint8).reshape(places, places, size, size, size, 3)


def _grain(picture: Picture, region: Region) -> Array:
    """How far the pixels in the middle of a region differ, (3,) in linear light: their standard deviation."""
    from palette.evidence.pictures.regions import pixels

    (x0, y0, x1, y1), mask = pixels(region, picture.width, picture.height)
    left, top = max(0, (x1 - x0 - _MIDDLE) // 2), max(0, (y1 - y0 - _MIDDLE) // 2)
    mask = mask[top : top + _MIDDLE, left : left + _MIDDLE]
    box = (x0 + left, y0 + top, x0 + left + mask.shape[1], y0 + top + mask.shape[0])
    linear = np.asarray(picture.linear(box), dtype=np.float64)[mask]
    linear = linear[np.isfinite(linear).all(axis=1)]
    return linear.std(axis=0) if len(linear) > 1 else np.zeros(3)


def bounds(region: Region) -> tuple[float, float, float, float]:
    """The box around a region: left, top, right, bottom."""
    if isinstance(region, Rect):
        return region.x, region.y, region.x + region.width, region.y + region.height
    if isinstance(region, Spot):
        return (
            region.x - region.radius,
            region.y - region.radius,
            region.x + region.radius,
            region.y + region.radius,
        )
    xs, ys = [x for x, _ in region.points], [y for _, y in region.points]
    return min(xs), min(ys), max(xs), max(ys)


def jpeg(levels: NDArray[np.uint8], quality: int = 90) -> bytes:
    """Encoded sRGB (h, w, 3) as a JPEG without loss of chroma's detail."""
    from PIL import Image

    stream = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(levels)).save(stream, "JPEG", quality=quality, subsampling=0)
    return stream.getvalue()


def _stamp(path: Path) -> tuple[Any, ...]:
    try:
        status = path.stat()
        return str(path), status.st_size, status.st_mtime_ns, status.st_ctime_ns
    except (OSError, ValueError):
        return str(path), -1, 0, 0


def _facts(path: Path, stamp: tuple[Any, ...]) -> FileFacts:
    from hashlib import blake2b

    from palette.desk.wording import said

    try:
        key = cache.key("file", stamp)
        width, height, depth, notes = cache.remember(key, lambda: _looked_at(path))
    except InputError as error:
        return FileFacts(None, None, None, problems=error.problems)
    v = blake2b(repr(stamp).encode(), digest_size=9).hexdigest()
    facts = (f"{width} × {height} pixels", depth, *(said(note) for note in notes))
    return FileFacts(width, height, v, facts=facts)


def _looked_at(path: Path) -> tuple[int, int, str, tuple[Note, ...]]:
    """What a picture file says of itself: kept, since the readers of pictures take long to load."""
    from palette.evidence.pictures.decode import open_picture

    picture = open_picture(path)
    depth = f"{picture.stored.format}, {picture.bits} bits a channel, {picture.profile}"
    return picture.width, picture.height, depth, picture.stored.notes


def _list(path: Path) -> dict[str, Any]:
    from palette.desk.history import version
    from palette.files import read_bytes
    from palette.swatches.reading import load

    try:
        raw = read_bytes(path)
    except InputError as error:
        return {"version": None, "paints": 0, "problems": plain.problems(error.problems)}
    lists, problems = load([path])
    count = len(lists[0].ids) if lists else 0
    return {"version": version(raw), "paints": count, "problems": plain.problems(problems)}
