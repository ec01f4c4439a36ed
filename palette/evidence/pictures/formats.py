"""Picture files of every kind palette reads, each down to its levels as stored.

What `readers` accept goes through these, at full precision; PNG of 16 bits through imagecodecs, since Pillow
cuts colour to 8; everything else through Pillow. Formats that run programs
or need a renderer (PostScript, PDF, SVG) are not pictures here.
"""

from __future__ import annotations

import contextlib
import io
import struct
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError
from palette.evidence.pictures import boxes, jpeg, jpeg2000, plain, png, profiles, webp
from palette.evidence.pictures.guard import (
    MOST_PIXELS,
    ORIENTATION,
    check_size,
    one_of_many,
    problem,
    reading,
    silent,
)
from palette.evidence.pictures.lost import Lost, described, unknown
from palette.evidence.pictures.notes import AdobeUnprofiled, GammaUnprofiled, PartMissing, RangeUnread
from palette.evidence.pictures.profiles import CodedPoints, Encoding
from palette.evidence.pictures.readers import START, reader_of
from palette.evidence.pictures.stored import Blocks, Stored, Upright, turn
from palette.files import refuse_huge
from palette.notes import Note

_PILLOW = ("JPEG", "PNG", "WEBP", "AVIF", "GIF", "BMP", "DIB", "JPEG2000", "PPM")
_SCALE = f"scale it down to {MOST_PIXELS // 1_000_000} megapixels or fewer"
_READS = "JPEG, PNG, TIFF, WebP, HEIC, AVIF, JPEG 2000, GIF, BMP"


def read_stored(path: Path) -> Stored:
    """Read a file's header.

    Raises:
        InputError: see `palette.evidence.pictures.decode.open_picture`.
    """
    try:
        with path.open("rb") as stream:
            start = stream.read(START)
    except FileNotFoundError as error:
        raise problem(path, "there is no such file", "check the path") from error
    except IsADirectoryError as error:
        raise problem(path, "it is a folder", "name a picture file in it") from error
    except (OSError, ValueError) as error:
        raise problem(path, f"it cannot be opened: {error}", "check the path and its permissions") from error
    refuse_huge(path)
    if not start:
        raise problem(path, "the file is empty", "copy it again from where it came")
    with reading(path):
        reader = reader_of(start)
        return _pillow(path) if reader is None else reader.read(path)


_Decode = Callable[[int | None], Upright]
_Gaps = Callable[[], Lost | None]


# -- through Pillow ------------------------------------------------------------------------------


def _pillow(path: Path) -> Stored:
    from PIL import Image, UnidentifiedImageError

    try:
        image = Image.open(path, formats=_PILLOW)
    except UnidentifiedImageError as error:
        what = "it is no picture that palette can read"
        raise problem(path, what, f"save it as one of {_READS}") from error
    except Image.DecompressionBombError as error:
        raise problem(path, "the picture is too large", _SCALE) from error
    with image:
        width, height = image.size
        check_size(path, width, height, 2 * len(image.getbands()))
        if image.format != "MPO" and getattr(image, "is_animated", False):
            raise one_of_many(path, getattr(image, "n_frames", None))
        if image.mode == "F":
            raise problem(path, "it holds light, not levels", "save it as a 16-bit TIFF")
        chunks = _png_chunks(path) if image.format == "PNG" else {}
        deep = bool(chunks) and chunks[b"IHDR"][8] == 16
        space = {"1": "grey", "L": "grey", "LA": "grey", "La": "grey", "CMYK": "inks"}.get(
            image.mode, "grey" if image.mode.startswith("I") else "rgb"
        )
        if deep:
            space = "grey" if chunks[b"IHDR"][9] in (0, 4) else "rgb"
        coded = chunks.get(b"cICP", b"")
        encoding, notes = encoding_of(
            space, image.info.get("icc_profile"), CodedPoints(coded[0], coded[1]) if len(coded) == 4 else None
        )
        orientation = _orientation(image, chunks)
        decode, gaps = _pillow_decode(path, width, height, orientation), _nothing
        if image.format in ("JPEG", "MPO"):
            decode, gaps = _jpeg(path, image.mode, width, height, orientation)
        elif image.format == "PNG":
            decode, gaps = _png(path, deep, orientation)
        elif image.format in _SILENT:
            decode, gaps = checked(path, decode, _SILENT[str(image.format)])
        return Stored(
            format="JPEG" if image.format == "MPO" else str(image.format),
            width=width,
            height=height,
            orientation=orientation,
            space=space,
            bits=16 if deep or image.mode.startswith("I") else 8,
            encoding=encoding,
            notes=notes + _unprofiled(image, chunks),
            decode=decode,
            scalable=image.format in ("JPEG", "MPO") and image.mode in ("L", "RGB"),
            blocks=_blocks(image),
            gaps=gaps,
        )


_SILENT = {
    "WEBP": webp.damaged,
    "AVIF": boxes.damaged,
    "JPEG2000": jpeg2000.damaged,
    "BMP": plain.bmp_damaged,
    "PPM": plain.ppm_damaged,
}


