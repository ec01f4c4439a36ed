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
    assert not any(colour["background"] for colour in answer["colours"])
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


def test_a_place_a_polygon_and_a_background(tmp_path: Path) -> None:
    pixels = np.full((100, 160, 3), (120, 160, 220), np.uint8)
    pixels[30:80, 40:120] = (150, 40, 40)
    pixels[40:60, 60:80] = (230, 200, 40)
    file = tmp_path / "tram.png"
    Image.fromarray(pixels).save(file)

    def colours(*words: str) -> dict[str, tuple[float, bool]]:
        answer = json.loads(_run(str(file), *words, "--json")[1])
        return {c["hex"]: (round(c["share"], 2), c["background"]) for c in answer["colours"]}

    assert colours()["#78a0dc"] == (0.75, True)
    assert colours("--without-background") == {"#962828": (0.9, False), "#e6c828": (0.1, False)}
    assert colours("--within", "40,30,80,50") == {"#962828": (0.9, False), "#e6c828": (0.1, False)}
    assert colours("--within", "60,40,80,40,80,60,60,60") == {"#e6c828": (1.0, False)}
    assert "--without-background" in _run(str(file))[1]
    for words in (("--within", "900,5,10,10"), ("--white", "900,5,10,10")):
        status, out, err = _run(str(file), *words)
        assert status == 1 and not out and err.startswith(f"error: {file}: has no pixel in the place")
    assert _run(str(file), "--within", "1,2,3")[0] == 2
    assert _run(str(file), "--white", "1,2,3,4", "--grey", "1,2,3,4")[0] == 2


def test_a_neutral_corrects_and_a_cast_is_remarked_on(tmp_path: Path) -> None:
    # a white lorry in blue shade, beside grey road and a green hedge
    true = np.zeros((90, 120, 3))
    true[:30], true[30:60], true[60:] = 0.876, (0.05, 0.12, 0.04), 0.18
    light = true * np.array([0.52, 0.66, 1.0])
    encoded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    file = tmp_path / "lorry.png"
    Image.fromarray(np.rint(encoded * 255).astype(np.uint8)).save(file)
    _, out, err = _run(str(file), "--json")
    assert "bluish all over" in err
    _, out, err = _run(str(file), "--white", "10,5,40,20", "--json")
    white = max(json.loads(out)["colours"], key=lambda one: one["lab"][0])
    assert not err and white["lab"] == pytest.approx([95.0, 0, 0], abs=0.6)
    _, out, _ = _run(str(file), "--grey", "10,65,40,20", "--json")
    labs = np.array([one["lab"] for one in json.loads(out)["colours"]])
    assert np.hypot(*labs[:, 1:].T).min() < 1 and labs[:, 0].max() < 90  # as light as it was shot
    assert _run(str(file), "--white", "10,65,40,20")[0] == 0


def test_a_burnt_white_corrects_nothing(tmp_path: Path) -> None:
    Image.fromarray(np.full((20, 30, 3), 255, np.uint8)).save(tmp_path / "burnt.png")
    status, _, err = _run(str(tmp_path / "burnt.png"), "--white", "1,1,10,10")
    assert status == 1 and "burnt out where --white points" in err
