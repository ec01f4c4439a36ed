"""Picture files of every kind, as linear light."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
import tifffile
from PIL import Image, ImageCms

from palette.colour.spaces import srgb_decode
from palette.errors import InputError
from palette.evidence.pictures.decode import open_picture, thumbnail
from palette.words import say
from tests.evidence.pictures import icc

RNG = np.random.default_rng(20)
COLOURS = RNG.integers(0, 256, (24, 32, 3)).astype(np.uint8)
DEEP = RNG.integers(0, 65536, (24, 32, 3)).astype(np.uint16)
GREYS = COLOURS[..., 0]


def expect(path: Path, levels: np.ndarray, tolerance: float = 1e-6) -> None:
    """The file's linear light is the sRGB decoding of these levels (0..1), and so is that of a box."""
    picture = open_picture(path)
    assert (picture.height, picture.width) == levels.shape[:2]
    want = srgb_decode(np.atleast_3d(levels)) * np.ones(3)
    np.testing.assert_allclose(picture.linear(), want, atol=tolerance)
    np.testing.assert_allclose(picture.linear((3, 5, 9, 7)), want[5:7, 3:9], atol=tolerance)


# -- formats -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("a.png", {}),
        ("a.bmp", {}),
        ("a.tif", {}),
        ("a.webp", {"lossless": True}),
        ("a.jp2", {}),
        ("a.ppm", {}),
    ],
)
def test_lossless_colour_files_give_their_levels_exactly(tmp_path, name, options):
    Image.fromarray(COLOURS).save(tmp_path / name, **options)
    expect(tmp_path / name, COLOURS / 255)
    assert open_picture(tmp_path / name).profile == "sRGB (assumed)"
    assert not open_picture(tmp_path / name).grey


@pytest.mark.parametrize("name", ["a.png", "a.bmp", "a.tif", "a.jp2", "a.gif"])
def test_grey_files_give_equal_channels_and_their_levels(tmp_path, name):
    Image.fromarray(GREYS).save(tmp_path / name)
    expect(tmp_path / name, GREYS / 255)
    picture = open_picture(tmp_path / name)
    assert picture.grey
    np.testing.assert_allclose(picture.levels(), GREYS / 255, atol=1e-6)


def test_jpeg_agrees_with_the_decoder_alone(tmp_path):
    Image.fromarray(COLOURS).save(tmp_path / "a.jpg", quality=90)
    expect(tmp_path / "a.jpg", np.asarray(Image.open(tmp_path / "a.jpg")) / 255)


def test_heic_of_8_and_10_bits(tmp_path):
    smooth = np.stack([*np.meshgrid(np.arange(64) * 4, np.arange(48) * 5), np.full((48, 64), 90)], -1)
    pillow_heif.from_bytes("RGB", (64, 48), smooth.astype(np.uint8).tobytes()).save(
        tmp_path / "a.heic", quality=100, chroma=444
    )
    deep = (smooth * 257).astype(np.uint16)
    pillow_heif.from_bytes("RGB;16", (64, 48), deep.tobytes()).save(
        tmp_path / "b.heic", quality=100, chroma=444
    )
    for name, bits in (("a.heic", 8), ("b.heic", 10)):
        picture = open_picture(tmp_path / name)
        assert picture.bits == bits
        assert picture.profile == "sRGB"  # what its colour box says
        # HEVC is lossy: two levels of 255; a wrong scale or order would be far off
        np.testing.assert_allclose(picture.levels(), smooth @ [0.299, 0.587, 0.114] / 255, atol=2.5 / 255)
    assert open_picture(tmp_path / "b.heic").linear().max() <= 1.0


def test_palette_mode_and_bilevel(tmp_path):
    few = Image.fromarray(COLOURS).quantize(7)
    few.save(tmp_path / "a.png")
    few.save(tmp_path / "a.gif")
    few.save(tmp_path / "a.tif")
    for name in ("a.png", "a.gif", "a.tif"):
        expect(tmp_path / name, np.asarray(few.convert("RGB")) / 255)
    Image.fromarray(GREYS > 99).save(tmp_path / "b.png")
    Image.fromarray(GREYS > 99).save(tmp_path / "b.tif", compression="group4")
    for name in ("b.png", "b.tif"):
        expect(tmp_path / name, (GREYS > 99) * 1.0)


