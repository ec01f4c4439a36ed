"""What is changed in a kit.toml that was not written by the desk."""

from __future__ import annotations

import pytest

from palette.desk.changes import decide
from palette.errors import InputError
from palette.kit.model import Kit

HEAD = 'schema = 1\n[kit]\ntitle = "x"\n'
ODD = {
    "table": HEAD + '[[part]]\nid = "a"\nwhy = "x"\n[part.colour]\nhex = "#112233"\n',
    "dotted": HEAD + '[[part]]\nid = "a"\ncolour.hex = "#112233"\nwhy = "x"\n',
    "inline": HEAD.replace("[kit]", 'part = [{ id = "a", colour = { hex = "#112233" }, why = "x" }]\n[kit]'),
}


@pytest.mark.parametrize("written", ODD)
@pytest.mark.parametrize("colour", [{"hex": "#445566"}, None])
def test_a_decision_is_changed_or_said_to_be_the_editors(tmp_path, written, colour):
    kit = tmp_path / "kit.toml"
    kit.write_text(ODD[written])
    try:
        decide(kit, "a", colour, "better")
    except InputError as error:
        (problem,) = error.problems
        assert problem.remedy == "change it in an editor" and problem.line is not None
        assert kit.read_text() == ODD[written]
    else:
        stated = Kit.read(kit).part("a").colour
        assert stated is None if colour is None else stated is not None and stated.words == "hex #445566"


def test_line_ends_and_the_mark_stay(tmp_path):
    kit = tmp_path / "kit.toml"
    kit.write_bytes(b"\xef\xbb\xbf" + (HEAD + '[[part]]\nid = "a"   # ours\n').replace("\n", "\r\n").encode())
    before = kit.read_bytes()
    decide(kit, "a", {"munsell": "N 5/"}, "a chip")
    after = kit.read_bytes()
    assert after.startswith(before) and b"\n" not in after.replace(b"\r\n", b"")
