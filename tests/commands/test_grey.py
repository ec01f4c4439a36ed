"""`palette grey`, from a kit on disk to what is printed and drawn."""

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from palette.commands import group
from palette.commands.grey import command
from palette.errors import InputError

KIT = """schema = 1
[kit]
title = "T"
swatches = ["paints.csv"]
[[part]]
id = "door"
[[part]]
id = "sill"
{part}
[[reference]]
id = "one"
file = "one.png"
tone = "grey"
light = "D55"
response = "{response}"
[[reference.anchor]]
rect = [0, 0, 20, 20]
colour = {{ munsell = "N 9/" }}
[[reference.anchor]]
rect = [20, 0, 20, 20]
colour = {{ munsell = "N 3/" }}
[[reference.sample]]
part = "door"
rect = [40, 0, 20, 20]
[[reference.sample]]
part = "sill"
rect = [60, 0, 20, 20]
"""
PAINTS = """id,name,hex
A,Cream,#efe3c0
B,Mid green,#4f7a55
C,Maroon,#5b2c2f
D,Navy,#1f2c4d
E,Grey,#8a8c8c
"""


def lay(
    folder: Path,
    levels: tuple[int, ...] = (230, 70, 120, 60),
    part: str = "",
    response: str = "panchromatic",
    scale: int = 1,
) -> Path:
    picture = np.repeat(np.array(levels, dtype=np.uint8), 20)[None].repeat(20, axis=0)
    Image.fromarray(picture).resize((80 * scale, 20 * scale), Image.Resampling.NEAREST).save(
        folder / "one.png"
    )
    text = KIT.format(part=part, response=response)
    for left in (0, 20, 40, 60):
        side = 20 * scale
        text = text.replace(f"rect = [{left}, 0, 20, 20]", f"rect = [{left * scale}, 0, {side}, {side}]")
    (folder / "kit.toml").write_text(text)
    (folder / "paints.csv").write_text(PAINTS)
    return folder


def answer(folder: Path, *more: str) -> dict:
    result = CliRunner().invoke(group, ["grey", str(folder), "--json", *more], catch_exceptions=False)
    assert result.exit_code == 0
    return json.loads(result.stdout)


def by_id(reply: dict, part: str) -> dict[str, float]:
    (one,) = (p for p in reply["parts"] if p["part"] == part)
    return {c["swatch"]: c["probability"] for c in one["candidates"]}


def test_json_is_whole(tmp_path: Path) -> None:
    reply = answer(lay(tmp_path), "--draws", "50")
    assert [p["part"] for p in reply["parts"]] == ["door", "sill"]
    door = reply["parts"][0]
    assert door["readings"] == [
        {"reference": "one", "level": pytest.approx(120 / 255, abs=1e-6), "response": "panchromatic"}
    ]
    chances = [c["probability"] for c in door["candidates"]]
    assert sum(chances) == pytest.approx(1) and chances == sorted(chances, reverse=True) and len(chances) == 5
    assert door["bits"] == pytest.approx(sum(p * np.log2(p * 5) for p in chances if p > 0))
    assert len(door["draws"]) == 50 and all(len(d) == 3 for d in door["draws"])
    low, high = door["lightness"]
    inside = [low - 2.5 <= d[0] <= high + 2.5 for d in door["draws"]]
    assert low < high and np.mean(inside) > 0.8


def test_the_same_twice_and_at_any_size(tmp_path: Path) -> None:
    small, large = tmp_path / "small", tmp_path / "large"
    small.mkdir()
    large.mkdir()
    first = answer(lay(small), "--draws", "9")
    assert first == answer(small, "--draws", "9")
    scaled = by_id(answer(lay(large, scale=4)), "door")
    for id, chance in by_id(first, "door").items():
        assert scaled[id] == pytest.approx(chance, abs=0.01)


def test_a_dark_part_is_no_cream(tmp_path: Path) -> None:
    chances = by_id(answer(lay(tmp_path)), "sill")
    assert chances["A"] < 0.01
    assert chances["C"] + chances["D"] > 0.8


def test_words_lean_and_never_veto(tmp_path: Path) -> None:
    bare = by_id(answer(lay(tmp_path)), "sill")
    hint = '[[part.hint]]\nwords = "dark blue"\ntrust = 0.7\n'
    told = by_id(answer(lay(tmp_path, part=hint)), "sill")
    assert told["D"] > bare["D"] + 0.1
    assert told["C"] > 0.03 * bare["C"]