def test_16_bits_are_kept(tmp_path):
    import imagecodecs

    (tmp_path / "a.png").write_bytes(imagecodecs.png_encode(DEEP))
    (tmp_path / "g.png").write_bytes(imagecodecs.png_encode(np.ascontiguousarray(DEEP[..., 0])))
    tifffile.imwrite(tmp_path / "a.tif", DEEP, photometric="rgb")
    tifffile.imwrite(tmp_path / "g.tif", DEEP[..., 0])
    for name in ("a.png", "a.tif"):
        expect(tmp_path / name, DEEP / 65535)
        assert open_picture(tmp_path / name).bits == 16
    for name in ("g.png", "g.tif"):
        expect(tmp_path / name, DEEP[..., 0] / 65535)
        assert open_picture(tmp_path / name).grey


@pytest.mark.parametrize("compression", [None, "lzw", "zlib", "packbits"])
@pytest.mark.parametrize("byteorder", ["<", ">"])
@pytest.mark.parametrize("planar", ["contig", "separate"])
def test_tiff_layouts(tmp_path, compression, byteorder, planar):
    data = DEEP if planar == "contig" else np.moveaxis(DEEP, -1, 0)
    tifffile.imwrite(
        tmp_path / "a.tif", data, photometric="rgb", planarconfig=planar, byteorder=byteorder,
        compression=compression, predictor=compression in ("lzw", "zlib"), rowsperstrip=5,
    )  # fmt: skip
    expect(tmp_path / "a.tif", DEEP / 65535)


def test_tiff_of_tiles_floats_inverted_greys_and_12_bits(tmp_path):
    tifffile.imwrite(tmp_path / "t.tif", DEEP, photometric="rgb", tile=(16, 16))
    expect(tmp_path / "t.tif", DEEP / 65535)
    floats = (DEEP / 65535).astype(np.float32)
    tifffile.imwrite(tmp_path / "f.tif", floats, photometric="rgb")
    expect(tmp_path / "f.tif", floats)
    assert "floating point" in say(open_picture(tmp_path / "f.tif").notes[0])
    tifffile.imwrite(tmp_path / "w.tif", DEEP[..., 0], photometric="miniswhite")
    expect(tmp_path / "w.tif", 1 - DEEP[..., 0] / 65535)
    tifffile.imwrite(tmp_path / "p.tif", DEEP[..., 0] >> 4, photometric="minisblack", bitspersample=12)
    expect(tmp_path / "p.tif", (DEEP[..., 0] >> 4) / 4095, tolerance=3e-5)


def test_tiff_of_jpeg_and_of_luma_and_chroma(tmp_path):
    smooth = np.asarray(Image.fromarray(COLOURS[:3, :4]).resize((32, 24), Image.Resampling.BICUBIC))
    Image.fromarray(smooth).save(tmp_path / "j.tif", compression="jpeg", quality=100)
    np.testing.assert_allclose(
        open_picture(tmp_path / "j.tif").levels(), smooth @ [0.299, 0.587, 0.114] / 255, atol=0.02
    )
    Image.fromarray(smooth).convert("YCbCr").save(tmp_path / "y.tif")
    np.testing.assert_allclose(
        open_picture(tmp_path / "y.tif").levels(), smooth @ [0.299, 0.587, 0.114] / 255, atol=0.02
    )


def test_tiff_in_cielab(tmp_path):
    # L* 50, a* 40, b* -30 under D50, as TIFF 6.0 stores it: L over 255, a and b signed bytes
    stored = np.array([[[128, 40, -30 & 0xFF]]], dtype=np.uint8)
    tifffile.imwrite(tmp_path / "a.tif", stored, photometric="cielab")
    wide = np.array([[[32896, 40 << 8, (-30 << 8) & 0xFFFF]]], dtype=np.uint16)
    tifffile.imwrite(tmp_path / "b.tif", wide, photometric="cielab")
    import colour

    xyz = colour.Lab_to_XYZ([128 / 2.55, 40, -30], colour.XYZ_to_xy([0.9642, 1.0, 0.8249]))
    bradford = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        [0.9642, 1.0, 0.8249], [0.95045593, 1.0, 1.08905775], "Bradford"
    )
    want = np.linalg.inv(colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ) @ bradford @ xyz
    for name in ("a.tif", "b.tif"):
        np.testing.assert_allclose(open_picture(tmp_path / name).linear()[0, 0], want, atol=5e-4)


