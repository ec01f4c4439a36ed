"""Picture files of every kind palette reads, each down to its levels as stored.

TIFF goes through tifffile and HEIF through libheif, both at full precision; PNG of 16 bits through
imagecodecs, since Pillow cuts colour to 8; everything else through Pillow. Formats that run programs
or need a renderer (PostScript, PDF, SVG) are not pictures here.
"""

from __future__ import annotations

import contextlib
import logging
import struct
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem
from palette.evidence.pictures import profiles
from palette.evidence.pictures.profiles import CodedPoints, Encoding
from palette.evidence.pictures.stored import Blocks, Stored, Upright, turn

MOST_PIXELS = 178_956_970  # Pillow's own limit: a larger file is more likely a trap, or a slip
_PILLOW = ("JPEG", "PNG", "WEBP", "AVIF", "GIF", "BMP", "DIB", "JPEG2000", "PPM")
_SCALE = f"scale it down to {MOST_PIXELS // 1_000_000} megapixels or fewer"
_READS = "JPEG, PNG, TIFF, WebP, HEIC, AVIF, JPEG 2000, GIF, BMP"
_TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_HEIF = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
_ORIENTATION = 0x0112  # TIFF 6.0 and Exif


def read_stored(path: Path) -> Stored:
    """Read a file's header.

    Raises:
        InputError: see `palette.evidence.pictures.decode.open_picture`.
    """
    try:
        with path.open("rb") as stream:
            start = stream.read(64)
    except FileNotFoundError as error:
        raise _problem(path, "there is no such file", "check the path") from error
    except IsADirectoryError as error:
        raise _problem(path, "it is a folder", "name a picture file in it") from error
    except (OSError, ValueError) as error:
        raise _problem(path, f"it cannot be opened: {error}", "check the path and its permissions") from error
    if not start:
        raise _problem(path, "the file is empty", "copy it again from where it came")
    with _reading(path):
        if start[:4] in _TIFF:
            return _tiff(path)
        if start[4:8] == b"ftyp" and start[8:12] in _HEIF and b"avif" not in start:
            return _heif(path)
        return _pillow(path)


