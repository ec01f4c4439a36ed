"""`palette match`: every way to give a colour, the answer's form, bad input, and what it may not import."""

import io
import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from palette.colour.difference import difference
from palette.commands import group

LIST = "id,name,hex\nR1,Red one,#aa2020\nG1,Green one,#20aa20\nB1,Blue one,#2020aa\n"


@pytest.fixture
def bench(tmp_path: Path) -> str:
    (tmp_path / "bench.csv").write_text(LIST)
    return str(tmp_path / "bench.csv")


def _run(*words: str, text: str | None = None) -> tuple[int, str, str]:
    done = CliRunner().invoke(group, ["match", *words], input=text, prog_name="palette")
    return done.exit_code, done.stdout, done.stderr


@pytest.mark.parametrize(
    ("words", "id"),
    [(("--hex", "#aa2020"), "#aa2020"), (("--lab", "52", "10", "-20"), "52.0 10.0 -20.0"),
     (("--munsell", "5R 4/8"), "5R 4/8"), (("--swatch", "B1"), "B1")],
)  # fmt: skip
def test_one_colour_in_every_notation(bench: str, words: tuple[str, ...], id: str) -> None:
    status, out, _ = _run(*words, "--swatches", bench, "--count", "2", "--json")
    (match,) = json.loads(out)["matches"]
    assert status == 0 and match["id"] == id and len(match["paints"]) == 2
    assert set(match["paints"][0]) == {"swatch", "name", "range", "lab", "hex", "difference"}
    off = difference(match["lab"], np.array(match["paints"][0]["lab"]))
    assert match["paints"][0]["difference"] == pytest.approx(off, abs=1e-3)


def test_many_colours_from_standard_input_and_several_lists(bench: str, tmp_path: Path) -> None:
    (tmp_path / "more.csv").write_text("id,name,hex\nY1,Yellow,#eecc00\n")
    colours = "id;hex;lab_l;lab_a;lab_b\na;#eecc00;;;\nb;;50,5;1;2\n"
    more = str(tmp_path / "more.csv")
    status, out, _ = _run("--colours", "-", "--swatches", bench, more, "--json", text=colours)
    first, second = json.loads(out)["matches"]
    assert status == 0 and first["paints"][0]["swatch"] == "Y1" and len(second["paints"]) == 4
    assert second["lab"] == [50.5, 1, 2]


def test_bad_colours_are_all_told_with_their_lines(bench: str) -> None:
    status, out, err = _run(
        "--colours", "-", "--swatches", bench, text="id,hex\na,#12\n,#123456\nb,\nb,#123456\n"
    )
    assert status == 1 and not out
    assert [line.split(":")[2] for line in err.splitlines()] == ["2", "3", "4", "5"]


@pytest.mark.parametrize(
    "words", [(), ("--hex", "#zz"), ("--hex", "#123", "--munsell", "N 5/"), ("--lab", "1", "2")]
)
def test_a_wrong_command_line_is_status_2(bench: str, words: tuple[str, ...]) -> None:
    assert _run(*words, "--swatches", bench)[0] == 2


def test_an_unknown_swatch_is_status_1(bench: str) -> None:
    status, _, err = _run("--swatch", "R2", "--swatches", bench)
    assert status == 1 and err.startswith("error: ") and "R2" in err


def test_the_sheet_is_a_picture_and_other_endings_are_refused(bench: str, tmp_path: Path) -> None:
    from PIL import Image

    sheet = tmp_path / "sheet.png"
    assert _run("--hex", "#aa2020", "--swatches", bench, "--sheet", str(sheet))[0] == 0
    assert Image.open(sheet).width > 500
    assert _run("--hex", "#aa2020", "--swatches", bench, "--sheet", str(tmp_path / "sheet.jpg"))[0] == 1


def test_it_imports_no_clustering_no_typesetter_and_no_web_server(bench: str) -> None:
    code = (
        "import sys; from palette.commands import group\n"
        f"group.main(['match', '--hex', '#aa2020', '--swatches', {bench!r}], standalone_mode=False)\n"
        "print([m for m in ('sklearn', 'typst', 'flask', 'colour') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_no_negative_zero_is_printed(bench: str) -> None:
    for command in (["match"], ["mix"]):
        words = [*command, "--lab", "50", "-0.01", "-0.04", "--swatches", bench]
        done = CliRunner().invoke(group, words, prog_name="palette")
        assert "50.0  0.0  0.0" in done.stdout


def test_colours_from_an_input_without_end(bench: str) -> None:
    # fails when all of standard input is read before its size is judged
    class Endless(io.RawIOBase):
        def readable(self) -> bool:
            return True

        def readinto(self, into: object) -> int:
            size = len(memoryview(into))  # type: ignore[arg-type]
            memoryview(into)[:] = b"a" * size  # type: ignore[arg-type]
            return size

    from palette.errors import InputError
    from palette.files import read_stream

    with pytest.raises(InputError, match="larger than 64 MB"):
        read_stream(io.BufferedReader(Endless()), Path("standard input"))