# -- holes ---------------------------------------------------------------------------------------


def test_transparent_pixels_are_no_evidence(tmp_path):
    alpha = np.full(GREYS.shape, 255, np.uint8)
    alpha[:10] = 0
    Image.fromarray(np.dstack([COLOURS, alpha])).save(tmp_path / "a.png")
    Image.fromarray(np.dstack([COLOURS, alpha])).save(tmp_path / "a.webp", lossless=True, exact=True)
    Image.fromarray(np.dstack([COLOURS, alpha])).save(tmp_path / "a.tif")
    Image.fromarray(np.dstack([GREYS, alpha])).save(tmp_path / "g.png")
    few = Image.fromarray(COLOURS).quantize(7)
    few.save(tmp_path / "p.gif", transparency=int(np.asarray(few)[0, 0]))
    for name in ("a.png", "a.webp", "a.tif", "g.png"):
        picture = open_picture(tmp_path / name)
        for answer in (picture.linear(), picture.levels()):
            assert np.isnan(answer[:10]).all() and np.isfinite(answer[10:]).all()
        assert picture.opaque().mean() == pytest.approx(14 / 24)
        np.testing.assert_allclose(
            picture.linear()[10:, :, 0], srgb_decode(COLOURS[10:, :, 0] / 255), atol=1e-6
        )
        small = picture.reduced(30)
        assert np.isnan(small[0]).all() and np.isfinite(small[-1]).all()
    hole = np.asarray(few) == np.asarray(few)[0, 0]
    np.testing.assert_array_equal(np.isnan(open_picture(tmp_path / "p.gif").levels()), hole)
    assert (thumbnail(tmp_path / "a.png", 8)[0] > 250).all()


def test_levels_that_are_no_numbers_are_holes(tmp_path):
    # fails when a composite's empty border, NaN or infinity, is taken for light
    light = np.full((20, 24, 3), 0.25, np.float32)
    light[:6], light[6, 0, 1] = np.nan, np.inf
    tifffile.imwrite(tmp_path / "a.tif", light, photometric="rgb")
    picture = open_picture(tmp_path / "a.tif")
    hole = ~np.isfinite(light).all(axis=-1)
    np.testing.assert_array_equal(picture.opaque(), ~hole)
    for answer in (picture.linear()[..., 0], picture.levels()):
        np.testing.assert_array_equal(np.isfinite(answer), ~hole)


def test_levels_that_were_multiplied_by_alpha_are_set_free(tmp_path):
    alpha = np.full((*GREYS.shape, 1), 51000, np.uint16)
    data = np.concatenate([(DEEP * (51000 / 65535)).round().astype(np.uint16), alpha], -1)
    tifffile.imwrite(tmp_path / "a.tif", data, photometric="rgb", extrasamples=["assocalpha"])
    expect(tmp_path / "a.tif", DEEP / 65535, tolerance=1e-4)


# -- the right way up ----------------------------------------------------------------------------


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.tif", "a.webp"])
def test_regions_are_counted_after_the_orientation_tag(tmp_path, orientation, name):
    from PIL import ImageOps

    exif = Image.Exif()
    exif[0x0112] = orientation
    smooth = Image.fromarray(COLOURS[:3, :4]).resize((32, 24), Image.Resampling.BICUBIC)
    smooth.save(tmp_path / name, exif=exif, **({"quality": 95, "subsampling": 0} if name == "a.jpg" else {}))
    upright = np.asarray(ImageOps.exif_transpose(Image.open(tmp_path / name)).convert("RGB"))
    expect(tmp_path / name, upright / 255)
    small = open_picture(tmp_path / name).reduced(60)
    assert (small.shape[0] > small.shape[1]) == (orientation >= 5)


