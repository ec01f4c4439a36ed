"""Still frames from a video, as measurable as the stream allows.

The planes of the stream are turned into R'G'B' here, in floating point, by the matrix and range that the
stream states (ITU-T H.273 names them; BT.601 and BT.709 define them), not by a player's conversion to
8 bits. The levels are kept as the stream has them and written as a PNG of 16 bits; its primaries and
transfer travel with it as a colour profile, so that nothing is converted twice. Levels outside 0 to 1
(whiter than white) are cut off there. What a stream does not state is assumed, and said so: the matrix and
primaries by its lines, the transfer as sRGB.
"""

from __future__ import annotations

import contextlib
import re
import struct
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem
from palette.evidence.pictures.notes import (
    FrameDamaged,
    FrameStartsAt,
    FramesWeave,
    MatrixAssumed,
    MatrixUnread,
    NotStill,
    PixelsNotSquare,
    RangeAssumed,
    TransferAssumed,
)
from palette.evidence.pictures.profiles import UNSPECIFIED, CodedPoints
from palette.evidence.pictures.weave import Shift, moved, shift_between
from palette.notes import Note

Plane = NDArray[np.float32]

LONGEST_AROUND = 5.0  # seconds; no shot is still for longer, and memory is bounded
_MARGIN = 1.0  # seconds decoded before what is wanted: the deinterlacer looks at neighbours
_TICK = 0.0006  # seconds; time codes are typed to the millisecond

# Kr and Kb by H.273's matrix numbers
_MATRICES = {
    1: ("BT.709", 0.2126, 0.0722),
    4: ("FCC", 0.30, 0.11),
    5: ("BT.601", 0.299, 0.114),
    6: ("BT.601", 0.299, 0.114),
    7: ("SMPTE 240M", 0.212, 0.087),
    9: ("BT.2020", 0.2627, 0.0593),
}
_LIMITED, _FULL = 1, 2  # FFmpeg's colour ranges

# A block of a frame that differs from the centre frame's by more than this, and by more than its noise
# explains, shows something else; a shot is still where few blocks do. Common practice, no source.
_BLOCK_CHANGE = 0.02
_STILL_SHARE = 0.01


@dataclass(frozen=True)
class Still:
    """One frame, or the mean of several of a still shot."""

    asked: float  # seconds from the start of the video
    seconds: float  # of the frame that is shown then
    levels: NDArray[np.float32]  # (h, w, 3) R'G'B', 0..1 from black to white, not clipped
    points: CodedPoints  # its primaries and transfer
    matrix: str
    full_range: bool
    deinterlaced: bool
    averaged: int  # frames in the mean
    notes: tuple[Note, ...]

    def png(self) -> bytes:
        """A PNG of 16 bits with the stream's primaries and transfer as its colour profile."""
        import imagecodecs

        levels = np.rint(np.clip(self.levels, 0.0, 1.0) * 65535).astype(np.uint16)
        raw = bytes(imagecodecs.png_encode(np.ascontiguousarray(levels), level=6))
        data = b"iCCP" + self.points.name.encode("latin-1")[:79] + b"\0\0" + zlib.compress(self.points.icc())
        chunk = struct.pack(">I", len(data) - 4) + data + struct.pack(">I", zlib.crc32(data))
        return raw[:33] + chunk + raw[33:]  # behind the header, before anything else


# -- times ---------------------------------------------------------------------------------------


def parse_time(text: str) -> float:
    """'12:31.5', '1:02:31.5' or '751.5' to seconds.

    Raises:
        ValueError: in another form.
    """
    match = re.fullmatch(r"(?:(?:(\d+):)?(\d+):)?(\d+(?:[.,]\d*)?)", text.strip())
    if not match:
        raise ValueError(f"{text!r} is no time")
    hours, minutes, seconds = match[1], match[2], float(match[3].replace(",", "."))
    if (minutes is not None and seconds >= 60) or (hours is not None and int(minutes or 0) >= 60):
        raise ValueError(f"{text!r} has more than 59 minutes or seconds")
    return int(hours or 0) * 3600 + int(minutes or 0) * 60 + seconds


def parse_span(text: str) -> float:
    """'0.5s', '500ms' or '0.5' to seconds.

    Raises:
        ValueError: in another form, or longer than `LONGEST_AROUND`.
    """
    match = re.fullmatch(r"(\d+(?:[.,]\d*)?)\s*(s|ms)?", text.strip())
    if not match:
        raise ValueError(f"{text!r} is no span of time")
    span = float(match[1].replace(",", ".")) / (1000 if match[2] == "ms" else 1)
    if span > LONGEST_AROUND:
        raise ValueError(f"{text!r} is more than {LONGEST_AROUND:g} seconds")
    return span


