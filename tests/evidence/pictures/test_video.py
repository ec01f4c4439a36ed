"""Frames from little videos made here, with known light in them."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import av
import colour
import numpy as np
import pytest

from palette.errors import InputError
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.video import parse_span, parse_time, stills, time_code
from palette.words import say

# Colours of the patches, R'G'B' in eighths of the range; four side by side
PATCHES = np.array([[0.75, 0.25, 0.125], [0.25, 0.625, 0.25], [0.125, 0.25, 0.75], [0.5, 0.5, 0.5]])
SIZE = (64, 96)  # rows, columns


def picture(patches: np.ndarray = PATCHES) -> np.ndarray:
    return np.repeat(np.repeat(patches[None], SIZE[0], 0), SIZE[1] // 4, 1)


def planes(rgb: np.ndarray, space: str, bits: int = 8, full: bool = False, sub: bool = True) -> np.ndarray:
    """R'G'B' to one tall array of planes, by colour-science's weights of the Recommendation named."""
    ycc = colour.RGB_to_YCbCr(
        rgb, K=colour.WEIGHTS_YCBCR[space], out_bits=bits, out_legal=not full, out_int=True
    )
    dtype = np.uint8 if bits == 8 else np.uint16
    luma, blue, red = (ycc[..., i].astype(dtype) for i in range(3))
    if sub:
        blue, red = blue[::2, ::2], red[::2, ::2]
        width = luma.shape[1]
        return np.concatenate([luma, blue.reshape(-1, width), red.reshape(-1, width)])
    return np.stack([luma, blue, red])


def write(
    path: Path,
    frames: list[np.ndarray],
    format: str = "yuv420p",
    codec: str = "ffv1",
    rate: int = 25,
    interlaced: bool = False,
    options: dict[str, str] | None = None,
    **colours: int,
) -> Path:
    """A video of these planes; colours by H.273's numbers: colorspace, color_range, …"""
    container = av.open(str(path), "w")
    stream = container.add_stream(codec, rate=rate, options=options or {})
    height = frames[0].shape[-2] if frames[0].ndim == 3 else frames[0].shape[0] * 2 // 3
    stream.width, stream.height, stream.pix_fmt = frames[0].shape[-1], height, format
    stream.time_base = Fraction(1, rate)
    for name, value in colours.items():
        setattr(stream.codec_context, name, value)
    for i, data in enumerate(frames):
        frame = av.VideoFrame.from_ndarray(data, format=format)
        frame.pts, frame.time_base = i, Fraction(1, rate)
        container.mux(stream.encode(frame))
    container.mux(stream.encode())
    container.close()
    return path


def patch_means(levels: np.ndarray) -> np.ndarray:
    """The middles of the four patches."""
    width = SIZE[1] // 4
    return np.array([levels[20:44, i * width + 8 : (i + 1) * width - 8].mean((0, 1)) for i in range(4)])


# -- colour --------------------------------------------------------------------------------------


@pytest.mark.parametrize("space", ["ITU-R BT.601", "ITU-R BT.709"])
@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("bits", [8, 10])
def test_matrix_and_range_are_the_streams_own(tmp_path, space, full, bits):
    """BT.601 and BT.709, full and limited range, through colour-science's implementation of both."""
    matrix = 6 if space.endswith("601") else 1
    film = write(
        tmp_path / "a.mkv",
        [planes(picture(), space, bits, full)] * 3,
        "yuv420p" if bits == 8 else "yuv420p10le",
        colorspace=matrix,
        color_range=2 if full else 1,
        color_primaries=1,
        color_trc=1,
    )
    (still,) = stills(film, [0.04])
    # an 8-bit step of chroma is 2 × 0.93 / 224 of blue
    np.testing.assert_allclose(patch_means(still.levels), PATCHES, atol=0.006 if bits == 8 else 0.0016)
    assert still.full_range == full and still.matrix == space.removeprefix("ITU-R ")
    assert not [note for note in still.notes if "assumed" in say(note)]


def test_the_wrong_matrix_would_show(tmp_path):
    film = write(
        tmp_path / "a.mkv", [planes(picture(), "ITU-R BT.601")], colorspace=1, color_range=1, color_trc=1
    )
    (still,) = stills(film, [0.0])
    assert np.abs(patch_means(still.levels) - PATCHES).max() > 0.03


def test_what_is_not_stated_is_assumed_and_said(tmp_path):
    film = write(tmp_path / "a.mkv", [planes(picture(), "ITU-R BT.601")])
    (still,) = stills(film, [0.0])
    np.testing.assert_allclose(patch_means(still.levels), PATCHES, atol=0.006)
    assert len([note for note in still.notes if "assumed" in say(note)]) == 3
    assert still.points.name.endswith("(assumed)")


