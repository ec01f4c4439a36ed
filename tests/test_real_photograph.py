"""The main job on a photograph that nobody made for it: scikit-learn's china.jpg (licence there)."""

import json
from pathlib import Path

import pytest
import sklearn.datasets
from click.testing import CliRunner

import swatches_demo
from palette import difference
from palette.commands import group
from tests.pdf_text import words_of

PHOTOGRAPH = Path(sklearn.datasets.__file__).parent / "images" / "china.jpg"
BENCH = Path(swatches_demo.__file__).parent / "swatches" / "bench.csv"
KIT = f"""
schema = 1
[kit]
title = "Pavilion"
swatches = [{str(BENCH)!r}]
[[part]]
id = "wall"
name = "Red walls"
[[part]]
id = "trees"
name = "Trees"
[[reference]]
id = "photo"
file = {str(PHOTOGRAPH)!r}
credit = "scikit-learn"
[[reference.sample]]
part = "wall"
rect = [214, 328, 10, 10]
[[reference.sample]]
part = "trees"
rect = [560, 330, 50, 40]
"""


def run(*words: object) -> str:
    done = CliRunner().invoke(group, [str(word) for word in words], prog_name="palette")
    assert done.exit_code == 0, done.stderr
    return done.stdout


def test_a_painter_finds_the_colours_they_would_pick() -> None:
    answer = json.loads(run("sample", PHOTOGRAPH, "--swatches", BENCH, "--json"))
    labs = [colour["lab"] for colour in answer["colours"]]
    # read off the photograph by eye: pale sky, dark foliage, orange roof edges, the red of the walls
    for wanted, within in (((95, -1, -5), 6), ((28, -3, 9), 8), ((70, 22, 38), 9), ((38, 24, 14), 12)):
        assert difference(labs, wanted).min() < within, wanted
    assert sum(colour["share"] for colour in answer["colours"]) == pytest.approx(1)


def test_from_the_photograph_to_a_printed_guide(tmp_path: Path) -> None:
    (tmp_path / "kit.toml").write_text(KIT, "utf-8")
    run("guide", tmp_path)
    scheme = json.loads((tmp_path / "out" / "scheme.json").read_text("utf-8"))
    wall, trees = scheme["parts"]
    assert wall["lab"][1] > 8 > trees["lab"][1]  # red, and not red
    assert wall["basis"] == trees["basis"] == "colour"
    assert wall["radius90"] > 5  # no anchor and no stated light: it must say so
    text = words_of((tmp_path / "out" / "guide.pdf").read_bytes())
    assert "Pavilion" in text and "Red walls" in text
    assert any(paint["name"] in text for paint in wall["paints"])