def test_an_orientation_after_a_pngs_pixels_counts(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.fromarray(COLOURS).save(tmp_path / "a.png")
    raw = (tmp_path / "a.png").read_bytes()
    chunk = b"eXIf" + exif.tobytes().removeprefix(b"Exif\0\0")
    extra = struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
    (tmp_path / "a.png").write_bytes(raw[:-12] + extra + raw[-12:])
    expect(tmp_path / "a.png", np.rot90(COLOURS, -1) / 255)


def test_heic_is_not_turned_twice(tmp_path):
    pillow_heif.register_heif_opener()
    exif = Image.Exif()
    exif[0x0112] = 6
    wide = np.zeros((32, 64, 3), np.uint8)
    wide[:, :32] = 200  # light on the left: on top once turned
    Image.fromarray(wide).save(tmp_path / "a.heic", exif=exif.tobytes(), quality=95)
    picture = open_picture(tmp_path / "a.heic")
    assert (picture.width, picture.height) == (32, 64)
    assert picture.levels()[:30].mean() > 0.7 > 0.1 > picture.levels()[34:].mean()


# -- inks ----------------------------------------------------------------------------------------


def test_cmyk_without_a_profile_is_read_with_ideal_inks_and_says_so(tmp_path):
    smooth = Image.fromarray(COLOURS[:3, :4]).resize((32, 24), Image.Resampling.BICUBIC)
    smooth.convert("CMYK").save(tmp_path / "a.tif")
    smooth.convert("CMYK").save(tmp_path / "a.jpg", quality=100)
    expect(tmp_path / "a.tif", np.asarray(smooth) / 255)
    np.testing.assert_allclose(
        open_picture(tmp_path / "a.jpg").linear(), srgb_decode(np.asarray(smooth) / 255), atol=0.1
    )
    for name in ("a.tif", "a.jpg"):
        picture = open_picture(tmp_path / name)
        assert "CMYK" in picture.profile and "no profile" in say(picture.notes[0])
        assert not picture.grey and not picture.clipped().any()


# -- what a sampler asks -------------------------------------------------------------------------


def test_clipped_channels_are_marked(tmp_path):
    levels = np.full((4, 4, 3), 128, np.uint8)
    levels[0, 0] = [255, 128, 0]
    Image.fromarray(levels).save(tmp_path / "a.png")
    clipped = open_picture(tmp_path / "a.png").clipped()
    assert clipped[0, 0].tolist() == [True, False, True]
    assert clipped.sum() == 2


def test_a_grey_picture_saved_in_colour_is_grey_and_a_toned_one_is_not(tmp_path):
    Image.fromarray(GREYS).convert("RGB").save(tmp_path / "a.jpg", quality=80)
    assert open_picture(tmp_path / "a.jpg").grey
    toned = np.stack([GREYS, (GREYS * 0.95).astype(np.uint8), (GREYS * 0.85).astype(np.uint8)], -1)
    Image.fromarray(toned).save(tmp_path / "b.jpg", quality=80)
    assert not open_picture(tmp_path / "b.jpg").grey


@pytest.mark.parametrize("name", ["a.jpg", "a.png"])
def test_reduced_keeps_the_mean_light(tmp_path, name):
    smooth = Image.fromarray(COLOURS[:6, :8]).resize((801, 603), Image.Resampling.BICUBIC)
    smooth.save(tmp_path / name)
    picture = open_picture(tmp_path / name)
    small = picture.reduced(2000)
    assert 500 < small.shape[0] * small.shape[1] <= 2200
    np.testing.assert_allclose(small.mean((0, 1)), picture.linear().mean((0, 1)), atol=0.004)
    assert picture.reduced(10**6).shape == (603, 801, 3)


def test_thumbnail_is_upright_in_srgb_and_never_larger(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.new("RGB", (200, 100), (200, 60, 30)).save(tmp_path / "a.jpg", exif=exif, quality=95)
    small = thumbnail(tmp_path / "a.jpg", 50)
    assert small.shape == (50, 25, 3) and small.dtype == np.uint8
    assert np.abs(small.astype(int) - [200, 60, 30]).max() <= 3
    assert thumbnail(tmp_path / "a.jpg", 500).shape == (200, 100, 3)


# -- profiles in files ---------------------------------------------------------------------------

P3 = np.array(
    [[0.51512, 0.29198, 0.15710], [0.24120, 0.69225, 0.06657], [-0.00105, 0.04189, 0.78407]]
)  # ICC, D50


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.webp", "a.tif"])
def test_an_embedded_profile_is_honoured_and_named(tmp_path, name):
    profile = icc.matrix(
        P3, [icc.parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)], icc.unicode("Wide")
    )
    Image.new("RGB", (16, 16), (255, 0, 0)).save(
        tmp_path / name, icc_profile=profile, **({"lossless": True} if name == "a.webp" else {})
    )
    picture = open_picture(tmp_path / name)
    assert picture.profile == "Wide"
    # Display P3 red in linear sRGB, unclipped (colour-science: 1.2249, -0.0421, -0.0196)
    np.testing.assert_allclose(picture.linear()[8, 8], [1.2249, -0.0421, -0.0196], atol=0.012)


@pytest.mark.parametrize("damage", [b"", b"not a profile at all", "cut", "grey"])
def test_a_profile_that_cannot_be_used_is_left_out_with_a_note(tmp_path, damage):
    whole = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    grey = icc.build({b"desc": icc.text("g"), b"kTRC": icc.gamma(2.2)}, space=b"GRAY")
    data = {"cut": whole[:300], "grey": grey}.get(damage, damage)
    Image.fromarray(COLOURS).save(tmp_path / "a.png", icc_profile=data)
    picture = open_picture(tmp_path / "a.png")
    assert picture.profile == "sRGB (assumed)"
    assert bool(picture.notes) == bool(data)
    expect(tmp_path / "a.png", COLOURS / 255)


def test_coded_points_in_a_png_are_honoured(tmp_path):
    # PNG, third edition: cICP 12 (P3, D65), 13 (sRGB transfer), RGB, full range
    Image.new("RGB", (4, 4), (255, 0, 0)).save(tmp_path / "a.png")
    raw = (tmp_path / "a.png").read_bytes()
    chunk = b"cICP" + bytes([12, 13, 0, 1])
    extra = struct.pack(">I", 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
    (tmp_path / "a.png").write_bytes(raw[:33] + extra + raw[33:])
    picture = open_picture(tmp_path / "a.png")
    assert "P3" in picture.profile
    np.testing.assert_allclose(picture.linear()[0, 0], [1.2249, -0.0421, -0.0196], atol=1e-3)


def test_hints_of_another_encoding_without_a_profile_are_told(tmp_path):
    Image.fromarray(COLOURS).save(tmp_path / "a.png")
    raw = (tmp_path / "a.png").read_bytes()
    chunk = b"gAMA" + struct.pack(">I", 100_000)
    extra = struct.pack(">I", 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
    (tmp_path / "a.png").write_bytes(raw[:33] + extra + raw[33:])
    assert "gamma of 1 " in say(open_picture(tmp_path / "a.png").notes[0])
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA005] = {1: "R03"}
    Image.fromarray(COLOURS).save(tmp_path / "a.jpg", exif=exif)
    assert "Adobe RGB" in say(open_picture(tmp_path / "a.jpg").notes[0])


# -- bad input -----------------------------------------------------------------------------------


def bomb() -> bytes:
    """A PNG of 20,000 × 20,000 pixels in a few hundred kilobytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    packer = zlib.compressobj(9, wbits=-15)
    block = packer.compress(b"\0" * 20001 * 100) + packer.flush(zlib.Z_FULL_FLUSH)  # may be said again
    adler = (20001 * 20000 % 65521) << 16 | 1
    rows = b"\x78\xda" + 200 * block + b"\x03\x00" + struct.pack(">I", adler)
    header = struct.pack(">IIBBBBB", 20000, 20000, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def cut(image: Image.Image, format: str, **options: object) -> bytes:
    stream = io.BytesIO()
    image.save(stream, format, **options)
    raw = stream.getvalue()
    return raw[: len(raw) * 6 // 10]


NOISE = Image.fromarray(RNG.integers(0, 256, (200, 300, 3)).astype(np.uint8))
DEEP_NOISE = RNG.integers(0, 65536, (100, 150, 3)).astype(np.uint16)


def deep_tiff(**options: object) -> bytes:
    stream = io.BytesIO()
    tifffile.imwrite(stream, DEEP_NOISE, photometric="rgb", **options)
    return stream.getvalue()


def deep_png() -> bytes:
    import imagecodecs

    return bytes(imagecodecs.png_encode(DEEP_NOISE))


def heic() -> bytes:
    stream = io.BytesIO()
    pillow_heif.from_bytes("RGB", NOISE.size, NOISE.tobytes()).save(stream, quality=60)
    return stream.getvalue()


def frames(format: str) -> bytes:
    stream = io.BytesIO()
    NOISE.save(stream, format, save_all=True, append_images=[NOISE.rotate(180)])
    return stream.getvalue()


def written(levels: np.ndarray) -> bytes:
    stream = io.BytesIO()
    tifffile.imwrite(stream, levels, photometric="rgb")
    return stream.getvalue()


# Made when they are needed: every worker reads this file, and one runs it.
BAD: dict[str, tuple[bytes | Callable[[], bytes], str]] = {
    "empty.jpg": (b"", "empty"),
    "text.jpg": (b"Dear sir, the tram was brown.\n" * 50, "no picture"),
    "script.eps.png": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n%%EndComments\n", "no picture"),
    "cut.jpg": (lambda: cut(NOISE, "JPEG"), "cut off"),
    "header.jpg": (lambda: cut(NOISE, "JPEG")[:40], ""),
    "cut.png": (lambda: cut(NOISE, "PNG")[:60_000], "cut off"),
    "cut16.png": (lambda: deep_png()[:40_000], "cut off"),
    "cut.tif": (lambda: deep_tiff()[:40_000], "cut off"),
    "cutlzw.tif": (lambda: deep_tiff(compression="lzw")[:40_000], "of its data are missing"),
    "header.tif": (lambda: deep_tiff()[:30], "cut off"),
    "cut.webp": (lambda: cut(NOISE, "WEBP"), "cut off"),
    "cut.gif": (lambda: cut(NOISE.convert("P"), "GIF"), "cut off"),
    "cut.bmp": (lambda: cut(NOISE, "BMP"), "cut off"),
    "cut.heic": (lambda: heic()[: len(heic()) * 6 // 10], "cut off"),
    "bomb.png": (lambda: bomb(), "too large"),
    "animated.gif": (lambda: frames("GIF"), "2 pictures"),
    "animated.webp": (lambda: frames("WEBP"), "2 pictures"),
    "animated.png": (lambda: frames("PNG"), "2 pictures"),
    "pages.tif": (lambda: frames("TIFF"), "2 pictures"),
    "levels.tif": (lambda: written(DEEP_NOISE.astype(np.float32)), "levels go from 0 to"),
    "raw.dng": (lambda: deep_tiff(extratags=[(50706, 1, 4, b"\1\4\0\0")]), "raw file"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_one_clear_problem(tmp_path, name):
    data, words = BAD[name]
    (tmp_path / name).write_bytes(data() if callable(data) else data)
    with pytest.raises(InputError) as caught:
        open_picture(tmp_path / name).linear((0, 0, 2, 2))
    (problem,) = caught.value.problems
    assert problem.file == str(tmp_path / name)
    assert words in problem.what
    assert problem.remedy
    assert "\n" not in str(problem) and "Traceback" not in str(problem)


def test_a_reduced_decoding_notices_a_file_that_is_cut_off_too(tmp_path):
    (tmp_path / "cut.jpg").write_bytes(cut(NOISE, "JPEG"))
    with pytest.raises(InputError, match="cut off"):
        open_picture(tmp_path / "cut.jpg").reduced(100)


def test_missing_file_folder_and_a_picture_without_pixels(tmp_path):
    for path, words in ((tmp_path / "nowhere.jpg", "no such file"), (tmp_path, "folder")):
        with pytest.raises(InputError, match=words):
            open_picture(path)
    (tmp_path / "a.ppm").write_bytes(b"P6 0 0 255\n")
    with pytest.raises(InputError):
        open_picture(tmp_path / "a.ppm")


def test_a_phones_two_pictures_in_one_jpeg_are_its_first(tmp_path):
    NOISE.save(tmp_path / "a.jpg", "MPO", save_all=True, append_images=[NOISE.resize((30, 20))])
    picture = open_picture(tmp_path / "a.jpg")
    assert (picture.width, picture.height) == NOISE.size
    assert np.isfinite(picture.linear()).all()


def test_a_scanners_small_second_page_is_no_second_picture(tmp_path):
    with tifffile.TiffWriter(tmp_path / "a.tif") as tiff:
        tiff.write(DEEP, photometric="rgb")
        tiff.write(DEEP[::4, ::4], photometric="rgb", subfiletype=1)
    expect(tmp_path / "a.tif", DEEP / 65535)