def time_code(seconds: float) -> str:
    """Seconds as 'h:mm:ss.sss'."""
    thousandths = round(seconds * 1000)
    return f"{thousandths // 3_600_000}:{thousandths // 60_000 % 60:02}:{thousandths % 60_000 / 1000:06.3f}"


# -- reading -------------------------------------------------------------------------------------


def stills(path: Path, times: Sequence[float], around: float = 0.0) -> list[Still]:
    """The frames shown at `times` (seconds from the start), in their order.

    Args:
        path: the video.
        times: seconds from the start of the video.
        around: seconds before and after each time from which frames are averaged, in linear light, as
            long as the shot is still: from the first frame on that shows something else, none is used.
            Small shifts of the whole picture, as of film that weaves in its gate, are undone.

    Raises:
        InputError: no video, damaged or cut off, or a time past its end; every such time at once.
    """
    _check_file(path)
    try:
        import av
    except ImportError as error:
        raise InputError(
            Problem(
                None,
                None,
                "reading videos needs PyAV",
                "install it from palette's own folder: pip install '.[video]'",
            )
        ) from error
    av.logging.set_level(None)  # FFmpeg's own lines would stand among our answers
    frames: list[Still] = []
    problems: list[Problem] = []
    for time in times:
        try:
            frames.append(_still(path, time, around))
        except InputError as error:
            problems += [problem for problem in error.problems if problem not in problems]
    if problems:
        raise InputError.of(problems)
    return frames


def _check_file(path: Path) -> None:
    what, remedy = "", ""
    if path.is_dir():
        what, remedy = "it is a folder", "name a video file in it"
    elif not path.exists():
        what, remedy = "there is no such file", "check the path"
    elif path.stat().st_size == 0:
        what, remedy = "the file is empty", "copy it again from where it came"
    if what:
        raise InputError(Problem(str(path), None, what, remedy))


def _still(path: Path, time: float, around: float) -> Still:
    import av

    try:
        # Only this file: a playlist in disguise may not open others, let alone the network.
        options = {"protocol_whitelist": "file"}
        with av.open(str(path), options=options, metadata_errors="replace") as container:
            stream = container.streams.best("video")
            if stream is None or stream.disposition & av.stream.Disposition.attached_pic:
                what = "it has no video stream"
                raise InputError(Problem(str(path), None, what, "name a file that has moving pictures"))
            return _take(path, container, stream, time, around)
    except (av.FFmpegError, OSError) as error:
        remedy = "copy it again from where it came; is it a video at all?"
        what = "it cannot be read as a video: damaged, cut off or of an unknown kind"
        raise InputError(Problem(str(path), None, what, remedy)) from error


@dataclass(frozen=True)
class _Shown:
    seconds: float  # from the start of the video
    frame: Any  # av.VideoFrame
    deinterlaced: bool


def _take(path: Path, container: Any, stream: Any, time: float, around: float) -> Still:
    for margin in (_MARGIN, 10.0, None):  # some formats come down late of where they are asked to go
        start = 0.0 if margin is None else max(0.0, time - around - margin)
        reached = _seek(container, stream, start)
        shown, end = _window(_decode(container, stream), time, around)
        if not reached or (shown and shown[0].seconds <= max(time - around, 0.0) + _TICK):
            break
    at = max((i for i, one in enumerate(shown) if one.seconds <= time + _TICK), default=None)
    if at is None or (end is not None and time > end + _TICK):
        over = time_code(end or 0.0)
        if time < _stated_length(container, stream) - 0.25:
            what = f"it is cut off at {over}, before {time_code(time)}"
            raise InputError(Problem(str(path), None, what, "take an earlier time, or copy the video again"))
        what = f"{time_code(time)} is past its end at {over}"
        raise InputError(Problem(str(path), None, what, "take an earlier time with --at"))
    return _develop(path, stream, shown, at, time, around)


def _window(frames: Iterator[_Shown], time: float, around: float) -> tuple[list[_Shown], float | None]:
    """The frame shown at a time and those within `around` of it; and where the video ends, if it ended."""
    kept: list[_Shown] = []
    end = 0.0
    for one in frames:
        if one.seconds > time + around + _TICK:
            return kept, None
        end = one.seconds + _length(one.frame)
        kept.append(one)
        while len(kept) > 1 and kept[0].seconds < time - around - _TICK and kept[1].seconds <= time + _TICK:
            kept.pop(0)
    return kept, end


