"""`palette check`: what it prints for people and for programs."""

from __future__ import annotations

import json

from click.testing import CliRunner

from palette.commands.check import command
from tests.evidence.combine.kits import ANCHORS, RED, part, picture, reference, write


def test_json_and_text_of_a_print_too_dark(tmp_path):
    picture(tmp_path / "print.png", [*ANCHORS, (22, 20, 8)])
    decided = part("waist", f"colour = {{ lab = {list(RED)} }}", 'why = "measured"')
    write(tmp_path, decided, part("roof"), reference("print", {6: "waist"}, subject="painted"), paints=False)
    answer = json.loads(CliRunner().invoke(command, [str(tmp_path), "--json"]).stdout)
    assert answer["schema"] == 1
    (waist,) = answer["parts"]
    assert {"part", "target", "measured", "difference", "tolerance", "pass"} <= set(waist)
    assert waist["target"] == list(RED) and waist["pass"] is False and waist["tolerance"] == 3.0
    text = CliRunner().invoke(command, [str(tmp_path)]).stdout
    row = next(line for line in text.splitlines() if line.startswith("waist"))
    assert " no " in row and "lighter" in row and "more vivid" in row
    assert "In no picture of the print: roof." in text
