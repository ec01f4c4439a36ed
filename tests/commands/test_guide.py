"""`palette guide`: its arguments, its answers, its errors."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

WRITTEN = ["guide.pdf", "dossier.pdf", "guide.html", "scheme.json"]
KIT = """
schema = 1
[kit]
title = "Small van"

[[part]]
id = "body"
colour = { lab = [40.0, 30.0, 20.0] }
why = "the owner said so"
"""


def palette(*arguments: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "palette", *arguments], cwd=folder, capture_output=True, text=True
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "kit.toml").write_text(KIT, "utf-8")
    return tmp_path


def test_it_prints_the_paths_and_writes_beside_the_kit(folder: Path) -> None:
    done = palette("guide", "kit.toml", folder=folder)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.split() == [f"out/{name}" for name in WRITTEN]
    assert all((folder / path).is_file() for path in done.stdout.split())

    # unchanged, it is known as such before anything heavy is loaded
    told = "import sys; from palette.commands import main\ntry: main(['guide', 'kit.toml'])\nfinally: "
    told += "print(*{'numpy', 'typst', 'palette.kit'} & sys.modules.keys(), file=sys.stderr)"
    again = subprocess.run([sys.executable, "-c", told], cwd=folder, capture_output=True, text=True)
    assert (again.returncode, again.stdout, again.stderr) == (0, done.stdout, "\n")


def test_json_paper_and_out(folder: Path) -> None:
    done = palette("guide", ".", "--out", "elsewhere", "--paper", "letter", "--json", folder=folder)
    answer = json.loads(done.stdout)
    assert [Path(path).name for path in answer["files"]] == WRITTEN
    page = pypdf.PdfReader(folder / "elsewhere" / "guide.pdf").pages[0]
    assert float(page.mediabox.width) == 612  # US Letter is 8.5 inches wide


def test_scheme_json_is_what_palette_scheme_prints(folder: Path) -> None:
    palette("guide", ".", folder=folder)
    printed = palette("scheme", ".", "--json", folder=folder)
    assert (folder / "out" / "scheme.json").read_text("utf-8") == printed.stdout


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (("guide", "nowhere"), 1, "error: nowhere"),
        (("guide", ".", "--out", "kit.toml"), 1, "error: kit.toml: the folder cannot be made"),
        (("guide", ".", "--paper", "a3"), 2, "a3"),
        (("guide",), 2, "KIT"),
    ],
)
def test_what_is_wrong_is_said_in_a_line(
    folder: Path, arguments: tuple[str, ...], status: int, said: str
) -> None:
    done = palette(*arguments, folder=folder)
    assert done.returncode == status and done.stdout == ""
    assert said in done.stderr and "Traceback" not in done.stderr