def test_same_paint_has_one_answer(tmp_path: Path) -> None:
    reply = answer(lay(tmp_path, (230, 70, 100, 100), part='same_as = "door"\n'))
    assert by_id(reply, "door") == by_id(reply, "sill")


def test_anchors_in_reversed_order_are_named_and_widen(tmp_path: Path) -> None:
    plain = answer(lay(tmp_path))["parts"][0]["lightness"]
    lay(tmp_path, (70, 230, 120, 60))
    result = CliRunner().invoke(group, ["grey", str(tmp_path), "--json"], catch_exceptions=False)
    assert "anchor 1" in result.stderr and "anchor 2" in result.stderr
    wide = json.loads(result.stdout)["parts"][0]["lightness"]
    assert wide[1] - wide[0] > plain[1] - plain[0]


def test_a_part_brighter_than_the_white_anchor_is_said(tmp_path: Path) -> None:
    """Fails where even odds among paints that contradict the picture pass for an answer."""

    def told(*levels: int) -> str:
        kit = lay(tmp_path, levels) / "kit.toml"
        kit.write_text(kit.read_text().replace('tone = "grey"', 'tone = "grey"\nuneven = 0.03'))
        (tmp_path / "paints.csv").write_text(PAINTS.replace("A,Cream,#efe3c0\n", ""))
        return CliRunner().invoke(command, [str(tmp_path), "--part", "door"]).stdout

    beyond = told(160, 40, 245, 60)
    assert "outshines the white anchor" in beyond and "no paint of the list fits" in beyond
    within = told(230, 70, 120, 60)
    assert "outshines" not in within and "fits" not in within


def test_of_paints_that_all_contradict_the_picture_the_nearest_lead(tmp_path: Path) -> None:
    """Fails where a floor under every paint drowns which of them is least wrong."""
    kit = lay(tmp_path, (160, 40, 250, 60)) / "kit.toml"
    kit.write_text(kit.read_text().replace('tone = "grey"', 'tone = "grey"\nuneven = 0.03'))
    (tmp_path / "paints.csv").write_text("id,name,hex\nA,Slate,#454a4e\nB,Stone,#b5b0a6\nC,Coal,#1c1c1d\n")
    odds = by_id(answer(tmp_path), "door")
    assert odds["B"] > 1.3 * odds["A"] > 0 and odds["A"] > odds["C"] > 0.1


def test_a_clipped_part_is_a_bound(tmp_path: Path) -> None:
    reply = answer(lay(tmp_path, (230, 70, 255, 0)))
    door, sill = reply["parts"]
    assert any("clipped white" in note for note in door["notes"])
    assert any("clipped black" in note for note in sill["notes"])
    assert by_id(reply, "door")["A"] > 0.5
    assert by_id(reply, "sill")["A"] < 0.05


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("nm,response\n0.4,1\n0.5,1\n0.7,0\n", "micrometres"),
        ("nm,response\n400,1\n500,-0.1\n600,1\n700,0\n", "negative"),
        ("nm,response\n400,0\n450,1\n600,1\n700,0\n", "nothing between 450 and 600"),
        ("nm,response\n400,1\n450,1\n500,1\n550,1\n", "stops at 550"),
        ("wavelength;sensitivity\n400;1\n", "head the columns"),
        ("", "head the columns"),
    ],
)
def test_a_response_that_cannot_be_right(tmp_path: Path, text: str, says: str) -> None:
    lay(tmp_path, response="stock.csv")
    (tmp_path / "stock.csv").write_text(text)
    with pytest.raises(InputError, match=says):
        command.callback(tmp_path, (), 0, None, None, None, True)


def test_words_unknown(tmp_path: Path) -> None:
    lay(tmp_path, part='[[part.hint]]\nwords = "dark bleu"\n')
    with pytest.raises(InputError, match="blue"):
        command.callback(tmp_path, (), 0, None, None, None, True)


@pytest.mark.parametrize("words", ["", "not red", "quite odd"])
def test_words_that_resemble_none_get_one_line_that_says_what_is_known(tmp_path: Path, words: str) -> None:
    lay(tmp_path, part=f'[[part.hint]]\nwords = "{words}"\n')
    result = CliRunner().invoke(group, ["grey", str(tmp_path)])
    assert result.exit_code == 1 and result.stderr.count("\n") == 1
    assert "green" in result.stderr.partition("; ")[2]


