"""One edition after another: what changed, and a settled one is not overwritten."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.errors import InputError
from palette.evidence.combine.build import colours
from palette.evidence.combine.notes import SettledChanged
from palette.guide import build
from palette.guide.editions import as_json, edition, since_settled
from palette.kit.model import Kit

KIT = """
schema = 1
[kit]
title = "Small van"
version = "{version}"
stage = "{stage}"

[[part]]
id = "body"
name = "Body"
colour = {{ lab = [{lab}] }}
why = "the owner said so"

[[part]]
id = "{second}"
colour = {{ lab = [20.0, 0.0, 0.0] }}
why = "tyres are black"
"""


def kit(folder: Path, version: str, stage: str, lab: str = "40.0, 30.0, 20.0", second: str = "tyre") -> Kit:
    (folder / "kit.toml").write_text(
        KIT.format(version=version, stage=stage, lab=lab, second=second), "utf-8"
    )
    return Kit.read(folder)


def test_the_next_edition_says_what_changed_however_often_it_is_built(tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(kit(tmp_path, "0.1", "draft"), out)
    assert "last_edition" not in json.loads((out / "scheme.json").read_text())
    later = kit(tmp_path, "0.2", "draft", "45.0, 30.0, 20.0", second="lamp")
    first = [path.read_bytes() for path in build(later, out)]
    assert [path.read_bytes() for path in build(later, out)] == first
    text = (out / "guide.html").read_text("utf-8")
    off = float(difference(np.array([40.0, 30, 20]), np.array([45.0, 30, 20])))
    assert "Changed since version 0.1" in text and f"differs by {off:.1f}" in text
    assert "No longer a part: tyre" in text and "a new part" in text


def test_a_settled_edition_is_kept(tmp_path: Path) -> None:
    out = tmp_path / "out"
    first = [path.read_bytes() for path in build(kit(tmp_path, "1.0", "settled"), out)]
    with pytest.raises(InputError) as caught:
        build(kit(tmp_path, "1.0", "settled", "50.0, 30.0, 20.0"), out)
    said = str(caught.value)
    assert "version 1.0 is settled" in said and "--out" in said and "kit.toml:5" in said
    assert [path.read_bytes() for path in sorted(out.iterdir(), key=lambda p: p.name)] == [
        first[1], first[2], first[0], first[3],
    ]  # fmt: skip
    build(kit(tmp_path, "1.0", "settled"), out, "letter")  # the same scheme, on other paper
    build(kit(tmp_path, "1.1", "settled", "50.0, 30.0, 20.0"), out)
    build(kit(tmp_path, "1.1", "settled", "60.0, 30.0, 20.0"), tmp_path / "elsewhere")


def test_a_file_that_is_no_scheme_is_no_edition(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    for junk in (
        "",
        "[]",
        '{"edition": 3}',
        '{"edition": {}, "parts": [1]}',
        '{"edition": {}, "parts": [{"part": "x", "lab": "y"}]}',
    ):
        (out / "scheme.json").write_text(junk)
        build(kit(tmp_path, "0.1", "draft"), out)
        assert "Changed since" not in (out / "guide.html").read_text("utf-8")


def test_a_settled_kit_that_changed_since_is_said_to_have(tmp_path: Path) -> None:
    now = colours(kit(tmp_path, "1.0", "settled"))[0]
    assert since_settled(now) == ()  # no guide yet
    (tmp_path / "out").mkdir()
    head = as_json(edition(now))
    document = {"edition": head, "parts": head["parts"]}
    (tmp_path / "out/scheme.json").write_text(json.dumps(document), "utf-8")
    assert since_settled(now) == ()
    later = colours(kit(tmp_path, "1.0", "settled", "50.0, 30.0, 20.0"))[0]
    assert since_settled(later) == (SettledChanged("1.0", ("Body",)),)
    assert since_settled(colours(kit(tmp_path, "1.1", "trial", "50.0, 30.0, 20.0"))[0]) == ()
