"""`palette sample`: the answer's form, counts, paints, sheets and bad pictures."""

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from palette.commands import group


@pytest.fixture
def picture(tmp_path: Path) -> str:
    pixels = np.zeros((60, 90, 3), np.uint8)
    for i, colour in enumerate([(150, 40, 40), (40, 120, 60), (60, 70, 160)]):
        pixels[:, 30 * i : 30 * i + 30] = colour
    Image.fromarray(pixels).save(tmp_path / "three.png")
    return str(tmp_path / "three.png")


def _run(*words: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(group, ["sample", *words], prog_name="palette")
    return done.exit_code, done.stdout, done.stderr


def test_the_answer(picture: str, tmp_path: Path) -> None:
    (tmp_path / "bench.csv").write_text("id,name,hex\nR1,Red,#962828\nG1,Green,#28783c\n")
    status, out, _ = _run(picture, "--swatches", str(tmp_path / "bench.csv"), "--json")
    answer = json.loads(out)
    assert status == 0 and answer["schema"] == 1
    assert answer["image"] == [{"file": picture, "width": 90, "height": 60, "profile": "sRGB (assumed)"}]
    assert {colour["hex"] for colour in answer["colours"]} == {"#962828", "#28783c", "#3c46a0"}
    assert sum(colour["share"] for colour in answer["colours"]) == pytest.approx(1)
    red = next(colour for colour in answer["colours"] if colour["hex"] == "#962828")
    assert red["paints"][0]["swatch"] == "R1" and red["paints"][0]["difference"] < 0.1


@pytest.mark.parametrize(("count", "expected"), [("2", 2), ("3", 3), ("8", 3), ("auto", 3)])
def test_counts(picture: str, count: str, expected: int) -> None:
    _, out, _ = _run(picture, "--colours", count, "--json")
    assert len(json.loads(out)["colours"]) == expected


def test_a_sheet_for_print(picture: str, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.pdf"
    assert _run(picture, "--sheet", str(sheet))[0] == 0
    assert sheet.read_bytes().startswith(b"%PDF")


def test_every_bad_picture_is_told(picture: str, tmp_path: Path) -> None:
    (tmp_path / "text.jpg").write_text("no picture")
    status, out, err = _run(picture, str(tmp_path / "text.jpg"), str(tmp_path / "none.png"), "--json")
    assert status == 1 and not out and len(err.splitlines()) == 2


def test_a_wrong_count_is_status_2(picture: str) -> None:
    assert _run(picture, "--colours", "0")[0] == 2 == _run(picture, "--colours", "some")[0]


def test_three_paints_are_printed_and_five_in_the_json(picture: str, tmp_path: Path) -> None:
    (tmp_path / "bench.csv").write_text(
        "id,name,hex\n" + "".join(f"P{i},Paint {i},#{i}{i}4040\n" for i in range(1, 8))
    )
    words = [picture, "--swatches", str(tmp_path / "bench.csv")]
    out = _run(*words)[1]
    assert out.count("Paint ") == 3 * 3 and "in full light; most of its pixels are darker" in out
    assert [len(one["paints"]) for one in json.loads(_run(*words, "--json")[1])["colours"]] == [5, 5, 5]
