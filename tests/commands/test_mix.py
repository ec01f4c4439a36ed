"""`palette mix` at its door."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import palette
from palette.commands import group
from palette.swatches.model import SwatchList

LIST = """id,name,lab_l,lab_a,lab_b,owned,finish,retired
W1,White,96,-0.5,2,yes,matt,
K1,Black,22,0,0,yes,matt,
Y1,Yellow,82,8,85,,matt,
B1,Deep blue,22,8,-35,yes,matt,
R1,Red,40,55,35,no,gloss,
M1,Silver,70,0,0,yes,metallic,
G1,Green,40,-30,15,yes,matt,yes
"""


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    path = tmp_path / "bench.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def run(*args: object) -> Result:
    return CliRunner().invoke(group, ["mix", *map(str, args)])


def test_json_is_the_promised_document_and_nothing_else(bench: Path) -> None:
    result = run("--lab", 50, -10, 10, "--swatches", bench, "--count", 2, "--json")
    answer = json.loads(result.stdout)
    assert answer["schema"] == 1
    (recipe,) = answer["recipes"]
    assert recipe["lab"] == [50, -10, 10]
    assert len(recipe["mixes"]) == 2
    best = recipe["mixes"][0]
    assert {"drops", "lab", "hex", "difference"} <= set(best)
    drops = {drop["swatch"]: drop["count"] for drop in best["drops"]}
    predicted = palette.mixture(drops, SwatchList.read(bench))
    assert best["lab"] == pytest.approx(predicted.tolist(), abs=1e-3)
    assert best["difference"] == pytest.approx(float(palette.difference(predicted, [50, -10, 10])), abs=1e-3)
    assert "M1: it is metallic" in result.stderr


def test_the_surest_are_ranked_by_the_difference_to_expect(bench: Path) -> None:
    def expected(*more: str) -> list[float]:
        result = run("--lab", 50, -10, 10, "--swatches", bench, "--json", *more)
        mixes = json.loads(result.stdout)["recipes"][0]["mixes"]
        return [(mix["difference"] ** 2 + (mix["expected_error"] / 2) ** 2) ** 0.5 for mix in mixes]

    plain, surest = expected(), expected("--surest")
    assert surest == sorted(surest)
    assert plain != sorted(plain)  # or this list could not tell the two orders apart
    assert surest[0] < plain[0]


def test_a_paint_that_is_not_mixed_is_offered_straight(bench: Path) -> None:
    metal = bench.with_name("metal.csv")
    metal.write_text("id,name,finish,hex\nM1,Silver,metallic,#aaaaaa\nV1,Varnish,clear,#aaaaaa\n")
    result = run("--hex", "#aaaaaa", "--swatches", metal)
    assert "not mixed" in result.stdout
    assert "Straight, 0.0 off: M1  Silver, which is metallic" in result.stdout
    near, far = (run("--lab", *lab, "--swatches", bench) for lab in ((70, 0, 0), (22, 8, -35)))
    assert "Straight, 0.0 off: M1" in near.stdout and "Straight" not in far.stdout
    answer = json.loads(run("--lab", 70, 0, 0, "--swatches", bench, "--json").stdout)["recipes"][0]
    assert answer["straight"] == {"swatch": "M1", "kind": "metallic", "difference": 0.0}
    assert all(drop["swatch"] != "M1" for mix in answer["mixes"] for drop in mix["drops"])


def test_only_paints_at_hand_unless_all_are_asked_for(bench: Path) -> None:
    def first(*more: str) -> list[dict[str, object]]:
        result = run("--lab", 40, 55, 35, "--swatches", bench, "--json", *more)
        drops: list[dict[str, object]] = json.loads(result.stdout)["recipes"][0]["mixes"][0]["drops"]
        return drops

    assert first("--all") == [{"swatch": "R1", "count": 1}]
    assert all(drop["swatch"] not in ("R1", "G1", "M1") for drop in first())


def test_a_paint_is_not_imitated_by_itself(bench: Path) -> None:
    result = run("--swatch", "Y1", "--swatches", bench, "--json")
    (recipe,) = json.loads(result.stdout)["recipes"]
    used = {drop["swatch"] for mix in recipe["mixes"] for drop in mix["drops"]}
    assert used and "Y1" not in used
    assert "Y1" in result.stderr


def test_limits_reach_the_search(bench: Path) -> None:
    result = run("--lab", 50, -10, 10, "--swatches", bench, "--max-paints", 1, "--max-drops", 3, "--json")
    mixes = json.loads(result.stdout)["recipes"][0]["mixes"]
    assert [len(mix["drops"]) for mix in mixes] == [1] * 4  # W1, K1, Y1, B1


def test_text_tells_drops_volumes_and_how_sure_it_is(bench: Path) -> None:
    result = run("--lab", 60, -2, 0, "--swatches", bench, "--ml", 5, "--count", 1)
    assert result.exit_code == 0
    for words in ("drop", " ml", "off", "give or take", "one drop wrong"):
        assert words in result.stdout


def test_a_colour_out_of_reach_is_said(bench: Path) -> None:
    assert "no mixture of these paints is this strong" in run("--hex", "#ff00ff", "--swatches", bench).stdout


def test_programs_are_told_what_people_are(bench: Path) -> None:
    """Fails where --json keeps back the volumes, the reason of a miss or how a match holds under lamps."""
    out = run("--lab", 8, 0, 0, "--swatches", bench, "--ml", 5, "--light", "D50", "--json").stdout
    (recipe,) = json.loads(out)["recipes"]
    assert "no paint is this dark" in recipe["why"]
    for mix in recipe["mixes"]:
        assert sum(drop["ml"] for drop in mix["drops"]) == pytest.approx(5)
        assert [each["light"] for each in mix["lights"]] == ["D50", "A", "LED-B1"]
        assert all(each["low"] <= each["difference"] <= each["high"] for each in mix["lights"])
    (recipe,) = json.loads(run("--lab", 96, -0.5, 2, "--swatches", bench, "--json").stdout)["recipes"]
    assert recipe["why"] is None and "ml" not in recipe["mixes"][0]["drops"][0]


def test_many_colours_are_answered_in_their_order(bench: Path, tmp_path: Path) -> None:
    colours = tmp_path / "colours.csv"
    colours.write_text("id,hex\nroof,#444444\nwaist,#7f8a66\n", encoding="utf-8")
    answer = json.loads(run("--colours", colours, "--swatches", bench, "--json").stdout)
    assert [recipe["id"] for recipe in answer["recipes"]] == ["roof", "waist"]


def test_all_paints_retired_is_an_error_that_names_the_way_out(bench: Path) -> None:
    bench.write_text("id,name,hex,retired\nA,Old,#445566,yes\n", encoding="utf-8")
    result = run("--hex", "#445566", "--swatches", bench)
    assert result.exit_code == 1
    assert result.stderr.startswith("error: ")
    assert "--all" in result.stderr


@pytest.mark.parametrize(
    "wrong",
    [
        ("--hex", "#445566"),
        ("--hex", "#445566", "--swatches", "{bench}", "--max-drops", "0"),
        ("--hex", "#445566", "--swatches", "{bench}", "--light", "candle"),
        ("--hex", "#445566", "--swatches", "{bench}", "--ml", "nan"),
        ("--hex", "#445566", "--swatches", "{bench}", "--ml", "inf"),
        ("--swatches", "{bench}"),
    ],
)
def test_a_wrong_command_line_is_status_2(bench: Path, wrong: tuple[str, ...]) -> None:
    assert run(*(word.format(bench=bench) for word in wrong)).exit_code == 2


def test_a_nearer_paint_that_is_left_out_is_named(bench: Path) -> None:
    """Fails where a recipe far off is put down to weak paints while the very paint stands in the list."""
    result = run("--lab", 41, 55, 35, "--swatches", bench)
    assert "Nearer, but left out: R1  Red" in result.stdout and "not owned" in result.stdout
    (answer,) = json.loads(run("--lab", 41, 55, 35, "--swatches", bench, "--json").stdout)["recipes"]
    assert answer["left_out"]["swatch"] == "R1" and answer["left_out"]["difference"] < 2
    (answer,) = json.loads(run("--lab", 41, 55, 35, "--swatches", bench, "--all", "--json").stdout)["recipes"]
    assert answer["left_out"] is None


def test_limits_are_stated_and_held(bench: Path) -> None:
    """Fails where a number of drops or recipes that takes minutes or all the memory is begun."""
    for option, value in (("--max-drops", 61), ("--count", 100_000)):
        result = run("--lab", 50, 0, 0, "--swatches", bench, option, value)
        assert result.exit_code == 2 and option in result.stderr


def test_recipes_are_ordered_by_the_light_asked_for(bench: Path) -> None:
    result = run("--lab", 50, -10, 10, "--swatches", bench, "--light", "A", "--json")
    mixes = json.loads(result.stdout)["recipes"][0]["mixes"]
    under = [mix["lights"][0]["difference"] for mix in mixes]
    assert len(mixes) == 5 and under == sorted(under)
    assert {mix["lights"][0]["light"] for mix in mixes} == {"A"}
    said = run("--lab", 50, -10, 10, "--swatches", bench, "--light", "A").stdout
    assert "off under a household bulb (A)" in said


def test_a_blank_beside_a_yes_is_told_to_count_as_owned(bench: Path, tmp_path: Path) -> None:
    """Fails where somebody who marks what is there is offered what is not, without a word."""
    half = tmp_path / "half.csv"
    half.write_text(LIST.replace(",no,", ",,"), encoding="utf-8")
    colour = "--lab", 50, -10, 10, "--swatches"
    assert "2 paints are blank there and count as owned; write no" in run(*colour, half).stderr
    for told in (run(*colour, bench), run(*colour, half, "--all")):
        assert "count as owned" not in told.stderr
