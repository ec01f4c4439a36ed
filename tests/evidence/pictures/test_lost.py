"""Pictures that are not whole: what is missing is never read as grey or black paint.

Each test fails when a decoder's filling counts as picture, or when it is not said what is missing.
"""

from __future__ import annotations

import base64
import io
import struct
import zlib
from fractions import Fraction
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
import tifffile
from PIL import Image

from palette.errors import InputError
from palette.evidence.pictures import jpeg2000
from palette.evidence.pictures.decode import Picture, open_picture
from palette.words import say
from tests.faults.budget import cpu_seconds

_Y, _X = np.mgrid[0:240, 0:320]
_GRAIN = np.random.default_rng(11).normal(0, 5, (240, 320, 3))
COLOURS = np.clip(
    np.stack([60 + _X / 2, 200 - _Y / 2, 90 + (_X + _Y) / 8], axis=-1) + _GRAIN, 20, 240
).astype(np.uint8)


def saved(form: str, **options: object) -> bytes:
    stream = io.BytesIO()
    Image.fromarray(COLOURS).save(stream, form, **options)
    return stream.getvalue()


def tiff(levels: np.ndarray = COLOURS, **options: object) -> bytes:
    stream = io.BytesIO()
    tifffile.imwrite(stream, levels, photometric="rgb", **options)
    return stream.getvalue()


def zeroed(data: bytes, at: float, count: int) -> bytes:
    start = int(len(data) * at)
    return data[:start] + bytes(count) + data[start + count :]


def without(data: bytes, at: float, count: int) -> bytes:
    start = int(len(data) * at)
    return data[:start] + data[start + count :]


def until(data: bytes, share: float) -> bytes:
    return data[: int(len(data) * share)]


def taller(png: bytes, height: int) -> bytes:
    """A PNG that claims more rows than it holds, with sound checksums."""
    data = bytearray(png)
    data[20:24] = struct.pack(">I", height)
    data[29:33] = struct.pack(">I", zlib.crc32(bytes(data[12:29])))
    return bytes(data)


def heic() -> bytes:
    stream = io.BytesIO()
    pillow_heif.from_pillow(Image.fromarray(COLOURS)).save(stream)
    return stream.getvalue()


JPEG, PASSES = saved("JPEG", quality=92), saved("JPEG", quality=92, progressive=True)
PNG = saved("PNG")


