"""What README promises: the two set-up commands, and a tour that works on the demo."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

from swatches_demo import lay_out

README = Path(__file__).parent.parent / "README.md"
BLOCKS = [block.split("\n") for block in re.findall(r"(?:^    .+\n)+", README.read_text("utf-8"), re.M)]
LINES = [line.strip() for block in BLOCKS for line in block if line.strip()]


def test_the_job_comes_first_then_a_picture_then_two_commands_of_one_line() -> None:
    text = README.read_text("utf-8")
    heading, job, picture, *_ = text.split("\n\n")
    assert heading == "# palette" and len(job) > 300 and picture.startswith("![")
    setup = [line for line in LINES if "venv" in line]
    assert len(setup) == 2 and setup == LINES[:2]
    demo, tests = setup
    assert demo.endswith(" .venv/bin/palette demo tram") and tests.endswith(" .venv/bin/python -m pytest")
    assert all(line.startswith("python3 -m venv .venv && .venv/bin/pip install ") for line in setup)


def test_what_the_tour_reads_is_in_the_demo(tmp_path: Path) -> None:
    lay_out(tmp_path / "tram")
    tour = [word for line in LINES[2:] for word in shlex.split(line)]
    named = {word for word in tour if re.match(r"tram\b", word)}
    assert len(named) >= 4
    for word in named:
        assert (tmp_path / word).exists(), f"README names {word}, which the demo has not"


def test_the_tour_shows_every_command_or_names_it() -> None:
    from palette.commands import COMMANDS

    text = README.read_text("utf-8")
    left_out = {name for name in COMMANDS if not re.search(rf"palette\s{name}\b", text)}
    assert not left_out, f"README says nothing of {sorted(left_out)}"