@pytest.mark.parametrize(("format", "sub"), [("yuv444p", False), ("yuvj420p", True), ("nv12", True)])
def test_other_layouts(tmp_path, format, sub):
    full = format == "yuvj420p"
    space = "ITU-R BT.601" if full else "ITU-R BT.709"  # JPEG's is BT.601's, whatever the file says
    data = planes(picture(), space, full=full, sub=sub)
    if format == "nv12":
        rows = SIZE[0]
        chroma = data[rows:].reshape(2, rows // 2, SIZE[1] // 2)
        data = np.concatenate([data[:rows], np.dstack([chroma[0], chroma[1]]).reshape(rows // 2, SIZE[1])])
    codec = "rawvideo" if format == "nv12" else "ffv1" if format == "yuv444p" else "mjpeg"
    film = write(
        tmp_path / "a.mkv",
        [data],
        format,
        codec,
        options={"qmin": "1", "qmax": "2"} if codec == "mjpeg" else {},
        colorspace=1,
        color_range=2 if full else 1,
    )
    (still,) = stills(film, [0.0])
    np.testing.assert_allclose(patch_means(still.levels), PATCHES, atol=0.02)
    assert still.full_range == full


def test_the_png_carries_the_streams_light(tmp_path):
    """BT.709's own transfer and BT.2020's primaries, by colour-science."""
    film = write(
        tmp_path / "a.mkv",
        [planes(picture(), "ITU-R BT.2020", 10)],
        "yuv420p10le",
        colorspace=9,
        color_range=1,
        color_primaries=9,
        color_trc=1,
    )
    (still,) = stills(film, [0.0])
    (tmp_path / "a.png").write_bytes(still.png())
    opened = open_picture(tmp_path / "a.png")
    assert opened.bits == 16 and "BT.2020" in opened.profile
    light = colour.models.oetf_inverse_BT709(PATCHES)
    to_srgb = (
        colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
        @ colour.RGB_COLOURSPACES["ITU-R BT.2020"].matrix_RGB_to_XYZ
    )
    np.testing.assert_allclose(patch_means(opened.linear()), light @ to_srgb.T, atol=0.004)
    np.testing.assert_allclose(patch_means(np.dstack([opened.levels()] * 3))[3], 0.5, atol=0.002)


def test_high_dynamic_range_is_refused(tmp_path):
    film = write(
        tmp_path / "a.mkv", [planes(picture(), "ITU-R BT.2020")], colorspace=9, color_range=1, color_trc=16
    )
    with pytest.raises(InputError, match="high dynamic range"):
        stills(film, [0.0])


# -- time ----------------------------------------------------------------------------------------


def counting(count: int) -> list[np.ndarray]:
    """Frames whose grey level tells their number."""
    return [np.full((SIZE[0] * 3 // 2, SIZE[1]), 128, np.uint8) for _ in range(count)]


def numbered(tmp_path: Path, count: int, codec: str, name: str) -> Path:
    frames = counting(count)
    for i, frame in enumerate(frames):
        frame[: SIZE[0]] = 20 + i
    options = {"crf": "0", "preset": "ultrafast", "g": "50"} if codec == "libx264" else {}
    return write(tmp_path / name, frames, codec=codec, options=options, color_range=1, colorspace=1)


def number(still) -> int:
    return round(float(still.levels[..., 1].mean()) * 219 + 16 - 20)


@pytest.mark.parametrize(("codec", "name"), [("ffv1", "a.mkv"), ("libx264", "a.mp4"), ("libx264", "a.h264")])
def test_the_frame_is_the_one_shown_at_that_time(tmp_path, codec, name):
    film = numbered(tmp_path, 150, codec, name)
    times = [0.0, 0.039, 0.04, 1.0, 3.999, 4.0, 5.96, 2.5]
    assert [number(still) for still in stills(film, times)] == [0, 0, 1, 25, 99, 100, 149, 62]


def test_a_time_past_the_end_is_one_problem_each(tmp_path):
    film = numbered(tmp_path, 50, "libx264", "a.mp4")
    with pytest.raises(InputError) as caught:
        stills(film, [1.0, 2.5, 60.0])
    assert [str(problem).partition(": ")[2] for problem in caught.value.problems] == [
        "0:00:02.500 is past its end at 0:00:02.000; take an earlier time with --at",
        "0:01:00.000 is past its end at 0:00:02.000; take an earlier time with --at",
    ]


def test_a_video_that_is_cut_off(tmp_path):
    rng = np.random.default_rng(0)
    frames = [rng.integers(16, 235, (SIZE[0] * 3 // 2, SIZE[1])).astype(np.uint8) for _ in range(100)]
    film = write(tmp_path / "a.mkv", frames, color_range=1, colorspace=1)
    raw = film.read_bytes()
    film.write_bytes(raw[: len(raw) // 2])
    assert stills(film, [0.5])
    with pytest.raises(InputError, match=r"cut off at 0:00:0[12]"):
        stills(film, [3.0])
    film = write(tmp_path / "b.mp4", frames, codec="libx264", color_range=1, colorspace=1)
    film.write_bytes(film.read_bytes()[:5000])  # its index is at the end
    with pytest.raises(InputError, match="cut off") as caught:
        stills(film, [0.5])
    assert len(caught.value.problems) == 1


def test_a_title_that_is_not_utf_8(tmp_path):
    container = av.open(str(tmp_path / "a.avi"), "w", metadata_encoding="latin-1")
    container.metadata["title"] = "Die Straßenbahn in Übersee"
    stream = container.add_stream("mjpeg", rate=25)
    stream.width, stream.height, stream.pix_fmt = SIZE[1], SIZE[0], "yuvj420p"
    for i in range(5):
        frame = av.VideoFrame.from_ndarray(np.full((SIZE[0] * 3 // 2, SIZE[1]), 90, np.uint8), "yuvj420p")
        frame.pts, frame.time_base = i, Fraction(1, 25)
        container.mux(stream.encode(frame))
    container.mux(stream.encode())
    container.close()
    assert b"Stra\xdfenbahn" in (tmp_path / "a.avi").read_bytes()
    assert len(stills(tmp_path / "a.avi", [0.05])) == 1


def test_files_that_are_no_video(tmp_path):
    sound = av.open(str(tmp_path / "sound.wav"), "w")
    stream = sound.add_stream("pcm_s16le", rate=8000)
    stream.layout = "mono"
    frame = av.AudioFrame.from_ndarray(np.zeros((1, 800), np.int16), layout="mono")
    frame.rate = 8000
    sound.mux(stream.encode(frame))
    sound.close()
    (tmp_path / "text.mp4").write_text("Dear sir, the car was brown.\n" * 99)
    (tmp_path / "empty.mp4").write_bytes(b"")
    (tmp_path / "list.m3u8").write_text("#EXTM3U\n#EXTINF:9,\nhttp://localhost:9/a.ts\n")
    for name, words in (
        ("sound.wav", "no video stream"),
        ("text.mp4", "cannot be read as a video"),
        ("list.m3u8", "cannot be read"),
        ("empty.mp4", "empty"),
        ("nowhere.mp4", "no such file"),
        (".", "folder"),
    ):
        with pytest.raises(InputError, match=words) as caught:
            stills(tmp_path / name, [0.0])
        assert len(caught.value.problems) == 1 and caught.value.problems[0].remedy


def test_without_the_library_it_says_what_to_install(tmp_path, monkeypatch):
    (tmp_path / "a.mp4").write_bytes(b"x")
    monkeypatch.setitem(sys.modules, "av", None)
    with pytest.raises(InputError, match=r"'\.\[video\]'"):
        stills(tmp_path / "a.mp4", [0.0])


def test_times_are_read_as_people_write_them():
    assert [parse_time(text) for text in ("12:31.5", "1:02:31", "751.5", "0:07", "90", "12:31,5")] == [
        751.5, 3751.0, 751.5, 7.0, 90.0, 751.5,
    ]  # fmt: skip
    for text in ("", "12.31.5", "12:61", "1:60:00", "-3", "1:2:3:4", "noon", "12:", "nan"):
        with pytest.raises(ValueError, match=r"\w"):
            parse_time(text)
    assert [parse_span(text) for text in ("0.5s", "500ms", "0.5", "1 s")] == [0.5, 0.5, 0.5, 1.0]
    for text in ("", "half", "-1", "60s"):
        with pytest.raises(ValueError, match=r"\w"):
            parse_span(text)
    assert time_code(751.5) == "0:12:31.500" and time_code(3599.9996) == "1:00:00.000"


# -- fields, stillness ---------------------------------------------------------------------------


def test_interlaced_frames_are_deinterlaced(tmp_path):
    """A bar that moves between the fields leaves a comb; after deinterlacing neighbouring rows agree."""
    frames = []
    for i in range(12):
        frame = np.full((SIZE[0] * 3 // 2, SIZE[1]), 128, np.uint8)
        for field in (0, 1):
            rows = frame[field : SIZE[0] : 2]
            rows[:] = 60
            left = 8 + 4 * (2 * i + field)
            rows[:, left : left + 12] = 200
        frames.append(frame)
    film = write(
        tmp_path / "a.mpg", frames, codec="mpeg2video",
        options={"flags": "+ildct+ilme", "top": "1", "qmin": "1", "qmax": "2", "field_order": "tt"},
        color_range=1, colorspace=5,
    )  # fmt: skip
    with av.open(str(film)) as container:
        assert next(container.decode(video=0)).interlaced_frame, "the test's own film must be interlaced"
    (still,) = stills(film, [0.2])
    assert still.deinterlaced
    luma = still.levels[..., 1]
    comb = np.abs(luma[1:-1] - (luma[:-2] + luma[2:]) / 2).mean()
    raw = frames[5][: SIZE[0]] / 219.0
    assert comb < 0.25 * np.abs(raw[1:-1] - (raw[:-2] + raw[2:]) / 2).mean()


def grainy(
    rng: np.random.Generator, count: int, shift: int = 0, patches: np.ndarray = PATCHES
) -> list[np.ndarray]:
    """Frames with grain of 6 %, moving by `shift` pixels each."""
    frames = []
    for i in range(count):
        noisy = np.roll(picture(patches), i * shift, axis=1) + rng.normal(0, 0.06, (*SIZE, 1))
        frames.append(planes(np.clip(noisy, 0, 1), "ITU-R BT.709"))
    return frames


COLOURS = {"colorspace": 1, "color_range": 1, "color_primaries": 1, "color_trc": 1}


def test_a_still_shot_is_averaged_in_linear_light(tmp_path):
    film = write(tmp_path / "a.mkv", grainy(np.random.default_rng(1), 41), **COLOURS)
    (one,) = stills(film, [0.8])
    (many,) = stills(film, [0.8], around=0.5)
    assert many.averaged == 25 and not many.notes  # 12 either way
    flat = (slice(20, 44), slice(78, 90))
    assert many.levels[flat].std() < one.levels[flat].std() / 3.5
    # grain in encoded levels bends the mean light upward: E[f(x + n)] by quadrature of BT.709's inverse OETF
    nodes, weights = np.polynomial.hermite_e.hermegauss(21)
    light = (colour.models.oetf_inverse_BT709(0.5 + 0.06 * nodes) @ weights) / weights.sum()
    want = float(colour.models.oetf_BT709(light))
    assert want > 0.5005
    assert many.levels[flat].mean() == pytest.approx(want, abs=0.004)


def test_a_cut_ends_the_average(tmp_path):
    rng = np.random.default_rng(2)
    film = write(tmp_path / "a.mkv", grainy(rng, 22) + grainy(rng, 19, patches=PATCHES[::-1]), **COLOURS)
    (still,) = stills(film, [0.8], around=0.5)  # frame 20; the cut is before frame 22
    assert still.averaged == 14  # 8 … 21
    assert "not still" in say(still.notes[0])
    np.testing.assert_allclose(patch_means(still.levels), PATCHES, atol=0.012)


def test_a_moving_shot_is_not_averaged(tmp_path):
    film = write(tmp_path / "a.mkv", grainy(np.random.default_rng(3), 41, shift=4), **COLOURS)
    (still,) = stills(film, [0.8], around=0.5)
    assert still.averaged == 1 and "as it is" in say(still.notes[0])


def test_film_that_weaves_is_laid_on_itself(tmp_path):
    """Frames of a photograph, shifted by the Fourier shift theorem; fails when the mean is blurred by them,
    when the average ends at the first shifted frame, or when frames are moved the wrong way."""
    from scipy.ndimage import fourier_shift, gaussian_filter
    from sklearn.datasets import load_sample_image

    rng = np.random.default_rng(4)
    photograph = load_sample_image("china.jpg")[100:260, 200:440].astype(float) / 255
    photograph = gaussian_filter(photograph, (0.7, 0.7, 0))
    shifts = np.clip(rng.normal(0, 0.9, (41, 2)), -2, 2)
    shifts[20] = 0
    frames = []
    for shift in shifts:
        spectrum = fourier_shift(np.fft.fft2(photograph, axes=(0, 1)), (*shift, 0))
        there = np.fft.ifft2(spectrum, axes=(0, 1)).real
        grain = rng.normal(0, 0.05, (*there.shape[:2], 1))
        frames.append(planes(np.clip(there + grain, 0, 1), "ITU-R BT.709"))
    film = write(tmp_path / "a.mkv", frames, **COLOURS)
    (one,) = stills(film, [0.8])
    (many,) = stills(film, [0.8], around=0.5)
    assert many.averaged == 25
    assert "weave by up to" in say(many.notes[0])
    inner = (slice(10, -10), slice(10, -10), 1)  # green: luma mostly, which is not subsampled
    error, alone = (np.sqrt(np.mean((s.levels - photograph)[inner] ** 2)) for s in (many, one))
    blurred = np.mean([np.roll(photograph, np.rint(shift).astype(int), (0, 1)) for shift in shifts[8:33]], 0)
    assert error < 0.35 * alone
    assert error < 0.5 * np.sqrt(np.mean((blurred - photograph)[inner] ** 2))