@pytest.mark.parametrize("turned", [1, 3, 6, 8])
@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("blank.jpg", zeroed(JPEG, 0.7, 400)),
        ("cut.jpg", until(JPEG, 0.7)),
        ("unwritten.jpg", zeroed(JPEG, 0.7, len(JPEG) - int(len(JPEG) * 0.7))),
        ("cut.png", until(PNG, 0.7)),
        ("blank.png", zeroed(PNG, 0.9, 500)),
        ("strips.tif", until(tiff(rowsperstrip=16), 0.7)),
        ("packed.tif", until(tiff(rowsperstrip=16, compression="deflate"), 0.7)),
        ("one-strip.tif", until(tiff(rowsperstrip=240), 0.7)),
        ("tiles.tif", until(tiff(tile=(64, 64), compression="lzw"), 0.7)),
        ("jpeg.tif", until(tiff(tile=(64, 64), compression="jpeg"), 0.7)),
    ],
)
def test_where_most_is_there_the_rest_is_used(tmp_path: Path, name: str, data: bytes, turned: int) -> None:
    path = tmp_path / name
    if turned != 1 and not name.endswith("jpg"):
        pytest.skip("the way up is the same code for all")
    if turned != 1:  # an Exif block behind the first marker
        exif = Image.Exif()
        exif[0x0112] = turned
        block = exif.tobytes()
        data = data[:2] + b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block + data[2:]
    path.write_bytes(data)
    picture = open_picture(path)
    linear = picture.linear()
    stored = {1: linear, 3: linear[::-1, ::-1], 6: np.rot90(linear), 8: np.rot90(linear, -1)}[turned]
    seen = np.isfinite(stored).all(axis=-1)
    assert 0.5 < seen.mean() < 0.95
    from palette.colour.spaces import srgb_decode

    off = np.abs(stored - srgb_decode(COLOURS / 255))[seen]
    assert np.median(off) < 0.02 and (off > 0.3).mean() < 0.002
    (note,) = [words for words in map(say, picture.notes) if "missing" in words]
    where = {1: "at the bottom", 3: "at the top", 6: "on the left", 8: "on the right"}[turned]
    assert f"{100 * (1 - seen.mean()):.0f} % of the picture is missing" in note
    assert where in note or name in ("tiles.tif", "jpeg.tif")
    assert not np.isfinite(picture.reduced(500)).all()  # a small copy has the hole, too


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("early.jpg", zeroed(JPEG, 0.3, 400), "% of the picture is missing, at the bottom"),
        ("short.jpg", until(JPEG, 0.3), "% of the picture is missing, at the bottom"),
        ("gap.jpg", without(JPEG, 0.5, 6000), "% of its data are missing"),
        ("noise.jpg", JPEG[:-3000] + PNG[-3000:-2].replace(b"\xff", b"") + JPEG[-2:], "damaged"),
        ("passes.jpg", until(PASSES, 0.7), "none of the picture is sharp"),
        ("short.png", until(PNG, 0.3), "% of the picture is missing, at the bottom"),
        ("rows.png", taller(PNG, 600), "60 % of the picture is missing, at the bottom"),
        ("strip.tif", until(tiff(rowsperstrip=240, compression="lzw"), 0.7), "30 % of its data are missing"),
        ("strips.tif", until(tiff(rowsperstrip=16), 0.3), "70 % of the picture is missing, at the bottom"),
    ],
)
def test_where_most_is_gone_or_nobody_can_tell_it_is_refused(
    tmp_path: Path, name: str, data: bytes, words: str
) -> None:
    (tmp_path / name).write_bytes(data)
    for ask in (lambda p: p.linear(), lambda p: p.reduced(500), lambda p: p.notes):
        with pytest.raises(InputError) as caught:
            ask(open_picture(tmp_path / name))
        (problem,) = caught.value.problems
        assert words in problem.what and problem.remedy


def places(data: bytes) -> list[tuple[int, int]]:
    """Where the strips or tiles of a TIFF begin and how long they are."""
    page = tifffile.TiffFile(io.BytesIO(data)).pages[0].aspage()
    return list(zip(page.dataoffsets, page.databytecounts, strict=True))


@pytest.mark.parametrize("way", ["nowhere", "blank", "foreign"])
@pytest.mark.parametrize("compression", ["jpeg", "jpeg2000", "webp", "lzw"])
@pytest.mark.parametrize("shape", [{"rowsperstrip": 48}, {"tile": (48, 64)}], ids=["strips", "tiles"])
def test_a_hole_amid_a_tiff_is_where_it_is(
    tmp_path: Path, compression: str, shape: dict[str, object], way: str
) -> None:
    # fails where what stands behind a lost piece is put in its place, or a piece's damage is not looked for
    whole = tiff(compression=compression, **shape)
    (at, length), (following, _) = places(whole)[2:4]
    if way == "nowhere":
        if whole.count(struct.pack("<I", at)) != 1:
            pytest.skip("the number stands elsewhere, too")
        data = whole.replace(struct.pack("<I", at), struct.pack("<I", 1 << 30))
    else:
        middle = at + length // 2
        piece = bytes(64) if way == "blank" else whole[:64] + 160 * b"\xff\x92"
        data = whole[:middle] + piece + whole[middle + len(piece) :]
        assert len(data) == len(whole) and middle + len(piece) < following
    expected = opened(tmp_path / "whole.tif", whole).linear()
    try:
        linear = opened(tmp_path / "a.tif", data).linear()
    except InputError:
        assert way != "nowhere" and compression in ("lzw", "webp")  # their decoders refuse all of it
        return
    seen = np.isfinite(linear).all(axis=-1)
    box = seen[96:144] if "rowsperstrip" in shape else seen[:48, 128:192]
    assert not box.any() and (~seen).sum() == box.size
    np.testing.assert_array_equal(linear[seen], expected[seen])


