"""`palette references`."""

from __future__ import annotations

import json

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from palette.commands import group, main

KIT = """schema = 1
[kit]
title = "Test car"
[[part]]
id = "waist"
name = "Waist"
[[reference]]
id = "slide"
file = "slide.png"
light = "D55"
year = 1958
  [[reference.sample]]
  part = "waist"
  rect = [10, 10, 50, 50]
"""


def start(tmp_path, text: str = KIT) -> None:
    rng = np.random.default_rng(0)
    Image.fromarray(rng.integers(0, 256, (60, 80, 3)).astype(np.uint8)).resize((800, 600)).save(
        tmp_path / "slide.png"
    )
    (tmp_path / "kit.toml").write_text(text)


def test_the_list_for_people(tmp_path):
    start(tmp_path)
    done = CliRunner().invoke(group, ["references", str(tmp_path)])
    assert done.exit_code == 0, done.output
    assert "slide  800 × 600, photograph, in colour, 1958, D55, no anchors, 1 sample" in done.output
    assert "no credit" in done.output and "only the light stated" in done.output


def test_the_answer_in_json(tmp_path):
    start(tmp_path)
    done = CliRunner().invoke(group, ["references", str(tmp_path / "kit.toml"), "--json"])
    answer = json.loads(done.stdout)
    assert answer["schema"] == 1 and answer["kit"] == "Test car"
    (slide,) = answer["references"]
    assert slide["reference"] == "slide" and slide["width"] == 800 and slide["profile"] == "sRGB (assumed)"
    assert slide["credit"] is None and len(slide["missing"]) == 3 and slide["samples"] == 1
    # the picture is of many colours, and so is the sample
    assert slide["missing"][-1].startswith("the sample of 'waist' holds more than one colour")


@pytest.mark.parametrize("tone", ["colour", "grey"])
def test_a_turned_copy_is_named_and_said_to_count_once(tmp_path, tone):
    # fails when a copy is known only the right way up, or grey ones are said to count twice
    text = KIT.replace("year = 1958", f'tone = "{tone}"')
    start(tmp_path, text + text[text.index("[[reference]]") :].replace("slide", "turned"))
    with Image.open(tmp_path / "slide.png") as image:
        image.convert("L" if tone == "grey" else "RGB").save(tmp_path / "slide.png")
    with Image.open(tmp_path / "slide.png") as image:
        image.transpose(Image.Transpose.ROTATE_90).resize((450, 600)).save(
            tmp_path / "turned.jpg", quality=80
        )
    with Image.open(tmp_path / "turned.jpg") as image:
        image.save(tmp_path / "turned.png")
    done = CliRunner().invoke(group, ["references", str(tmp_path), "--json"])
    one, two = json.loads(done.stdout)["references"]
    assert one["same_as"] == [] and two["same_as"] == ["slide"]
    assert two["missing"][0] == "is 'slide', turned by 90°: the two count once"


def test_a_picture_that_cannot_be_read_is_listed_and_an_error(tmp_path, capsys):
    start(tmp_path)
    (tmp_path / "slide.png").write_text("Dear sir, the car was brown.")
    with pytest.raises(SystemExit) as stop:
        main(["references", str(tmp_path)])
    assert stop.value.code == 1
    told = capsys.readouterr()
    assert "cannot be read" in told.out
    assert told.err.count("\n") == 1 and told.err.startswith("error: ") and "slide.png" in told.err
