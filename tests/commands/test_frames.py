"""`palette frames`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import av
import numpy as np
import pytest
from click.testing import CliRunner

from palette.commands import group, main
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.frames import _tone
from palette.kit.model import Kit

KIT = """# my kit
schema = 1
[kit]
title = "Test car"  # stays

[[part]]
id = "waist"
"""


@pytest.fixture
def place(tmp_path):
    """A kit, and a film of 2 s: grey at first, in colour from its second second on."""
    (tmp_path / "kit.toml").write_text(KIT)
    container = av.open(str(tmp_path / "Line 3 (1958).mkv"), "w")
    stream = container.add_stream("ffv1", rate=25)
    stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
    stream.codec_context.colorspace, stream.codec_context.color_range = 6, 1
    for i in range(50):
        data = np.full((72, 64), 128, np.uint8)
        data[:48] = np.linspace(30, 200, 64)
        if i >= 25:
            data[48:] = np.linspace(60, 200, 64)
        frame = av.VideoFrame.from_ndarray(data, format="yuv420p")
        frame.pts = i
        container.mux(stream.encode(frame))
    container.mux(stream.encode())
    container.close()
    return tmp_path


def film(place) -> str:
    return str(place / "Line 3 (1958).mkv")


def test_frames_become_references_with_their_time_code(place):
    done = CliRunner().invoke(
        group,
        [
            "frames",
            film(place),
            "--at",
            "0:00.5",
            "--at",
            "1.4",
            "--into",
            str(place),
            "--around",
            "0.2s",
            "--json",
        ],
    )
    assert done.exit_code == 0, done.output
    first, second = json.loads(done.stdout)["frames"]
    assert first["reference"] == "line-3-1958-0h00m00s500" and first["time"] == "0:00:00.500"
    assert (first["matrix"], first["range"], first["averaged"]) == ("BT.601", "limited", 10)  # 0.32 … 0.68
    assert first["tone"] == "grey" and second["tone"] == "colour"
    text = (place / "kit.toml").read_text()
    assert text.startswith(KIT)
    kit = Kit.read(place)
    one, two = kit.references
    assert (one.kind, one.tone, one.video, one.time) == ("frame", "grey", "Line 3 (1958).mkv", "0:00:00.500")
    assert (two.id, two.tone) == ("line-3-1958-0h00m01s400", "colour")
    picture = open_picture(one.file)
    assert (picture.width, picture.height, picture.bits) == (64, 48, 16)
    assert picture.grey
    done = CliRunner().invoke(group, ["frames", film(place), "--at", "0.9", "--into", str(place)])
    assert "64 × 48" in done.output and "assumed" in done.output and "entered in grey" in done.output


@pytest.mark.parametrize(
    ("arguments", "lines"),
    [
        (["--at", "noon", "--at", "1:99"], 2),
        (["--at", "0.5", "--around", "long"], 1),
        (["--at", "0.5", "--at", "3", "--at", "1:00"], 2),
        (["--at", "0.5", "--at", "0.5"], 1),
    ],
)
def test_wrong_times_are_a_line_each_and_change_nothing(place, capsys, arguments, lines):
    with pytest.raises(SystemExit) as stop:
        main(["frames", film(place), "--into", str(place), *arguments])
    assert stop.value.code == 1
    told = capsys.readouterr()
    assert told.err.count("error: ") == told.err.count("\n") == lines
    assert (place / "kit.toml").read_text() == KIT
    assert not list(place.glob("references/*"))


def test_a_frame_that_is_there_already_is_not_taken_twice(place, capsys):
    CliRunner().invoke(group, ["frames", film(place), "--at", "0.5", "--into", str(place)])
    before = (place / "kit.toml").read_text()
    with pytest.raises(SystemExit):
        main(["frames", film(place), "--at", "0.5", "--at", "1.0", "--into", str(place)])
    assert "there already" in capsys.readouterr().err
    assert (place / "kit.toml").read_text() == before
    assert len(list(place.glob("references/*"))) == 1


def test_a_kit_that_cannot_be_changed_leaves_no_picture_behind(place, capsys, monkeypatch):
    replace = os.replace

    def refuse(new, old):
        if Path(old).name == "kit.toml":
            raise OSError(5, "Input/output error")
        replace(new, old)

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(SystemExit):
        main(["frames", film(place), "--at", "0.5", "--into", str(place)])
    assert "kit.toml: cannot be written: input/output error" in capsys.readouterr().err
    assert not list(place.glob("references/*")) and not list(place.glob(".palette*"))


def test_frames_twice_at_once_leave_each_entry_its_picture(place):
    # fails when one of two that take the same frame takes the other's picture away
    words = [sys.executable, "-m", "palette", "frames", film(place), "--at", "0.5", "--into", str(place)]
    both = [subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in "ab"]
    said = [each.communicate()[1] for each in both]
    assert sorted(each.returncode for each in both) == [0, 1]
    assert "is there already" in "".join(said)
    assert [r.file.is_file() for r in Kit.read(place / "kit.toml").references] == [True]


def test_a_picture_without_its_entry_does_not_stand_in_the_way(place):
    # fails when what an older palette left behind refuses the same command for ever
    assert (
        CliRunner().invoke(group, ["frames", film(place), "--at", "0.5", "--into", str(place)]).exit_code == 0
    )
    (place / "kit.toml").write_text(KIT)
    done = CliRunner().invoke(group, ["frames", film(place), "--at", "0.5", "--into", str(place)])
    assert done.exit_code == 0, done.stderr
    (place / "kit.toml").write_text(KIT)
    next(place.glob("references/*")).write_bytes(b"another picture")
    done = CliRunner().invoke(group, ["frames", film(place), "--at", "0.5", "--into", str(place)])
    assert done.exit_code == 1 and "is there already; move it away first" in done.stderr


def test_two_strong_colours_are_no_toned_picture():
    # fails when a frame of a blue and an orange surface, which a toning of two lightnesses would explain, is
    # called grey
    rng = np.random.default_rng(2)
    two = np.where(np.arange(96)[None, :, None] < 48, [40, 90, 150], [180, 90, 40]) / 255
    frame = (two + rng.normal(0, 0.01, (64, 96, 3))).clip(0, 1).astype(np.float32)
    assert _tone(frame) == "colour"
    sepia = frame.mean(axis=-1, keepdims=True) * np.array([1.0, 0.9, 0.75])
    assert _tone(sepia.astype(np.float32)) == "grey"