@pytest.mark.parametrize(
    "more",
    [
        b"\xff\x2b\x01\x02\x00",  # no marker that a scan holds
        b"\xff\xe1\xff\xf0\x00",  # one that says it goes on behind the end
        b"\xff\xfe\x00\x10" + 30 * b"\x11",  # one with more behind it that is none
    ],
)
@pytest.mark.parametrize("restarts", [0, 7])
def test_a_marker_amid_the_data_is_damage(tmp_path: Path, more: bytes, restarts: int) -> None:
    # fails where the rest counts as read because the end of the file was never found
    data = saved("JPEG", quality=92, restart_marker_blocks=restarts)
    middle = len(data) // 2
    with pytest.raises(InputError, match="nobody can tell where"):
        opened(tmp_path / "a.jpg", data[:middle] + more + data[middle + len(more) :]).linear()


def test_an_interval_too_short_is_damage(tmp_path: Path) -> None:
    # libjpeg's "extraneous bytes" are padding at the end of the data, and damage before a restart marker
    data = saved("JPEG", quality=92, restart_marker_blocks=7)
    at = data.index(b"\xff\xd3", len(data) // 2)
    with pytest.raises(InputError):
        opened(tmp_path / "a.jpg", data[:at] + 9 * b"\x55" + data[at:]).linear()


ARITHMETIC = base64.b85decode(  # a grey ramp of 48 × 64 pixels in the other of T.81's codes
    "|JeWF01!$>Nk#wx0RR9200961|JwjV01XKW3knDg3knMk4h;_zAQcl55)&sJ9v2`kDKRiEDJ?8BI!Zn>HbyrrEkIX6ModmpQ"
    "&KWMT47pHU`kO^PyfjP3kU!}05Aao5di<p00saM5C#9*00;pA002J#{>{+?En~C*00?sKh;6t=1>aDMRw1f~tXzHg<i^VhCB"
    "g4I(p8@+F0r~1L<-"
    "$Lzr#dI{^rohENBGF(AjJV<1P4`sF{Bh8dXV355!?gMDIpT>B5K4P<HsALes|S7)(+bQOZ3CMwUBTc~dK3$Be?>d&wf!n@js"
    "sx?ZFDeA5%@ig%vaVIr{(Oj;LIG-z!jxiwJv0obx=9hv$eC{q{Zn<(R6CH)I_I-AA^=!~DlZ`h0Pjji-"
    "+utS|;Dhg1o7RU4BK{eP7p(NdIN#Xjnf-"
    "09I{lwBQOV5m&Rc8P{s!(5&fs&ho(?@*J3ZRa(36BFsXOAo1p{F~5*<3k57xKcY;30DRmN%Xfgc!^{<I#hPowJg^((4P#MB)"
    "Z-eiQ!yhf$52V%YXRS;9(18J_h7Z6&&1+Bys>hn4i3D>)*YnFM<#R@b%yT&*;yfJLYREQAA4)jFnzd!R1P?H{-"
    "EqB7*{y0)CDg$*^cg$5@#mO1fpt1oZxRJ?xE&C<7U2>;m"
)


@pytest.mark.parametrize(
    ("data", "rows"),
    [
        (ARITHMETIC, 64),
        (ARITHMETIC.replace(b"\xff\xda", b"\xff\xcc\x00\x04\x00\x10\xff\xda"), 64),  # its code's own table
        (PASSES.replace(b"\xff\xda", b"\xff\xfe\x00\x04hi\xff\xda"), 240),  # remarks between the passes
        (until(ARITHMETIC, 0.8), 40),
        (zeroed(ARITHMETIC, 0.8, 70), 40),
    ],
)
def test_rarer_parts_of_a_jpeg(tmp_path: Path, data: bytes, rows: int) -> None:
    linear = opened(tmp_path / "a.jpg", data).linear()
    assert np.isfinite(linear[:rows]).all() and (len(linear) == rows or np.isnan(linear[-8:]).all())


def opened(path: Path, data: bytes) -> Picture:
    path.write_bytes(data)
    return open_picture(path)


@pytest.mark.parametrize("compression", [None, "lzw", "jpeg"])
def test_pieces_of_a_tiff_that_lie_over_each_other_are_refused(
    tmp_path: Path, compression: str | None
) -> None:
    data = tiff(rowsperstrip=48, compression=compression)
    (first, _), (second, _) = places(data)[1:3]
    data = data.replace(struct.pack("<I", second), struct.pack("<I", first + (not compression)))
    with pytest.raises(InputError, match="lie over each other"):
        opened(tmp_path / "a.tif", data).linear()


def bitmap(width: int, height: int) -> bytes:
    """A BMP whose header states another size."""
    data = saved("BMP")
    return data[:18] + struct.pack("<ii", width, height) + data[26:]


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("rows.bmp", bitmap(320, 200)),
        ("narrow.bmp", bitmap(300, 240)),
        ("narrow.ppm", saved("PPM").replace(b"320 240", b"300 240", 1)),
        ("doubled.ppm", saved("PPM")[:100] + bytes(range(60, 80)) + saved("PPM")[100:]),
    ],
)
def test_more_levels_than_a_picture_has_are_refused(tmp_path: Path, name: str, data: bytes) -> None:
    # fails where rows that begin elsewhere than the header says are read as picture
    with pytest.raises(InputError, match="go on behind the end"):
        opened(tmp_path / name, data).linear()