_BARE = ("h264", "hevc", "mpegvideo", "m4v", "rawvideo", "yuv4mpegpipe")  # no index: only from the start on


def _seek(container: Any, stream: Any, start: float) -> bool:
    """Go to the last key frame at or before `start` seconds; False where there is only the beginning."""
    import av

    if container.format.name in _BARE or stream.time_base is None:
        return False
    try:
        container.seek(int(start / stream.time_base) + (stream.start_time or 0), stream=stream)
    except (av.FFmpegError, OSError):
        return False
    return start > 0.0


def _decode(container: Any, stream: Any) -> Iterator[_Shown]:
    """Frames with their times, deinterlaced where they are interlaced, up to the end or to the damage."""
    import av

    graph = None
    offset = float((stream.start_time or 0) * (stream.time_base or 0))
    count = 0

    def placed(frame: Any) -> _Shown:
        nonlocal count
        if frame.pts is None or frame.time_base is None:  # a bare stream: by its rate
            seconds = count / _rate(stream)
        else:
            seconds = float(frame.pts * frame.time_base) - offset
        count += 1
        return _Shown(seconds, frame, graph is not None)

    with contextlib.suppress(av.FFmpegError, OSError):
        for frame in container.decode(stream):
            if graph is None and frame.interlaced_frame:
                graph = _deinterlacer(stream, frame)
            if graph is None:
                yield placed(frame)
                continue
            graph.push(frame)
            yield from (placed(out) for out in _drain(graph))
    if graph is not None:
        with contextlib.suppress(av.FFmpegError):
            graph.push(None)
            yield from (placed(out) for out in _drain(graph))


def _deinterlacer(stream: Any, frame: Any) -> Any:
    """FFmpeg's bwdif: one whole frame for each interlaced one, the others as they are."""
    from av.filter import Graph

    graph = Graph()
    graph.link_nodes(
        graph.add_buffer(
            width=frame.width, height=frame.height, format=frame.format, time_base=stream.time_base
        ),
        graph.add("bwdif", "mode=send_frame:parity=auto:deint=interlaced"),
        graph.add("buffersink"),
    ).configure()
    return graph


def _drain(graph: Any) -> Iterator[Any]:
    import av

    while True:
        try:
            yield graph.pull()
        except (av.BlockingIOError, av.EOFError):
            return


def _rate(stream: Any) -> float:
    return float(stream.average_rate or stream.guessed_rate or 25)


def _length(frame: Any) -> float:
    """How long a frame stands, in seconds; a twenty-fifth where nothing says."""
    return float(frame.duration * frame.time_base) if frame.duration and frame.time_base else 0.04


def _stated_length(container: Any, stream: Any) -> float:
    """Seconds that the video states to last; 0 where it does not."""
    import av

    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return container.duration / av.time_base if container.duration else 0.0


# -- to R'G'B' -----------------------------------------------------------------------------------


def _develop(path: Path, stream: Any, shown: Sequence[_Shown], at: int, time: float, around: float) -> Still:
    centre = shown[at]
    said = _Stated.of(stream, centre.frame)
    if not said.points.known:
        what = "its high dynamic range transfer or its primaries are not read"
        raise InputError(Problem(str(path), None, what, "convert it to BT.709 first"))
    notes: list[Note] = list(said.notes)
    levels = said.levels(centre.frame)
    used = 1
    if around > 0:
        alike = _still_run([one.frame for one in shown], at)
        used = len(alike)
        if used > 1:
            light = np.zeros(levels.shape, dtype=np.float64)
            for i, (down, right) in alike.items():
                there = said.points.light(np.clip(said.levels(shown[i].frame), 0.0, None))
                light += moved(there, (-down, -right))
            levels = said.points.levels(np.maximum(light, 0.0) / used).astype(np.float32)
            most = max(float(np.hypot(*shift)) for shift in alike.values())
            if most > 0:
                notes.append(FramesWeave(most))
        if used < len(shown):
            notes.append(NotStill(around, used, len(shown)))
    turn = round(getattr(centre.frame, "rotation", 0) / 90) % 4
    if turn:
        levels = np.ascontiguousarray(np.rot90(levels, turn))
    shape = stream.sample_aspect_ratio
    if shape and shape not in (0, 1):
        notes.append(PixelsNotSquare(shape.numerator, shape.denominator))
    if time - centre.seconds > 1.0:
        notes.append(FrameStartsAt(time_code(centre.seconds)))
    if centre.frame.is_corrupt:
        notes.append(FrameDamaged())
    return Still(
        asked=time,
        seconds=centre.seconds,
        levels=levels,
        points=said.points,
        matrix=said.matrix_name,
        full_range=said.full,
        deinterlaced=centre.deinterlaced,
        averaged=used,
        notes=tuple(notes),
    )


