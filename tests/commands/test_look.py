"""`palette look`."""

from __future__ import annotations

import json

import colour
import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from palette.colour.spaces import srgb_encode
from palette.commands import group, main

CHART = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]


@pytest.fixture
def place(tmp_path):
    """The 24-patch chart by its published values (colour-science) under a warm light, with four anchors."""
    xyz = colour.xyY_to_XYZ(np.array(list(CHART.data.values())))
    lab = colour.XYZ_to_Lab(xyz, CHART.illuminant)
    linear = colour.XYZ_to_RGB(xyz, "sRGB", CHART.illuminant, "Bradford")
    picture = np.full((400, 600, 3), 0.05)
    text = 'schema = 1\n[kit]\ntitle = "Test"\n[[part]]\nid = "waist"\nname = "Waist"\n'
    text += '[[reference]]\nid = "slide"\nfile = "slide.png"\n'
    for i, colour_ in enumerate(linear):
        row, column = divmod(i, 6)
        picture[row * 100 + 10 : row * 100 + 90, column * 100 + 10 : column * 100 + 90] = colour_
        if i in (18, 20, 21, 23):
            values = ", ".join(f"{v:.3f}" for v in lab[i])
            text += f"  [[reference.anchor]]\n  rect = [{column * 100 + 20}, {row * 100 + 20}, 60, 60]\n"
            text += f"  colour = {{ lab = [{values}] }}\n"
    text += '  [[reference.sample]]\n  part = "waist"\n  rect = [220, 220, 60, 60]\n'
    shot = srgb_encode(np.clip(picture * [0.95, 0.7, 0.4], 0, 1)) + np.random.default_rng(0).normal(
        0, 0.006, picture.shape
    )
    Image.fromarray((np.clip(shot, 0, 1) * 255).round().astype(np.uint8)).save(tmp_path / "slide.png")
    (tmp_path / "kit.toml").write_text(text)
    return tmp_path


def test_the_sheet_and_what_remains_of_each_anchor(place):
    out = place / "look.png"
    done = CliRunner().invoke(group, ["look", str(place), "slide", "--out", str(out), "--json"])
    assert done.exit_code == 0, done.output
    answer = json.loads(done.stdout)
    assert answer["reference"] == "slide" and answer["file"] == str(out)
    assert [row["anchor"] for row in answer["anchors"]] == ["A1", "A2", "A3", "A4"]
    # a plain gain a channel: what is left is noise
    assert max(row["difference"] for row in answer["anchors"]) < 2
    sheet = Image.open(out)
    assert sheet.format == "PNG" and sheet.size[0] > 1200
    # the corrected white is neutral on the sheet, the one as shot is not
    pixels = np.asarray(sheet).astype(int)
    top = int(np.nonzero((pixels[:, 35] != 255).any(-1))[0][0]) + 1
    shot, mended = (pixels[top + 345 : top + 355, x + 45 : x + 55].mean((0, 1)) for x in (36, 36 + 624))
    assert np.ptp(shot) > 60 and np.ptp(mended) < 8
    text = CliRunner().invoke(group, ["look", str(place), "slide", "--out", str(out)]).output
    assert text.count(" remain") == 4


def test_a_grey_picture_is_shown_as_it_is(place):
    text = (place / "kit.toml").read_text().replace('file = "slide.png"', 'file = "slide.png"\ntone = "grey"')
    (place / "kit.toml").write_text(text)
    done = CliRunner().invoke(group, ["look", str(place), "slide", "--out", str(place / "a.png")])
    assert done.exit_code == 0, done.output
    assert "as it is" in done.output and "no colour to correct" in done.output


def test_the_only_reference_need_not_be_named(place):
    done = CliRunner().invoke(group, ["look", str(place), "--out", str(place / "a.png"), "--json"])
    assert json.loads(done.stdout)["reference"] == "slide"


def test_without_a_reference_those_of_the_kit_are_named(place):
    kit = place / "kit.toml"
    kit.write_text(kit.read_text() + '[[reference]]\nid = "print"\nfile = "slide.png"\n')
    done = CliRunner().invoke(group, ["look", str(place)])
    assert done.exit_code == 2 and "The kit has slide, print." in done.output


def test_without_a_name_the_sheet_lies_beside_the_guide(place):
    kit = place / "kit.toml"
    kit.write_text(kit.read_text().replace('id = "slide"', 'id = "the slide/2"'))
    done = CliRunner().invoke(group, ["look", str(place)])
    assert done.exit_code == 0, done.output
    with Image.open(place / "out" / "look-the-slide-2.png") as sheet:
        assert sheet.format == "PNG"


def test_a_place_that_cannot_be_written_is_told_before_the_work(place, monkeypatch):
    def working(*_):
        raise AssertionError("the picture is read")

    monkeypatch.setattr("palette.report.look.look", working)
    done = CliRunner().invoke(group, ["look", str(place), "slide", "--out", str(place / "nowhere" / "a.png")])
    assert done.exit_code == 1 and "cannot be written" in done.output


def test_only_what_asks_for_something_is_marked_as_a_problem(place):
    # half of the sample is the neighbouring patch; stray light and levels read are no problems
    text = (place / "kit.toml").read_text().replace("rect = [220, 220, 60, 60]", "rect = [220, 220, 160, 60]")
    (place / "kit.toml").write_text(text)
    done = CliRunner().invoke(group, ["look", str(place), "slide", "--out", str(place / "a.png")])
    assert "  ! the sample of 'waist' holds more than one colour" in done.output
    grey = text.replace('file = "slide.png"', 'file = "slide.png"\ntone = "grey"')
    (place / "kit.toml").write_text(grey)
    done = CliRunner().invoke(group, ["look", str(place), "slide", "--out", str(place / "a.png")])
    assert "  · a grey picture" in done.output and "  · levels read" in done.output


@pytest.mark.parametrize(
    ("reference", "out", "words"),
    [
        ("slid", "a.png", "did you mean 'slide'"),
        ("slide", "a.jpg", ".png"),
        ("slide", "nowhere/a.png", "cannot be written"),
    ],
)
def test_wrong_names_are_one_line_and_write_nothing(place, capsys, reference, out, words):
    with pytest.raises(SystemExit) as stop:
        main(["look", str(place), reference, "--out", str(place / out)])
    assert stop.value.code == 1
    told = capsys.readouterr().err
    assert told.count("\n") == 1 and told.startswith("error: ") and words in told
    assert not (place / out).exists()


def test_a_picture_that_is_all_hole_is_one_problem(place):
    shot = Image.open(place / "slide.png").convert("RGBA")
    shot.putalpha(0)
    shot.save(place / "slide.png")
    kit = (place / "kit.toml").read_text()
    (place / "kit.toml").write_text(kit[: kit.index("  [[reference.anchor]]")])
    done = CliRunner().invoke(group, ["look", str(place), "--out", str(place / "look.png")])
    assert done.exit_code == 1
    (line,) = [line for line in done.stderr.splitlines() if line]
    assert line.startswith("error: ") and "every pixel of it is transparent" in line