def test_a_gif_is_a_hole_about_its_picture(tmp_path: Path) -> None:
    data = saved("GIF")
    wide = opened(tmp_path / "a.gif", data[:6] + struct.pack("<HH", 400, 300) + data[10:])
    assert np.isfinite(wide.linear()[:240, :320]).all() and np.isnan(wide.linear()[240:]).all()
    assert np.isnan(wide.linear()[:, 320:]).all()


def test_light_beyond_levels_is_not_read_as_levels(tmp_path: Path) -> None:
    data = b"Pf\n2 2\n-1.0\n" + np.array([0.1, 2, 3, 40], "<f4").tobytes()
    with pytest.raises(InputError, match="light, not levels"):
        opened(tmp_path / "a.pfm", data)


def test_what_a_library_has_to_say_is_not_shown(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    # fails where libpng's own words stand among the answers: a file of 16 bits that states fewer rows
    import imagecodecs

    data = imagecodecs.png_encode(COLOURS.astype(np.uint16) * 257)
    assert opened(tmp_path / "a.png", taller(data, 200)).linear().shape == (200, 320, 3)
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("rows", [300, 480])
def test_rows_that_never_came_are_no_black_paint(tmp_path: Path, rows: int) -> None:
    (tmp_path / "a.png").write_bytes(taller(PNG, rows))
    picture = open_picture(tmp_path / "a.png")
    assert np.isfinite(picture.linear()).all(axis=-1).sum() == 240 * 320
    share = f"{100 * (1 - 240 / rows):.0f} % of the picture is missing, at the bottom"
    assert [*map(say, picture.notes)] == [f"{share}: the file has no more rows; only the rest is used"]


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.jpg", JPEG),
        ("passes.jpg", PASSES),
        ("restarts.jpg", saved("JPEG", restart_marker_rows=1)),
        ("padded.jpg", JPEG[:-2] + bytes(40) + JPEG[-2:]),  # as some cameras write them
        ("trailer.jpg", JPEG + b"more from a camera" * 20),
        ("unended.jpg", JPEG[:-2]),
        ("a.png", PNG),
        ("a.bmp", saved("BMP")),
        ("a.ppm", saved("PPM") + b"\n"),
        ("two.ppm", saved("PPM") * 2),
        ("a.gif", saved("GIF")),
        ("a.tif", tiff(rowsperstrip=16)),
    ],
)
def test_what_is_whole_is_not_accused(tmp_path: Path, name: str, data: bytes) -> None:
    (tmp_path / name).write_bytes(data)
    picture = open_picture(tmp_path / name)
    assert picture.notes == () and np.isfinite(picture.linear()).all()


@pytest.mark.parametrize("level", [0, 128, 255])
@pytest.mark.parametrize("options", [{"optimize": True}, {"progressive": True}, {}])
def test_one_plain_colour_is_whole(tmp_path: Path, level: int, options: dict[str, bool]) -> None:
    # its data may well be all noughts, and its last row black
    for name in ("a.jpg", "a.png"):
        more = options if name.endswith("jpg") else {}
        Image.new("RGB", (1600, 1200), (level,) * 3).save(tmp_path / name, **more)
        picture = open_picture(tmp_path / name)
        assert picture.notes == () and np.isfinite(picture.linear()).all()