@dataclass(frozen=True)
class _Stated:
    """How a stream's levels are to be read, stated or assumed."""

    matrix: tuple[float, float] | None  # Kr, Kb; None where the planes are R'G'B' already
    matrix_name: str
    full: bool
    points: CodedPoints
    notes: tuple[Note, ...]

    @classmethod
    def of(cls, stream: Any, frame: Any) -> _Stated:
        context = stream.codec_context

        def stated(name: str, nothing: Sequence[int]) -> int | None:
            for source in (frame, context):
                value = getattr(source, name, None)
                if value is not None and int(value) not in nothing:
                    return int(value)
            return None

        notes: list[Note] = []
        lines = frame.height
        small = lines <= 576 and frame.width <= 1024
        matrix = stated("colorspace", (UNSPECIFIED, 3))
        rgb = frame.format.is_rgb or frame.format.name.startswith("gbr")
        if matrix not in _MATRICES and not rgb:
            if matrix is not None:
                notes.append(MatrixUnread())
            matrix = 6 if small else 1
            notes.append(MatrixAssumed(_MATRICES[matrix][0]))
        full = stated("color_range", (0,))
        if full is None:
            full = _FULL if rgb or frame.format.name.startswith("yuvj") else _LIMITED
            if not rgb:
                notes.append(RangeAssumed(full == _FULL))
        primaries = stated("color_primaries", (0, UNSPECIFIED))
        if primaries is None:
            # The systems of old standard-definition pictures are known by their lines.
            primaries = {576: 5, 480: 6, 486: 6}.get(lines, UNSPECIFIED)
        transfer = stated("color_trc", (0, UNSPECIFIED))
        if transfer is None:
            notes.append(TransferAssumed())
        name, *weights = ("R'G'B'",) if rgb else _MATRICES[matrix or 1]
        return cls(
            (float(weights[0]), float(weights[1])) if weights else None,
            str(name),
            full == _FULL,
            CodedPoints(primaries, UNSPECIFIED if transfer is None else transfer),
            tuple(notes),
        )

    def levels(self, frame: Any) -> NDArray[np.float32]:
        """R'G'B' (h, w, 3) of a frame, 0 black to 1 white, not clipped."""
        planes, bits, full = _planes(frame)
        full = full or self.full
        if len(planes) == 1:
            return np.repeat(_scaled(planes[0], bits, full, False)[..., None], 3, axis=-1)
        if self.matrix is None:
            green, blue, red = (_scaled(plane, bits, full, False) for plane in planes)
            return np.stack([red, green, blue], axis=-1)
        luma = _scaled(planes[0], bits, full, False)
        centred = frame.format.name.startswith("yuvj")
        blue_off, red_off = (
            _spread(_scaled(plane, bits, full, True), luma.shape, centred) for plane in planes[1:3]
        )
        kr, kb = self.matrix
        red = luma + 2 * (1 - kr) * red_off
        blue = luma + 2 * (1 - kb) * blue_off
        green = (luma - kr * red - kb * blue) / (1 - kr - kb)
        return np.stack([red, green, blue], axis=-1).astype(np.float32)


# Pixel formats that are the same levels in another order, by the planar one that holds them.
_PLANAR = {
    "nv12": "yuv420p", "nv21": "yuv420p", "nv16": "yuv422p", "nv24": "yuv444p",
    "p010le": "yuv420p10le", "p016le": "yuv420p16le", "p210le": "yuv422p10le",
    "yuyv422": "yuv422p", "uyvy422": "yuv422p", "yvyu422": "yuv422p", "y210le": "yuv422p10le",
    "rgb24": "gbrp", "bgr24": "gbrp", "rgba": "gbrp", "bgra": "gbrp", "argb": "gbrp", "abgr": "gbrp",
    "rgb0": "gbrp", "bgr0": "gbrp", "0rgb": "gbrp", "0bgr": "gbrp", "pal8": "gbrp", "gbrap": "gbrp",
    "rgb48le": "gbrp16le", "rgb48be": "gbrp16le", "rgba64le": "gbrp16le", "gbrap16le": "gbrp16le",
}  # fmt: skip
_READ = re.compile(r"(yuvj?4[1240][0124]p|yuva4\d\dp|gbrp|gray)(\d+)?(le)?")


