"""`palette basket`: its answer, its words, its errors."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from palette.commands import group

KIT = """schema = 1
[kit]
title = "Small van"
swatches = ["bench.csv"]
tolerance = 2.0

[[part]]
id = "body"
colour = { lab = [40.0, 50.0, 30.0] }
why = "the owner said so"

[[part]]
id = "wings"
colour = { lab = [15.0, 0.0, 0.0] }
why = "the owner said so"

[[part]]
id = "lamp"
colour = { lab = [97.0, 0.0, 90.0] }
why = "the owner said so"

[[part]]
id = "seats"
"""

PAINTS = """id,name,range,lab_l,lab_a,lab_b,owned,price,retired
R1,Signal,Bench,40,50,30,no,3.00,no
R2,Rose,Bench,40,50.5,30,no,2.00,no
K1,Coal,Depot,15,0,0,yes,2.00,no
R3,Gone,Bench,40,50,30,no,1.00,yes
"""


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    (tmp_path / "kit.toml").write_text(KIT, "utf-8")
    (tmp_path / "bench.csv").write_text(PAINTS, "utf-8")
    return tmp_path


def run(*arguments: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(group, ["basket", *arguments], prog_name="palette")
    return done.exit_code, done.stdout, done.stderr


def test_the_answer_for_programs(kit: Path) -> None:
    """Fails where the nearer of two pots is not bought, or a retired one is."""
    status, out, _ = run(str(kit), "--json")
    answer = json.loads(out)
    assert status == 0 and answer["schema"] == 1
    assert [paint["swatch"] for paint in answer["buy"]] == ["R1"] and answer["price"] == 3.0
    assert answer["owned"] == ["K1"] and answer["within"] == 2
    body, wings, lamp = answer["parts"]
    assert body["drops"] == [{"swatch": "R1", "count": 1}] and body["difference"] == pytest.approx(
        0, abs=1e-9
    )
    assert answer["likely"] == sum(
        np.hypot(part["difference"], part["expected_error"]) <= 2 for part in answer["parts"]
    )
    assert wings["within"] and not lamp["within"] and lamp["nearest"]["difference"] > 2
    assert answer["no_colour"] == ["seats"]
    assert [(step["pots"], step["within"]) for step in answer["curve"][:2]] == [(0, 1), (1, 2)]
    assert answer["ranges"][0] == {
        "range": "Bench",
        "straight": 1,
        "within": 1,
        "pots": 1,
        "proven": True,
    }


def test_the_cheapest(kit: Path) -> None:
    _, out, _ = run(str(kit), "--json", "--cheapest")
    assert [paint["swatch"] for paint in json.loads(out)["buy"]] == ["R2"]
    (kit / "bench.csv").write_text(PAINTS + "R4,Free,Bench,60,0,0,no,,no\n", "utf-8")
    _, out, _ = run(str(kit), "--cheapest")
    assert "1 paint has no price and was passed over" in out and "What more money buys" in out


def test_the_answer_for_people(kit: Path) -> None:
    status, out, _ = run(str(kit))
    assert status == 0
    for words in (
        "for 2 of 3 parts within 2:",
        "R1 Signal",
        "lamp: out of reach; the nearest that can be reached is",
        "Left out, having no colour yet: seats",
        "With Bench alone: 1 of 3 parts",
    ):
        assert words in out


def test_a_paint_of_another_look_is_warned_of(kit: Path) -> None:
    (kit / "bench.csv").write_text(PAINTS.replace("name,", "name,finish,").replace(
        "R1,Signal,", "R1,Signal,metallic,").replace("R2,Rose,", "R2,Rose,metallic,").replace(
        "K1,Coal,", "K1,Coal,matt,").replace("R3,Gone,", "R3,Gone,matt,"), "utf-8")  # fmt: skip
    assert "R1 Signal, 0.0 off (warning: metallic paint on a part that is not" in run(str(kit))[1]
    body, wings, _ = json.loads(run(str(kit), "--json")[1])["parts"]
    assert body["look"] == "metallic" and wings["look"] is None


def test_a_scale_effect_is_said_and_used(kit: Path) -> None:
    text = KIT.replace("tolerance", 'scale = "1:72"\nscale_effect = true\ntolerance')
    (kit / "kit.toml").write_text(text, "utf-8")
    _, out, _ = run(str(kit))
    assert "Scale effect at 1:72" in out
    wings = json.loads(run(str(kit), "--json")[1])["parts"][1]
    assert wings["lab"][0] > 20


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('swatches = ["bench.csv"]\n', ""), "the kit names no list of paints"),
        (("", ""), "every paint is retired"),
    ],
)
def test_lists_of_no_use(change: tuple[str, str], said: str, kit: Path) -> None:
    (kit / "kit.toml").write_text(KIT.replace(*change), "utf-8")
    (kit / "bench.csv").write_text(PAINTS.replace(",no\n", ",yes\n"), "utf-8")
    status, out, err = run(str(kit))
    assert status == 1 and out == "" and err.startswith("error: ") and said in err and err.count("\n") == 1