@pytest.mark.parametrize("size", [(640, 480), (160, 120), (320, 246), (320, 400)])
def test_heic_of_another_size_than_it_says(tmp_path: Path, size: tuple[int, int]) -> None:
    stream = io.BytesIO()
    pillow_heif.from_pillow(Image.fromarray(COLOURS)).save(stream)
    data = bytearray(stream.getvalue())
    at = data.find(b"ispe") + 8
    assert struct.unpack(">II", data[at : at + 8]) == (320, 240)
    data[at : at + 8] = struct.pack(">II", *size)
    (tmp_path / "a.heic").write_bytes(data)
    with pytest.raises(InputError):
        open_picture(tmp_path / "a.heic").linear()


SILENT = {  # their decoders conceal damage and say nothing
    "a.webp": saved("WEBP", quality=85),
    "lossless.webp": saved("WEBP", lossless=True),
    "a.avif": saved("AVIF"),
    "a.jp2": saved("JPEG2000"),
    "tiles.jp2": saved("JPEG2000", tile_size=(128, 128), quality_mode="rates", quality_layers=[10]),
    "a.heic": heic(),
}


@pytest.mark.parametrize("at", [0.4, 0.7, 0.95])
@pytest.mark.parametrize("name", SILENT)
def test_blank_data_that_a_decoder_conceals_are_refused(tmp_path: Path, name: str, at: float) -> None:
    for data in (zeroed(SILENT[name], at, 250), until(SILENT[name], at)):
        (tmp_path / name).write_bytes(data)
        for ask in (lambda p: p.linear(), lambda p: p.reduced(500), lambda p: (p.notes, p.linear())):
            with pytest.raises(InputError) as caught:
                ask(open_picture(tmp_path / name))
            assert len(caught.value.problems) == 1 and caught.value.problems[0].remedy


LAYERS = {"quality_mode": "rates", "quality_layers": [40, 10, 2], "irreversible": True}
PRECINCTS = {
    "precinct_size": (64, 64),
    "codeblock_size": (16, 16),
    "tile_size": (150, 130),
    "offset": (13, 7),
}
WAYS = {  # of JPEG 2000
    "rows": {"progression": "RPCL", **PRECINCTS},
    "sizes": {"progression": "RLCP", **LAYERS},
    "places": {"progression": "PCRL", **PRECINCTS, **LAYERS},
    "parts": {"progression": "CPRL", **PRECINCTS},
    "layers": {"progression": "LRCP", "num_resolutions": 3, **LAYERS},
    "one": {"num_resolutions": 1, "no_jp2": True},
}


@pytest.mark.parametrize("way", WAYS)
def test_a_small_piece_of_a_jpeg_2000_does_not_go_unseen(way: str) -> None:
    # fails where a packet's header is not followed, or noughts within a code count as data
    whole = saved("JPEG2000", **WAYS[way])
    assert jpeg2000.damaged(whole) is None
    for at in (0.3, 0.55, 0.8):
        assert jpeg2000.damaged(zeroed(whole, at, 64)) and jpeg2000.damaged(without(whole, at, 3))
    assert jpeg2000.damaged(whole[:-100]) == "the file is cut off"


def test_a_jpeg_2000_of_another_encoder_is_whole(tmp_path: Path) -> None:
    # that of FFmpeg breaks codes off between two bytes that may not be neighbours
    av = pytest.importorskip("av")
    encoder = av.CodecContext.create("jpeg2000", "w")
    encoder.width, encoder.height, encoder.pix_fmt, encoder.time_base = 320, 240, "rgb24", Fraction(1, 25)
    encoder.options = {"layer_rates": "100,10,1", "sop": "1", "eph": "1", "prog": "rpcl"}
    frame = av.VideoFrame.from_ndarray(COLOURS, format="rgb24")
    data = b"".join(bytes(packet) for packet in (*encoder.encode(frame), *encoder.encode(None)))
    assert jpeg2000.damaged(data) is None and jpeg2000.damaged(zeroed(data, 0.5, 64))