def _planes(frame: Any) -> tuple[list[NDArray[Any]], int, bool]:
    """The planes of a frame as (h, w) arrays of integers, their bits, and whether they are full range
    whatever the stream says."""
    name = frame.format.name
    if not _READ.fullmatch(name):
        other = _PLANAR.get(name) or ("gbrp16le" if frame.format.is_rgb else "yuv444p16le")
        frame = frame.reformat(format=other)
        name = other
    count = 1 if name.startswith("gray") else 3
    components = frame.format.components
    planes = []
    for i in range(count):
        plane, component = frame.planes[i], components[i]
        dtype = np.dtype("<u2") if component.bits > 8 else np.dtype(np.uint8)
        rows = np.frombuffer(plane, dtype=np.uint8).reshape(-1, plane.line_size)[: plane.height]
        planes.append(rows.view(dtype)[:, : plane.width] if dtype.itemsize == 2 else rows[:, : plane.width])
    return planes, int(components[0].bits), name.startswith("yuvj") or name.startswith("gbr")


def _scaled(plane: NDArray[Any], bits: int, full: bool, chroma: bool) -> Plane:
    """Integers to 0..1 luma or ±0.5 chroma (BT.601 and BT.709, quantisation; H.273 for full range)."""
    values = plane.astype(np.float32)
    step = 2.0 ** (bits - 8)
    if full:
        top = 2.0**bits - 1
        return np.asarray((values - 2.0 ** (bits - 1)) / top if chroma else values / top, dtype=np.float32)
    if chroma:
        return np.asarray((values - 128 * step) / (224 * step), dtype=np.float32)
    return np.asarray((values - 16 * step) / (219 * step), dtype=np.float32)


def _spread(plane: Plane, shape: tuple[int, ...], centred: bool) -> Plane:
    """A subsampled chroma plane at every luma pixel, straight lines between its samples.

    Across, samples lie on every second luma pixel (H.264's and MPEG-2's default) or, `centred`, between
    two; down, between two.
    """
    for axis, between in ((0, True), (1, centred)):
        size, of = shape[axis], plane.shape[axis]
        if of == size:
            continue
        factor = -(-size // of)
        offset = (factor - 1) / 2 if between else 0.0
        at = np.clip((np.arange(size) - offset) / factor, 0, of - 1)
        low = np.minimum(at.astype(int), max(of - 2, 0))
        share = (at - low).astype(np.float32)
        high = np.minimum(low + 1, of - 1)
        share = share[:, None] if axis == 0 else share[None, :]
        plane = np.take(plane, low, axis) * (1 - share) + np.take(plane, high, axis) * share
    return plane


# -- stillness -----------------------------------------------------------------------------------


def _luma(frame: Any) -> Plane:
    """A frame's first plane, 0..1."""
    planes, bits, _ = _planes(frame)
    return planes[0].astype(np.float32) / np.float32(2**bits - 1)


def _blocks(plane: Plane) -> Plane:
    """Means of blocks, about 48 a side: enough to see motion through grain."""
    step = max(4, min(plane.shape) // 48)
    rows, columns = (max(size // step, 1) for size in plane.shape)
    step_y, step_x = (min(step, size) for size in plane.shape)
    blocks = plane[: rows * step_y, : columns * step_x].reshape(rows, step_y, columns, step_x)
    return np.asarray(blocks.mean(axis=(1, 3)))


def _still_run(frames: Sequence[Any], centre: int) -> dict[int, Shift]:
    """The frames next to one another around the centre that show the same as it, and by how much each is
    shifted against it.

    An even flicker of the whole frame is none of the shot's; what is left after it is compared block by
    block against the noise between the two frames.
    """
    first = _luma(frames[centre])
    blocks = _blocks(first)
    run: dict[int, Shift] = {centre: (0.0, 0.0)}
    for step in (1, -1):
        i = centre + step
        while 0 <= i < len(frames):
            other = _luma(frames[i])
            shift = shift_between(first, other) if other.shape == first.shape else None
            if shift is None:
                break
            # What comes in at the edges says nothing.
            rim = np.s_[1:-1, 1:-1] if any(shift) and min(blocks.shape) > 2 else np.s_[:, :]
            if not _alike(blocks[rim], _blocks(moved(other, (-shift[0], -shift[1])))[rim]):
                break
            run[i] = shift
            i += step
    return dict(sorted(run.items()))


def _alike(one: Plane, other: Plane) -> bool:
    change = other - one
    change = change - np.median(change)
    noise = 1.4826 * float(np.median(np.abs(change)))
    limit = max(_BLOCK_CHANGE, 4 * min(noise, _BLOCK_CHANGE))
    return float(np.mean(np.abs(change) > limit)) <= _STILL_SHARE
