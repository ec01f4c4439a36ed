"""`palette scheme`: what it prints for people and for programs."""

from __future__ import annotations

import json

from click.testing import CliRunner

from palette.commands.scheme import command
from tests.evidence.combine.kits import ANCHORS, BROWN, RED, part, picture, reference, write


def run(*args: object):
    return CliRunner().invoke(command, [str(a) for a in args], catch_exceptions=False)


def test_json_has_every_key(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    write(tmp_path, part("waist"), part("roof"), reference("a", {6: "waist"}))
    answer = json.loads(run(tmp_path, "--json").stdout)
    assert (answer["schema"], answer["kit"]) == (1, "Car 7")
    waist, roof = answer["parts"]
    keys = {"part", "lab", "hex", "name", "radius90", "basis", "conflict", "evidence", "paints", "mixes"}
    assert keys <= set(waist) and keys <= set(roof)
    assert {"reference", "lab", "radius90", "weight"} <= set(waist["evidence"][0])
    assert set(waist["paints"][0]) == {"swatch", "name", "range", "lab", "hex", "difference"}
    assert set(waist["mixes"][0]) == {"drops", "lab", "hex", "difference"}
    assert set(waist["mixes"][0]["drops"][0]) == {"swatch", "count"}
    assert (roof["lab"], roof["hex"], roof["radius90"], roof["basis"]) == (None, None, None, "none")
    assert roof["conflict"] is False and roof["paints"] == roof["mixes"] == []


def test_people_read_words_paints_and_disagreement(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    picture(tmp_path / "b.png", [*ANCHORS, BROWN])
    blocks = [part("waist", 'name = "Waist panels"'), part("roof")]
    write(tmp_path, *blocks, reference("a", {6: "waist"}), reference("b", {6: "waist"}))
    text = run(tmp_path / "kit.toml").stdout
    row = next(line for line in text.splitlines() if line.startswith("Waist panels"))
    assert "evidence disagrees" in row and "colour pictures" in row and "#" in row
    assert "if all of it were right, it would lie so far apart" in text
    assert any(line.startswith("    b: ") and "counted for" in line for line in text.splitlines())
    assert "no evidence yet" in next(line for line in text.splitlines() if line.startswith("roof"))


def test_long_names_and_empty_lists_keep_the_table_whole(tmp_path):
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    long = part("waist", f'name = "{"Waist panels, " * 9}"')
    write(tmp_path, long, reference("a", {6: "waist"}), paints=False)
    lines = run(tmp_path).stdout.splitlines()
    header = next(line for line in lines if line.startswith("part "))
    assert "nearest paint" not in header and not any(line.startswith("Would it show") for line in lines)
    assert max(map(len, lines[:5])) < 120


def test_people_are_sent_to_a_paint_still_sold_programs_get_all(tmp_path):
    # fails when the nearest paint of the table is the retired one, or the list leaves it out
    picture(tmp_path / "a.png", [*ANCHORS, RED])
    write(tmp_path, part("waist"), reference("a", {6: "waist"}))
    lists = (tmp_path / "bench.csv").read_text().splitlines()
    lists = [f"{line},{'retired' if i == 0 else 'yes' if i == 1 else ''}" for i, line in enumerate(lists)]
    (tmp_path / "bench.csv").write_text("\n".join(lists))
    (waist,) = json.loads(run(tmp_path, "--json").stdout)["parts"]
    assert waist["paints"][0]["swatch"] == "R1"
    row = next(line for line in run(tmp_path).stdout.splitlines() if line.startswith("waist"))
    assert "R2 Brick" in row and "R1" not in row
    (tmp_path / "bench.csv").write_text("\n".join(lists[:2]))
    assert "R1 Signal (retired)" in run(tmp_path).stdout