@pytest.mark.parametrize("name", ["a.avif", "a.heic"])
def test_foreign_bytes_that_a_decoder_gets_over_are_noticed(tmp_path: Path, name: str) -> None:
    # no blank, and nothing the coding never writes: but the decoder is done before the data are
    at, piece = int(0.3 * len(SILENT[name])), bytes(range(100, 228)) * 2
    with pytest.raises(InputError, match="go on behind the end of the picture"):
        opened(tmp_path / name, SILENT[name][:at] + piece + SILENT[name][at + len(piece) :]).linear()


def plain() -> Image.Image:
    """A small photograph on a large white sheet: its data end in next to nothing."""
    image = Image.new("RGB", (900, 700), "white")
    image.paste(Image.fromarray(COLOURS), (200, 100))
    return image


@pytest.mark.parametrize("image", [plain(), Image.new("RGB", (900, 700), "black")], ids=["sheet", "black"])
@pytest.mark.parametrize(
    ("name", "form", "options"),
    [
        ("a.webp", "WEBP", {"quality": 30, "method": 6}),
        ("fast.webp", "WEBP", {"quality": 100, "method": 0}),
        ("lossless.webp", "WEBP", {"lossless": True, "method": 0}),
        ("a.avif", "AVIF", {"speed": 9}),
        ("rough.avif", "AVIF", {"quality": 10}),
        ("a.heic", "HEIF", {"quality": 20}),
        ("fine.heic", "HEIF", {"quality": 95, "chroma": 444}),
        ("a.jp2", "JPEG2000", {}),
        ("layers.jp2", "JPEG2000", {"quality_mode": "rates", "quality_layers": [80, 40, 20, 10, 5]}),
        ("precincts.jp2", "JPEG2000", {"precinct_size": (128, 128)}),
    ],
)
def test_a_plain_picture_is_not_taken_for_blank_data(
    tmp_path: Path, image: Image.Image, name: str, form: str, options: dict[str, object]
) -> None:
    if form == "HEIF":
        pillow_heif.from_pillow(image).save(tmp_path / name, **options)
    else:
        image.save(tmp_path / name, form, **options)
    picture = open_picture(tmp_path / name)
    assert picture.notes == () and np.isfinite(picture.linear()).all()


@pytest.mark.parametrize("name", SILENT)
def test_a_whole_picture_whose_decoder_is_silent_is_read(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(SILENT[name])
    picture = open_picture(tmp_path / name)
    assert picture.notes == () and np.isfinite(picture.linear()).all()


# -- floating point ------------------------------------------------------------------------------


def floats(path: Path, levels: np.ndarray) -> Path:
    tifffile.imwrite(path, levels.astype(levels.dtype), photometric="rgb")
    return path


@pytest.mark.parametrize("worst", [np.nan, np.inf, -np.inf, 199.0, -7.0, 1e300])
@pytest.mark.filterwarnings("error")
def test_a_few_levels_that_are_none_are_left_out(tmp_path: Path, worst: float) -> None:
    levels = (COLOURS / 255).astype(np.float64)
    levels[:10, :8] = worst
    picture = open_picture(floats(tmp_path / "a.tif", levels))
    linear = picture.linear()
    assert np.isnan(linear[:10, :8]).all() and np.isfinite(linear[10:]).all() and linear[10:].max() < 1
    assert "0.1 % of its pixels hold no valid level, and are left out" in map(say, picture.notes)


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        (COLOURS.astype(np.float32), "scale them so that black is 0 and white is 1"),
        (COLOURS.astype(np.float32) / 100, "scale them so that black is 0 and white is 1"),
        (COLOURS.astype(np.float32) / 255 - 1, "scale them so that black is 0 and white is 1"),
        (np.full((20, 20, 3), np.nan, np.float32), "none of its levels is a number"),
        (np.full((20, 20, 3), np.inf, np.float32), "none of its levels is a number"),
    ],
)
@pytest.mark.filterwarnings("error")
def test_levels_on_another_scale_are_asked_about(tmp_path: Path, levels: np.ndarray, words: str) -> None:
    with pytest.raises(InputError, match=words):
        open_picture(floats(tmp_path / "a.tif", levels)).linear()


