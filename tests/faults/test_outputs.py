"""What is printed arrives or is missed in one line, and no stranger's file tells a terminal what to do."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from palette.commands import group
from palette.commands.terminal import Output, outputs, rewind, styled
from palette.errors import Problem, shown

LOST = "error: standard output: cannot be written: {}; send the answer to another place\n"
LIST = "id,name,hex\nA,one,#102030\nB,two,#a0b0c0\n"
posix = pytest.mark.skipif(os.name == "nt", reason="shells of Windows close nothing")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    (tmp_path / "list.csv").write_text(LIST)
    return tmp_path


def shell(place: Path, words: str, redirected: str) -> subprocess.CompletedProcess[str]:
    """Run by a shell, with nothing in the environment that changes how Python prints."""
    line = f"{sys.executable} -m palette {words} {redirected}"
    environment = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
    environment["PALETTE_CACHE"] = ""
    environment["PYTHONPATH"] = str(Path(__file__).parents[2])
    return subprocess.run(["bash", "-c", line], cwd=place, env=environment, capture_output=True, text=True)


MATCH = "match --hex '#7f8a66' --swatches list.csv"


@posix
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no /dev/full")
@pytest.mark.parametrize(
    "words", [MATCH, f"{MATCH} --json", "swatches check list.csv", "--help", "match --help"]
)
def test_a_full_output_is_said_in_one_line(place: Path, words: str) -> None:
    done = shell(place, words, ">/dev/full")
    assert done.returncode == 1
    assert done.stderr == LOST.format("no space left on device")


@posix
@pytest.mark.parametrize("words", [MATCH, f"{MATCH} --json", "--version"])
def test_a_closed_output_is_said_in_one_line(place: Path, words: str) -> None:
    done = shell(place, words, ">&-")
    assert done.returncode == 1
    assert done.stderr == LOST.format("it is closed")


@posix
def test_a_file_does_not_take_the_place_of_a_closed_output(place: Path) -> None:
    # fails when the list written gets handle 1, and what is printed lands in it
    done = shell(place, "swatches merge list.csv --out all.csv", ">&- <&-")
    assert done.returncode == 1 and done.stderr.count("\n") == 1
    assert (place / "all.csv").read_text() == LIST


@posix
def test_a_closed_input_is_an_empty_one(place: Path) -> None:
    done = shell(place, "match --colours - --swatches list.csv", "<&-")
    assert done.returncode == 1
    assert done.stderr == "error: standard input: is empty; is it the right file?\n"


@posix
def test_closed_errors_change_no_status(place: Path) -> None:
    assert shell(place, MATCH, "2>&-").returncode == 0
    assert shell(place, "match --hex '#7f8a66' --swatches none.csv", "2>&-").returncode == 1


@posix
def test_a_reader_that_has_gone_is_left_in_peace(place: Path) -> None:
    (place / "list.csv").write_text(
        "id,name,hex,finish\n" + "".join(f"X{i},x,#102030,shiny\n" for i in range(5000))
    )
    done = shell(place, "swatches check list.csv", "| head -1; echo ${PIPESTATUS[0]}")
    assert done.stdout.endswith("\n1\n") and done.stderr == ""


# ----------------------------------------------------------------------------------------- control characters

ESCAPES = "\x1b[31mred\x1b]0;title\x07\x9b8m\x7f\u202egnp\u2028\b\x00"


def test_control_characters_are_shown() -> None:
    said = shown(ESCAPES)
    assert said == r"\u001b[31mred\u001b]0;title\u0007\u009b8m\u007f\u202egnp\u2028\u0008\u0000"
    assert json.loads(f'"{said}"') == ESCAPES  # so an answer in JSON stays one
    assert shown("a\tb\nc", keep="\n\t") == "a\tb\nc" and shown("a\tb\nc") == r"a\u0009b\u000ac"
    assert shown("Zoë, 5″ × 3 — שלום") == "Zoë, 5″ × 3 — שלום"
    assert str(Problem("a\nb.csv", 3, "is wrong")) == r"a\u000ab.csv:3: is wrong"


class Terminal:
    """What a terminal is sent."""

    encoding, errors, closed = "utf-8", "strict", False

    def __init__(self) -> None:
        self.sent = ""

    def write(self, text: str) -> int:
        self.sent += text
        return len(text)

    def flush(self) -> None: ...

    def isatty(self) -> bool:
        return True

    def fileno(self) -> int:
        raise OSError


def test_only_styles_of_our_own_reach_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stdout", terminal)
    with outputs():
        print(styled("bold", "1"), ESCAPES, rewind(wipe=True), end="")
    assert terminal.sent == f"\x1b[1mbold\x1b[0m {shown(ESCAPES)} \r\x1b[K"


def test_styles_are_left_out_where_there_is_no_terminal() -> None:
    assert styled("bold", "1") == "bold"
    with pytest.raises(TypeError):
        Output(None, None).write(b"x")  # type: ignore[arg-type]


HOSTILE = "\\u001b]0;owned\\u0007\\u001b[31m"
KIT = f'''schema = 1
[kit]
title = "Car {HOSTILE}"
swatches = ["list.csv"]

[[part]]
id = "waist{HOSTILE}"
name = "Waist {HOSTILE}\\u009b2J"
colour = {{ hex = "#7f8a66" }}
why = "seen {HOSTILE}"

[[part]]
id = "roof"
colour = {{ hex = "{HOSTILE}" }}

[[reference]]
id = "slide{HOSTILE}"
file = "list.csv"
'''
GOOD = KIT[: KIT.index('[[part]]\nid = "roof"')]


@pytest.mark.parametrize(
    "words",
    [
        "scheme KIT",
        "scheme KIT --json",
        "mix --swatch A\x1b[31m --swatches LIST --count 1",
        "match --hex #7f8a66 --swatches LIST",
        "swatches check LIST",
        "swatches changes OTHER LIST",
        "references KIT",
        "basket KIT",
        "grey KIT",
        "guide KIT",
        "swatches replacements LIST",
        "swatches mark LIST X --owned",
    ],
)
@pytest.mark.parametrize("text", [KIT, GOOD], ids=["wrong", "right"])
def test_no_command_sends_what_a_file_says(tmp_path: Path, words: str, text: str) -> None:
    # fails when a name, an id, a title or a quoted line reaches the terminal as it is
    (tmp_path / "kit.toml").write_text(text)
    rest = "R,#1020zz," if text is KIT else "R\x7f,#a0b0c0,yes"
    (tmp_path / "list.csv").write_text(
        f"id,name,range,hex,retired\nA\x1b[31m,one \x1b]0;x\x07,R\x9b,#102030,\nB,\x1b[2J,{rest}\n"
    )
    (tmp_path / "other.csv").write_text("id,name,hex\nA,one,#102030\n")
    places = {"KIT": str(tmp_path), "LIST": str(tmp_path / "list.csv"), "OTHER": str(tmp_path / "other.csv")}
    done = CliRunner().invoke(group, [places.get(word, word) for word in words.split(" ")])
    assert done.exit_code in (0, 1), done.stderr
    assert done.output
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f]", done.stdout + done.stderr), done.output
    if "--json" in words and done.exit_code == 0:
        assert HOSTILE.encode().decode("unicode_escape") in json.loads(done.stdout)["kit"]