def checked(path: Path, decode: _Decode, damaged: Callable[[bytes], str | None]) -> tuple[_Decode, _Gaps]:
    """For a decoder that says nothing of damage: what it gives, once the data are known to be whole."""

    @cache
    def gaps() -> Lost | None:
        with reading(path):
            what = damaged(path.read_bytes())
        if what is not None:
            raise unknown(path, f"{what}, and nobody can tell where in the picture")
        return None

    def decode_whole(wanted: int | None) -> Upright:
        upright = decode(wanted)
        gaps()
        return upright

    return decode_whole, gaps


def _nothing() -> Lost | None:
    """What is missing of a picture whose decoder would have refused it."""
    return None


_YCC = np.array([[1, 0, 1.402], [1, -0.344136, -0.714136], [1, 1.772, 0]])  # ITU-T T.871


def _blocks(image: Any) -> Blocks | None:
    """From a JPEG's own tables (ITU-T T.81): the first step of each rounds eight times a block's mean."""
    if image.format not in ("JPEG", "MPO") or image.mode not in ("L", "RGB"):
        return None
    try:
        steps = np.array([image.quantization[table][0] for *_, table in image.layer])
        samples = np.array([across * down for _, across, down, _ in image.layer])
    except (AttributeError, KeyError):  # its tables stand elsewhere, or are damaged
        return None
    if not steps.all():  # damaged: nothing is a multiple of nought
        return None
    to_rgb = np.eye(3) if [layer[0] for layer in image.layer] == list(b"RGB") else _YCC
    if len(steps) == 1:  # grey: chroma that tells next to nothing
        to_rgb, steps, samples = to_rgb * [1, 1e-6, 1e-6], np.repeat(steps, 3), np.ones(3)
    return Blocks(to_rgb, steps / 8 / 255, 64 * samples.max() / samples)


def _orientation(image: Any, chunks: dict[bytes, bytes]) -> int:
    from PIL import Image

    exif = Image.Exif()
    if chunks:  # asking Pillow would decode the whole of a PNG
        data = chunks.get(b"eXIf") or image.info.get("exif")
        if data:
            with contextlib.suppress(Exception):
                exif.load(data)
    else:
        with contextlib.suppress(Exception):  # a damaged Exif block says nothing of the way up
            exif = image.getexif()
    value = exif.get(ORIENTATION, 1)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _unprofiled(image: Any, chunks: dict[bytes, bytes]) -> tuple[Note, ...]:
    """Notes where a file without a profile hints in another way that it is not sRGB."""
    if image.info.get("icc_profile") or b"cICP" in chunks:
        return ()
    if image.format in ("JPEG", "MPO"):
        with contextlib.suppress(Exception):
            # Exif's interoperability index: a DCF option file
            if image.getexif().get_ifd(0xA005).get(1) == "R03":
                return (AdobeUnprofiled(),)
    gamma = chunks.get(b"gAMA", b"")
    if len(gamma) == 4 and b"sRGB" not in chunks:
        value = struct.unpack(">I", gamma)[0] / 100_000
        if not 0.42 < value < 0.48:
            return (GammaUnprofiled(value),)
    return ()


def _png_chunks(path: Path) -> dict[bytes, bytes]:
    """The chunks of a PNG that say how it is to be read."""
    wanted = (b"IHDR", b"cICP", b"gAMA", b"sRGB", b"eXIf")
    chunks: dict[bytes, bytes] = {}
    with path.open("rb") as stream:
        stream.seek(8)
        while len(header := stream.read(8)) == 8:
            length, kind = struct.unpack(">I4s", header)
            if kind in wanted and length < 1 << 20:
                chunks[kind] = stream.read(length)
                stream.seek(4, 1)
            else:
                stream.seek(length + 4, 1)
            if kind == b"IEND":
                break
    return chunks


def encoding_of(
    space: str, icc: bytes | None, coded: CodedPoints | None
) -> tuple[Encoding, tuple[Note, ...]]:
    """By coded points where the file has them and no profile stands above them, else by its profile.

    PNG (third edition) ranks cICP above iCCP; HEIF files carry both only where they agree.
    """
    if coded is not None and space == "rgb":
        if coded.known:
            return coded.encoding(), ()
        encoding, notes = profiles.encoding(space, icc)
        return encoding, (*notes, RangeUnread())
    return profiles.encoding(space, icc)


def _pillow_decode(path: Path, width: int, height: int, orientation: int) -> Callable[[int | None], Upright]:
    def decode(wanted: int | None) -> Upright:
        from PIL import Image

        with reading(path), Image.open(path, formats=_PILLOW) as image:
            if wanted is not None:
                scale = (wanted / (width * height)) ** 0.5
                image.draft(image.mode, (max(1, int(width * scale)), max(1, int(height * scale))))
            return _levels(image, orientation)

    return decode