def test_a_wide_gamut_in_floats_is_kept(tmp_path: Path) -> None:
    # a green outside sRGB, in extended sRGB levels (IEC 61966-2-1, amendment 1: levels below 0 and above 1)
    levels = np.full((20, 20, 3), (-0.3, 0.9, 1.1), np.float32)
    picture = open_picture(floats(tmp_path / "a.tif", levels))
    assert np.isfinite(picture.linear()).all()


# -- made to take for ever -----------------------------------------------------------------------


def circle() -> bytes:
    data = bytearray(tiff(np.stack([COLOURS[:8, :8]] * 2)))
    first = struct.unpack("<I", data[4:8])[0]
    last = first + 2 + 12 * struct.unpack("<H", data[first : first + 2])[0]
    second = struct.unpack("<I", data[last : last + 4])[0]
    end = second + 2 + 12 * struct.unpack("<H", data[second : second + 2])[0]
    data[end : end + 4] = struct.pack("<I", first)
    return bytes(data)


def pointless(tag: int, value: int) -> bytes:
    """A small TIFF with another value for one tag."""
    data = bytearray(tiff(COLOURS[:16, :16], rowsperstrip=4, compression="deflate"))
    at = struct.unpack("<I", data[4:8])[0]
    for i in range(struct.unpack("<H", data[at : at + 2])[0]):
        entry = at + 2 + 12 * i
        if struct.unpack("<H", data[entry : entry + 2])[0] == tag:
            data[entry + 2 : entry + 4] = struct.pack("<H", 4)
            data[entry + 8 : entry + 12] = struct.pack("<I", value)
    return bytes(data)


def passes(count: int) -> bytes:
    start = PASSES.index(b"\xff\xda")
    end = PASSES.index(b"\xff", start + 2 + struct.unpack(">H", PASSES[start + 2 : start + 4])[0])
    return PASSES[:start] + PASSES[start:end] * count + b"\xff\xd9"


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("circle.tif", circle()),
        ("long.tif", pointless(257, 178_000_000 // 16)),
        ("wide.tif", pointless(256, 178_000_000 // 16)),
        ("thin.tif", pointless(278, 1)),
        ("passes.jpg", passes(20_000)),
        ("huge.png", taller(PNG, 500_000)),
    ],
)
def test_a_picture_made_to_take_for_ever(tmp_path: Path, name: str, data: bytes) -> None:
    (tmp_path / name).write_bytes(data)
    with cpu_seconds(10), pytest.raises(InputError) as caught:
        open_picture(tmp_path / name).linear()
    assert len(caught.value.problems) == 1


def test_a_small_file_of_a_huge_picture_is_asked_about(tmp_path: Path) -> None:
    tifffile.imwrite(tmp_path / "a.tif", np.zeros((12_000, 12_000), np.uint8), compression="deflate")
    with pytest.raises(InputError, match="one plain colour"):
        open_picture(tmp_path / "a.tif")


@pytest.mark.parametrize(("entries", "used", "good"), [(512, 256, True), (256, 200, True), (100, 256, False)])
def test_a_colour_map_of_another_length(tmp_path: Path, entries: int, used: int, good: bool) -> None:
    ramp = np.linspace(0, 65535, entries).astype(np.uint16)
    indices = np.arange(used, dtype=np.uint8).reshape(1, -1).repeat(8, axis=0)
    colours = np.zeros((3, 256), np.uint16)
    tifffile.imwrite(tmp_path / "a.tif", indices, photometric="palette", colormap=colours)
    data = bytearray((tmp_path / "a.tif").read_bytes())
    at = struct.unpack("<I", data[4:8])[0]
    for i in range(struct.unpack("<H", data[at : at + 2])[0]):
        entry = at + 2 + 12 * i
        if struct.unpack("<H", data[entry : entry + 2])[0] == 320:
            data[entry + 4 : entry + 12] = struct.pack("<II", 3 * entries, len(data))
    data += np.concatenate([ramp, ramp, ramp]).astype("<u2").tobytes()
    (tmp_path / "a.tif").write_bytes(data)
    if good:
        levels = open_picture(tmp_path / "a.tif").levels()
        np.testing.assert_allclose(levels[0], ramp[:used] / 65535, atol=0.003)
    else:
        with pytest.raises(InputError, match="colour map has 100 entries"):
            open_picture(tmp_path / "a.tif").levels()