def _problem(path: Path, what: str, remedy: str) -> InputError:
    return InputError(Problem(str(path), None, what, remedy))


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[None]:
    """Turn what the decoders raise at a damaged file into one plain problem."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except InputError:
        raise
    except MemoryError as error:
        raise _problem(path, "there is not memory enough for it", "scale it down") from error
    except Exception as error:  # decoders raise nearly anything at a damaged file
        raise _problem(
            path,
            "the picture is damaged or cut off",
            "copy it again from where it came, or open it in an editor and save it anew",
        ) from error


def _check_size(path: Path, width: int, height: int) -> None:
    if width < 1 or height < 1:
        raise _problem(path, "the picture has no pixels", "use another file")
    if width * height > MOST_PIXELS:
        raise _problem(
            path,
            f"the picture is too large ({width:,} × {height:,} pixels)",
            _SCALE,
        )


def _one_of_many(path: Path, count: int | None) -> InputError:
    several = f"{count} pictures" if count else "several pictures"
    return _problem(path, f"the file holds {several}", "save the one you mean as a file of its own")


# -- through Pillow ------------------------------------------------------------------------------


def _pillow(path: Path) -> Stored:
    from PIL import Image, UnidentifiedImageError

    try:
        image = Image.open(path, formats=_PILLOW)
    except UnidentifiedImageError as error:
        what = "it is no picture that palette can read"
        raise _problem(path, what, f"save it as one of {_READS}") from error
    except Image.DecompressionBombError as error:
        raise _problem(path, "the picture is too large", _SCALE) from error
    with image:
        width, height = image.size
        _check_size(path, width, height)
        if image.format != "MPO" and getattr(image, "is_animated", False):
            raise _one_of_many(path, getattr(image, "n_frames", None))
        chunks = _png_chunks(path) if image.format == "PNG" else {}
        deep = bool(chunks) and chunks[b"IHDR"][8] == 16
        space = {"1": "grey", "L": "grey", "LA": "grey", "La": "grey", "F": "grey", "CMYK": "inks"}.get(
            image.mode, "grey" if image.mode.startswith("I") else "rgb"
        )
        if deep:
            space = "grey" if chunks[b"IHDR"][9] in (0, 4) else "rgb"
        coded = chunks.get(b"cICP", b"")
        encoding, notes = _encoding(
            space, image.info.get("icc_profile"), CodedPoints(coded[0], coded[1]) if len(coded) == 4 else None
        )
        return Stored(
            format="JPEG" if image.format == "MPO" else str(image.format),
            width=width,
            height=height,
            orientation=_orientation(image, chunks),
            space=space,
            bits=16 if deep or image.mode.startswith("I") else 8,
            encoding=encoding,
            notes=notes + _unprofiled(image, chunks),
            decode=_deep_png(path, _orientation(image, chunks))
            if deep
            else _pillow_decode(path, width, height, _orientation(image, chunks)),
            scalable=image.format in ("JPEG", "MPO") and image.mode in ("L", "RGB"),
            blocks=_blocks(image),
        )


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
    value = exif.get(_ORIENTATION, 1)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _unprofiled(image: Any, chunks: dict[bytes, bytes]) -> tuple[str, ...]:
    """Notes where a file without a profile hints in another way that it is not sRGB."""
    if image.info.get("icc_profile") or b"cICP" in chunks:
        return ()
    if image.format in ("JPEG", "MPO"):
        with contextlib.suppress(Exception):
            # Exif's interoperability index: a DCF option file
            if image.getexif().get_ifd(0xA005).get(1) == "R03":
                return ("its camera marked it as Adobe RGB (1998) but embedded no profile: sRGB is assumed",)
    gamma = chunks.get(b"gAMA", b"")
    if len(gamma) == 4 and b"sRGB" not in chunks:
        value = struct.unpack(">I", gamma)[0] / 100_000
        if not 0.42 < value < 0.48:
            return (f"it states a file gamma of {value:.3g} without a profile: sRGB is assumed",)
    return ()


def _png_chunks(path: Path) -> dict[bytes, bytes]:
    """The chunks of a PNG that say how it is to be read."""
    wanted = (b"IHDR", b"cICP", b"gAMA", b"sRGB", b"eXIf")
    found: dict[bytes, bytes] = {}
    with path.open("rb") as stream:
        stream.seek(8)
        while len(header := stream.read(8)) == 8:
            length, kind = struct.unpack(">I4s", header)
            if kind in wanted and length < 1 << 20:
                found[kind] = stream.read(length)
                stream.seek(4, 1)
            else:
                stream.seek(length + 4, 1)
            if kind == b"IEND":
                break
    return found


def _encoding(space: str, icc: bytes | None, coded: CodedPoints | None) -> tuple[Encoding, tuple[str, ...]]:
    """By coded points where the file has them and no profile stands above them, else by its profile.

    PNG (third edition) ranks cICP above iCCP; HEIF files carry both only where they agree.
    """
    if coded is not None and space == "rgb":
        if coded.known:
            return coded.encoding(), ()
        encoding, notes = profiles.encoding(space, icc)
        return encoding, (
            *notes,
            "its high dynamic range is not read: sRGB, or its profile, is used",
        )
    return profiles.encoding(space, icc)


def _pillow_decode(path: Path, width: int, height: int, orientation: int) -> Callable[[int | None], Upright]:
    def decode(wanted: int | None) -> Upright:
        from PIL import Image

        with _reading(path), Image.open(path, formats=_PILLOW) as image:
            if wanted is None and image.format in ("JPEG", "MPO") and image.mode in ("L", "RGB"):
                whole = _whole_jpeg(path)
                if whole is not None and whole.shape[:2] == (height, width):
                    return Upright(turn(whole, orientation))
            if wanted is not None:
                scale = (wanted / (width * height)) ** 0.5
                image.draft(image.mode, (max(1, int(width * scale)), max(1, int(height * scale))))
            return _levels(image, orientation)

    return decode


def _whole_jpeg(path: Path) -> NDArray[Any] | None:
    """The levels of a JPEG (h, w, channels) straight into an array, in two thirds of Pillow's time; None
    where Pillow has to judge it.

    Both are libjpeg-turbo, but only Pillow notices a file that is cut off. A file is whole if its end
    marker stands behind its last scan; neither marker occurs within a scan (ITU-T T.81, B.1.1.5).
    """
    import imagecodecs

    raw = path.read_bytes()
    if raw.rfind(b"\xff\xd9") < raw.rfind(b"\xff\xda"):
        return None
    try:
        array = imagecodecs.jpeg8_decode(raw)
    except imagecodecs.Jpeg8Error:
        return None
    return np.atleast_3d(array) if array.dtype == np.uint8 else None


def _levels(image: Any, orientation: int) -> Upright:
    """The pixels of a Pillow picture, its alpha apart."""
    mode = image.mode
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
    if image.mode in ("LA", "RGBA"):
        return Upright(turn(array[..., :-1], orientation), turn(array[..., -1], orientation))
    return Upright(turn(array, orientation))


def _deep_png(path: Path, orientation: int) -> Callable[[int | None], Upright]:
    def decode(_wanted: int | None) -> Upright:
        import imagecodecs

        with _reading(path):
            array = np.atleast_3d(imagecodecs.png_decode(path.read_bytes()))
        if array.shape[-1] in (2, 4):
            return Upright(turn(array[..., :-1], orientation), turn(array[..., -1], orientation))
        return Upright(turn(array, orientation))

    return decode


# -- HEIF ----------------------------------------------------------------------------------------


def _heif(path: Path) -> Stored:
    """HEIC and its kin.

    libheif turns the picture itself; an Exif orientation beside that is void (ISO 23008-12).
    """
    import pillow_heif

    heif = pillow_heif.open_heif(path, convert_hdr_to_8bit=False)
    image: Any = heif[heif.primary_index]
    width, height = image.size
    _check_size(path, width, height)
    bits = int(image.info.get("bit_depth", 8))
    space = "grey" if image.mode.startswith("L") else "rgb"
    icc = image.info.get("icc_profile")
    points = image.info.get("nclx_profile")
    coded = None
    if not icc and points:
        coded = CodedPoints(int(points["color_primaries"]), int(points["transfer_characteristics"]))
    encoding, notes = _encoding(space, icc, coded)

    def decode(_wanted: int | None) -> Upright:
        with _reading(path):
            heif = pillow_heif.open_heif(path, convert_hdr_to_8bit=False)
            image = heif[heif.primary_index]
            array = np.atleast_3d(np.asarray(image))
        if array.dtype == np.uint16:  # its top bits are used, the rest is zero
            array = _to_full_range(array >> (16 - bits), bits)
        if array.shape[-1] in (2, 4):
            return Upright(array[..., :-1], array[..., -1])
        return Upright(array)

    return Stored("HEIF", width, height, 1, space, bits, encoding, notes, decode)


def _to_full_range(array: NDArray[Any], bits: int) -> NDArray[Any]:
    """Levels of an odd number of bits as 8 or 16 bits from end to end."""
    if bits in (8, 16):
        return array
    if bits < 8:
        return np.asarray(array.astype(np.uint16) * 255 // (2**bits - 1), dtype=np.uint8)
    top = 2**bits - 1
    return np.asarray((array.astype(np.uint32) * 65535 + top // 2) // top, dtype=np.uint16)


# -- TIFF ----------------------------------------------------------------------------------------

_RAW = "it is a camera's raw file"
_DEVELOP = "develop it first and save a 16-bit TIFF"
_SAVE_TIFF = "save it as a 16-bit TIFF in RGB or grey"
_SPACES = {0: "grey", 1: "grey", 2: "rgb", 3: "rgb", 5: "inks", 6: "rgb", 8: "lab", 9: "lab"}  # photometric


def _tiff(path: Path) -> Stored:
    import tifffile

    logging.getLogger("tifffile").setLevel(logging.CRITICAL)  # its warnings would stand among our answers
    with tifffile.TiffFile(path) as tiff:
        pages = [i for i, page in enumerate(tiff.pages) if not page.aspage().subfiletype & 0b101]
        if not pages:
            raise _problem(path, _RAW, _DEVELOP)
        page = tiff.pages[pages[0]].aspage()
        if 50706 in page.tags or page.photometric in (32803, 34892):  # DNG; CFA and linear raw
            raise _problem(path, _RAW, _DEVELOP)
        if len(pages) > 1:
            raise _one_of_many(path, len(pages))
        width, height = int(page.imagewidth), int(page.imagelength)
        _check_size(path, width, height)
        if page.imagedepth > 1:
            raise _one_of_many(path, int(page.imagedepth))
        orientation = int(page.tags.valueof(_ORIENTATION, 1))
        orientation = orientation if 1 <= orientation <= 8 else 1
        bits = max(np.atleast_1d(page.bitspersample).tolist())
        floats = int(np.atleast_1d(page.sampleformat)[0]) == 3
        photometric = int(page.photometric)
        space = _SPACES.get(photometric)
        channels = {"grey": 1, "inks": 4}.get(space or "", 3)
        if space is None or int(np.atleast_1d(page.sampleformat)[0]) not in (1, 3, 4):
            raise _problem(path, "its kind of levels is not read", _SAVE_TIFF)
        if photometric != 3 and page.samplesperpixel < channels:
            raise _problem(path, f"it has {page.samplesperpixel} channels", _SAVE_TIFF)
        if space == "lab" and (floats or bits not in (8, 16)):
            raise _problem(path, "its kind of CIELAB levels is not read", _SAVE_TIFF)
        if photometric == 6 and page.compression != 7:  # chroma is spread by the JPEG decoder only
            return _through_libtiff(path, width, height, orientation, page.iccprofile)
        encoding, notes = profiles.encoding(space, page.iccprofile)
        if floats and encoding.name == profiles.ASSUMED:
            notes = (*notes, "its floating point levels have no profile: sRGB levels from 0 to 1 are assumed")
        alpha = next((i for i, kind in enumerate(page.extrasamples) if int(kind) in (1, 2)), None)
        premultiplied = alpha is not None and int(page.extrasamples[alpha]) == 1

    def decode(_wanted: int | None) -> Upright:
        with _reading(path), tifffile.TiffFile(path) as tiff:
            page = tiff.pages[pages[0]].aspage()
            array = page.asarray()
            if page.planarconfig == 2 and array.ndim == 3:
                array = np.moveaxis(array, 0, -1)
            if array.ndim == 2:
                array = array[..., None]
            if array.shape[:2] != (height, width):
                raise ValueError("its size is not what its header says")
            if photometric == 3:
                return Upright(turn(_painted(array[..., 0], np.asarray(page.colormap)), orientation))
            if space == "lab":
                return Upright(turn(_lab_fractions(array[..., :3], photometric), orientation))
            array = _plain_levels(path, array, bits)
        levels, hole = array[..., :channels], None
        if alpha is not None and channels + alpha < array.shape[-1]:
            hole = array[..., channels + alpha]
            if premultiplied:
                levels, hole = _divided(levels, hole)
        if photometric == 0:
            levels = (1 if levels.dtype.kind == "f" else np.iinfo(levels.dtype).max) - levels
        return Upright(turn(levels, orientation), None if hole is None else turn(hole, orientation))

    return Stored("TIFF", width, height, orientation, space, bits, encoding, notes, decode)


def _through_libtiff(path: Path, width: int, height: int, orientation: int, icc: bytes | None) -> Stored:
    from PIL import Image

    encoding, notes = profiles.encoding("rgb", icc)

    def decode(_wanted: int | None) -> Upright:
        with _reading(path), Image.open(path, formats=("TIFF",)) as image:
            return Upright(turn(np.asarray(image.convert("RGB")), orientation))

    return Stored("TIFF", width, height, orientation, "rgb", 8, encoding, notes, decode)


def _painted(indices: NDArray[Any], colours: NDArray[Any]) -> NDArray[Any]:
    """Indices through a TIFF colour map (3, n) of 16 bits."""
    table = np.ascontiguousarray(colours.T)
    if not (table & 255).any():  # levels of 8 bits, moved up …
        table = (table >> 8) * np.uint16(257)
    elif table.max() < 256:  # … or, against the standard, not
        table = table * np.uint16(257)
    return np.asarray(table.astype(np.uint16)[indices])


def _plain_levels(path: Path, array: NDArray[Any], bits: int) -> NDArray[Any]:
    """Unsigned 8 or 16 bits, or 32-bit floats, in the machine's byte order."""
    if array.dtype.kind == "f":
        levels = array.astype(np.float32)
        levels[~np.isfinite(levels)] = np.nan
        highest = np.nanmax(levels, initial=0.0)
        if highest > 200:  # no light is that much brighter than white: they are 0..255, or 0..65535
            what = f"its floating point levels go up to {highest:g}"
            raise _problem(path, what, "scale them so that white is 1")
        return levels
    if array.dtype == bool:
        return array.astype(np.uint8) * np.uint8(255)
    if array.dtype.itemsize > 2:
        return (array / np.iinfo(array.dtype).max).astype(np.float32)
    native = array.astype(array.dtype.newbyteorder("="), copy=False)
    return _to_full_range(native, bits if bits <= 16 else 8 * array.dtype.itemsize)


def _lab_fractions(array: NDArray[Any], photometric: int) -> NDArray[np.float32]:
    """CIELAB as `profiles.LabEncoding` wants it, from TIFF's CIELab (8, a* and b* signed) or ICCLab (9)."""
    half = 1 << (8 * array.dtype.itemsize - 1)
    wide = array.astype(np.float32)
    if photometric == 8:
        wide[..., 1:] = array[..., 1:].astype(np.int32) ^ half
    if array.dtype.itemsize == 1:
        return wide / np.float32(255)
    top = 65535.0 if photometric == 8 else 65280.0  # ICC's 16-bit lightness ends at FF00
    return np.asarray(wide / np.array([top, 256 * 255, 256 * 255]), dtype=np.float32)


def _divided(levels: NDArray[Any], alpha: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Levels that were multiplied by alpha, set free of it, as floats."""
    top = 1.0 if levels.dtype.kind == "f" else float(np.iinfo(levels.dtype).max)
    cover = (alpha / top).astype(np.float32)
    return (levels / top / np.maximum(cover, 1e-6)[..., None]).astype(np.float32), cover