def test_a_colour_file_declared_grey_is_said(tmp_path: Path) -> None:
    lay(tmp_path)
    picture = Image.open(tmp_path / "one.png").convert("RGB")
    picture.paste((200, 60, 20), (40, 0, 60, 20))
    picture.save(tmp_path / "one.png")
    result = CliRunner().invoke(group, ["grey", str(tmp_path), "--json"], catch_exceptions=False)
    assert "holds colour" in result.stderr


def run(folder: Path, *more: str) -> str:
    result = CliRunner().invoke(group, ["grey", str(folder), *more], catch_exceptions=False)
    assert result.exit_code == 0, result.stderr
    return result.stdout


def test_parts_with_a_colour_are_named_and_shown_only_when_asked_for(tmp_path: Path) -> None:
    """Fails when a decided part crowds the answer, vanishes without a word, or is missing from the JSON."""
    lay(tmp_path, part='colour = { hex = "#5b2c2f" }\nwhy = "remembered"\n')
    plain = run(tmp_path)
    assert "door — " not in plain.split("Not shown")[0] and "\nsill — " not in plain  # sill is decided
    assert plain.startswith("door") and "Not shown: sill" in plain and "--part sill" in plain
    asked = run(tmp_path, "--part", "sill")
    assert asked.startswith("sill") and "Not shown" not in asked and "door" not in asked
    assert [p["part"] for p in answer(tmp_path)["parts"]] == ["door", "sill"]
    assert [p["part"] for p in answer(tmp_path, "--part", "sill")["parts"]] == ["sill"]


def test_parts_of_one_paint_are_told_once(tmp_path: Path) -> None:
    """Fails when parts that share a paint repeat its odds, or one of them is left out."""
    told = run(lay(tmp_path, part='same_as = "door"\n'))
    assert told.count("may be") == 1 and "of one paint" in told
    assert told.count("level 0.") == 2


def test_every_part_that_is_not_seen_in_grey_is_named(tmp_path: Path) -> None:
    asked = ["grey", str(lay(tmp_path)), "--part", "dor", "--part", "roof", "--json"]
    result = CliRunner().invoke(group, asked)
    assert result.exit_code == 1 and not result.stdout
    first, second = result.stderr.splitlines()
    assert "no part 'dor'; did you mean 'door'?" in first and "door, sill" in second


def test_retired_paints_are_marked(tmp_path: Path) -> None:
    """Fails when a maker would be sent looking for a paint that is no longer sold."""
    lay(tmp_path)
    rows = (tmp_path / "paints.csv").read_text().splitlines()
    rows = [rows[0] + ",retired", *(row + (",yes" if row.startswith("A,") else ",no") for row in rows[1:])]
    (tmp_path / "paints.csv").write_text("\n".join(rows) + "\n")
    marked = [line for line in run(tmp_path).splitlines() if "(retired)" in line]
    assert marked and all(line.split()[0] == "A" for line in marked)


def test_text_and_pictures(tmp_path: Path) -> None:
    lay(tmp_path)
    for plot in ("remains.png", "remains.svg"):
        drawn = ["--plot", str(tmp_path / plot), "--as-seen", "door", "--to", str(tmp_path / "d.png")]
        result = CliRunner().invoke(group, ["grey", str(tmp_path), *drawn], catch_exceptions=False)
        assert result.exit_code == 0
        assert "would help" in result.stdout and "may be" in result.stdout and "not " in result.stdout
    assert Image.open(tmp_path / "remains.png").width > 800
    assert (tmp_path / "remains.svg").read_text().count("<svg") == 1
    (tmp_path / "paints.csv").write_text(PAINTS)
    result = CliRunner().invoke(
        group, ["grey", str(tmp_path), "--as-seen", "door", "--to", str(tmp_path / "d.svg")]
    )
    drawn_as_text = [line for line in (tmp_path / "d.svg").read_text().splitlines() if "<!--" in line]
    said = " ".join(drawn_as_text)  # matplotlib notes each text that it draws as outlines
    assert "Mid green" in said and "−0." in said and "-0." not in said
    assert Image.open(tmp_path / "d.png").width > 400


def test_two_pictures_are_drawn_or_none(tmp_path: Path) -> None:
    # fails when the first is written before it is known that the second cannot be
    plot, seen = tmp_path / "plot.svg", tmp_path / "none" / "seen.png"
    words = ["grey", str(tmp_path), "--plot", str(plot), "--as-seen", "waist", "--to", str(seen)]
    done = CliRunner().invoke(group, words)
    assert (
        done.exit_code == 1
        and done.stderr.startswith(f"error: {seen}: cannot be written")
        and not plot.exists()
    )