def _halved(height: int, width: int, pixels: int | None) -> tuple[int, int]:
    """Height and width halved up to three times, as Pillow does while about so many pixels are left."""
    scale = 1.0 if pixels is None else (pixels / (width * height)) ** 0.5
    times = min(side // max(1, int(side * scale)) for side in (height, width))
    step = next((step for step in (8, 4, 2) if times >= step), 1)
    return -(-height // step), -(-width // step)


def _jpeg(path: Path, mode: str, width: int, height: int, orientation: int) -> tuple[_Decode, _Gaps]:
    """Through libjpeg-turbo straight into an array, which also says what it had to put up with."""
    through_pillow = _pillow_decode(path, width, height, orientation)
    intact = False  # the whole of it was decoded without a warning

    @cache
    def gaps() -> Lost | None:
        with reading(path):
            return jpeg.missing(path, path.read_bytes(), orientation, intact)

    def decode(wanted: int | None) -> Upright:
        nonlocal intact
        with reading(path):
            if mode in ("L", "RGB"):
                size = _halved(height, width, wanted)
                array = jpeg.decode(path.read_bytes(), mode == "L", size)
                if array is not None and array.shape[:2] == size:
                    intact = True
                    lost = gaps()
                    if lost is None or wanted is None:
                        return _with_hole(array, None, lost, orientation)
            lost = gaps()
            if mode not in ("L", "RGB"):
                if lost is not None:
                    assert isinstance(lost.note, PartMissing)
                    raise unknown(path, f"{described(lost.note)}; only the rest is used")
                return through_pillow(wanted)
            if lost is None and (wanted is not None or not jpeg.breaks_off(path.read_bytes())):
                return through_pillow(wanted)
            return _with_hole(jpeg.loose(path.read_bytes()), None, lost, orientation)

    return decode, gaps


def _png(path: Path, deep: bool, orientation: int) -> tuple[_Decode, _Gaps]:
    """Through libpng where it has 16 bits, else through Pillow; what is missing shows black in both."""
    intact = False  # its last row is there

    @cache
    def mended() -> tuple[Lost | None, bytes | None]:
        with reading(path):
            raw = path.read_bytes()
            return (None, None) if intact and png.intact(raw) else png.missing(path, raw, orientation)

    def levels(raw: bytes | None) -> Upright:
        from PIL import Image

        with reading(path):
            if deep:
                import imagecodecs

                with silent():
                    return apart(np.atleast_3d(imagecodecs.png_decode(raw or path.read_bytes())))
            with Image.open(io.BytesIO(raw) if raw else path, formats=("PNG",)) as image:
                return _levels(image)

    def decode(_wanted: int | None) -> Upright:
        nonlocal intact
        upright = None
        with contextlib.suppress(InputError):
            upright = levels(None)
            intact = intact or bool(upright.array[-1].any())  # a row that never came is black
        lost, raw = mended()
        if lost is not None or upright is None:
            upright = levels(raw)
        return _with_hole(upright.array, upright.alpha, lost, orientation)

    return decode, lambda: mended()[0]


def _with_hole(
    levels: NDArray[Any], alpha: NDArray[Any] | None, lost: Lost | None, orientation: int
) -> Upright:
    """Levels and alpha as stored, turned upright, with a hole where the picture is missing."""
    if lost is not None:
        alpha = lost.hole(levels.dtype, alpha)
    return Upright(turn(levels, orientation), None if alpha is None else turn(alpha, orientation))


def apart(array: NDArray[Any]) -> Upright:
    """Levels and, where there is a channel more, alpha."""
    if array.shape[-1] in (2, 4):
        return Upright(array[..., :-1], array[..., -1])
    return Upright(array)


def _levels(image: Any, orientation: int = 1) -> Upright:
    """The pixels of a Pillow picture, turned upright, its alpha apart."""
    mode, frame = image.mode, image.tile[0][1] if image.format == "GIF" and image.tile else None
    if mode == "1":
        image = image.convert("L")
    elif mode in ("P", "PA"):
        holes = mode == "PA" or "transparency" in image.info
        image = image.convert("RGBA" if holes else "RGB")
    elif mode in ("L", "RGB") and "transparency" in image.info:
        image = image.convert("LA" if mode == "L" else "RGBA")
    elif mode in ("RGBa", "La"):
        image = image.convert({"RGBa": "RGBA", "La": "LA"}[mode])
    elif mode in ("RGBX", "YCbCr", "HSV", "LAB"):
        image = image.convert("RGB")
    array = np.asarray(image)
    if image.mode.startswith("I"):
        array = np.clip(array, 0, 65535).astype(np.uint16)
    if array.ndim == 2:
        array = array[..., None]
    if frame and frame != (0, 0, *image.size):  # a GIF is transparent about its picture
        around = np.zeros((*array.shape[:2], 1), dtype=array.dtype)
        around[frame[1] : frame[3], frame[0] : frame[2]] = np.iinfo(array.dtype).max
        kept = around if image.mode == "RGB" else np.minimum(around, array[..., 3:])
        return apart(np.concatenate([array[..., :3], kept], axis=-1))
    if image.mode in ("LA", "RGBA"):
        return Upright(turn(array[..., :-1], orientation), turn(array[..., -1], orientation))
    return Upright(turn(array, orientation))


# -- HEIF ----------------------------------------------------------------------------------------
