"""The docs against the program: whatever one has and the other lacks, or says otherwise, fails here."""

from __future__ import annotations

import contextlib
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest import mock

import click
import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from palette.commands import COMMANDS, group
from palette.kit.read import known_keys
from palette.swatches.columns import KNOWN
from swatches_demo import lay_out

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
sys.path.insert(0, str(DOCS))

import make_examples  # noqa: E402
import make_reference  # noqa: E402

PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(DOCS.glob("*.md"))]
SMALL = """schema = 1
[kit]
title = "Small van"
[[part]]
id = "body"
colour = { hex = "#5b2c2f" }
why = "the owner said so"
"""
NESTED = ("parts.nearest.", "paints.tint.")  # entries that say: with the keys above
LARGEST_PICTURE = 300_000  # bytes
WITH_JSON = [n for n, c in make_reference.commands() if any(p.name == "as_json" for p in c.params)]


def test_the_reference_is_what_its_program_writes() -> None:
    assert make_reference.OUT.read_text("utf-8") == make_reference.reference(), (
        "run python docs/make_reference.py"
    )


def test_every_command_has_help_and_every_option_too() -> None:
    assert {name.split()[0] for name, _ in make_reference.commands()} == set(COMMANDS)
    for name, command in make_reference.commands():
        assert command.help and command.help.strip(), f"palette {name} has no help"
        for option in make_reference.options(command):
            assert option.help, f"palette {name} {option.opts[0]} has no help"


def test_every_key_and_column_has_its_entry_and_no_entry_is_left_over() -> None:
    assert {t: set(keys) for t, keys in make_reference.KEYS.items()} == {
        t: set(keys) for t, keys in known_keys().items()
    }
    assert set(make_reference.COLUMNS) == set(KNOWN)


def test_every_answer_has_its_entry() -> None:
    assert set(make_reference.ANSWERS) == set(WITH_JSON)


@pytest.fixture(scope="module")
def tram(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The demo kit."""
    folder = tmp_path_factory.mktemp("docs")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(lay_out(folder / "tram").parent)
        yield folder / "tram"


def _film(tram: Path) -> None:
    av = pytest.importorskip("av")
    with av.open(str(tram / "ride.mkv"), "w") as film:
        stream = film.add_stream("ffv1", rate=25)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv444p"
        for _ in range(3):
            frame = av.VideoFrame.from_ndarray(np.full((48, 64, 3), 120, np.uint8), format="rgb24")
            film.mux(stream.encode(frame))
        film.mux(stream.encode())


def _newer_list(tram: Path) -> None:
    """A list with a problem, a paint gone, one come and one changed."""
    lines = (tram / "swatches/depot.csv").read_text("utf-8").splitlines()
    gone, changed = lines[1], lines[2].replace("3.30", "9.30", 1)
    assert gone != changed != lines[2]
    added = lines[3].replace("D003", "E003")
    (tram / "newer.csv").write_text("\n".join([lines[0], changed, *lines[3:], added]), "utf-8")
    (tram / "wrong.csv").write_text("id,name,lab_l,lab_a,lab_b\nX,Ex,much,0,0\n", "utf-8")


def _card(tram: Path) -> None:
    """A photograph of a card with three paints on it."""
    pytest.importorskip("cv2")
    from tests.paints.card.photographs import Scene, photograph, some_paints

    paints = some_paints(3, np.random.default_rng(1))
    (tram / "card.jpg").write_bytes(photograph(Scene(paints)))


_ASKED = {
    "add": ["into", "references/museum.jpg"],
    "sample": ["references/museum.jpg", "--swatches", "swatches/bench.csv"],
    "references": ["."],
    "look": [".", "depot-slide", "--out", "look.png"],
    "frames": ["ride.mkv", "--at", "0", "--into", "copy"],
    "grey": [".", "--draws", "2"],
    "scheme": ["."],
    "match": ["--hex", "#7f8a66", "--swatches", "swatches/bench.csv", "--light", "A"],
    "mix": ["--hex", "#7f8a66", "--swatches", "swatches/bench.csv", "--max-paints", "2", "--ml", "5"],
    "basket": [".", "--max-paints", "1"],
    "swatches check": ["wrong.csv"],
    "swatches changes": ["swatches/depot.csv", "newer.csv"],
    "swatches replacements": ["swatches/bench.csv"],
    "swatches read": ["card.jpg", "--grey", "49.5", "--out", "measured.csv"],
    "guide": ["small.toml"],
    "check": ["."],
    "release": ["kits/small", "--out", "small.zip", "--draft"],
    "changes": ["kits/small"],
    "shelf": ["kits", "--out", "site", "--affected", "swatches/depot.csv", "newer.csv"],
}


def _paths(value: Any, path: str = "") -> Iterator[str]:
    """The ends of an answer: "colours.paints.name"; a list of numbers, or an empty one, is an end."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _paths(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list) and any(isinstance(item, dict) for item in value):
        for item in value:
            yield from _paths(item, path)
    else:
        yield path


def _small_kit(tram: Path) -> None:
    """A kit in a folder of kits, one edition of it let out, and a list from which its paint is gone."""
    (tram / "kits" / "small").mkdir(parents=True, exist_ok=True)
    kit = tram / "kits" / "small" / "kit.toml"
    text = SMALL.replace("swatches/", "../../swatches/")
    kit.write_text(text, "utf-8")
    CliRunner().invoke(group, ["release", str(kit), "--out", str(tram / "first.zip"), "--draft"])
    kit.write_text(text.replace("#5b2c2f", "#2c5b2f"), "utf-8")
    _newer_list(tram)


@pytest.mark.parametrize("name", WITH_JSON)
def test_the_answer_is_as_documented(tram: Path, name: str) -> None:
    if name == "add":
        lay_out(tram / "into")
    if name == "frames":
        lay_out(tram / "copy")
        _film(tram)
    if name == "guide":
        (tram / "small.toml").write_text(SMALL, "utf-8")
    if name in ("release", "changes", "shelf"):
        _small_kit(tram)
    if name == "swatches read":
        _card(tram)
    elif name.startswith("swatches"):
        _newer_list(tram)
    done = CliRunner().invoke(group, [*name.split(), *_ASKED[name], "--json"])
    assert done.exit_code == (name == "swatches check"), done.output
    answer = json.loads(done.stdout)
    assert answer.pop("schema") == 1
    said = set(_paths(answer))
    entries = {path.replace("[]", "") for path in make_reference.ANSWERS[name]}
    above = {entry.rsplit(".", i)[0] for entry in entries for i in range(entry.count(".") + 1)}
    unknown = {path for path in said - above if not path.startswith(NESTED)}
    assert not unknown, f"not in the reference: {sorted(unknown)}"
    for entry in entries:
        branches = {entry.rsplit(".", i)[0] for i in range(entry.count(".") + 1)}
        held = branches & said or any(path.startswith(f"{entry}.") for path in said)
        assert held or _optional(name, entry), f"palette {name} --json has no {entry}"


def _optional(name: str, entry: str) -> bool:
    """Parts of answers that the demo has no case of; those of several kits are held by tests/shelf."""
    return (name, entry.split(".")[0]) in {
        ("basket", "unpriced"), ("basket", "no_colour"), ("scheme", "kits"), ("guide", "kits"),
    }  # fmt: skip


@pytest.mark.parametrize("page", make_examples.PAGES, ids=lambda page: page.name)
def test_what_the_pages_show_is_what_is_printed(page: Path, tmp_path: Path) -> None:
    shown = page.read_text("utf-8")
    now = make_examples.refreshed(shown, tmp_path, _here)
    for was, is_now in zip(shown.splitlines(), now.splitlines(), strict=False):
        assert _alike(was, is_now), f"run python docs/make_examples.py: {was!r} is now {is_now!r}"
    assert len(shown.splitlines()) == len(now.splitlines())


def _here(command: str, folder: Path, refused: bool) -> str:
    """What a command prints, on both its streams. `palette` runs here: its start is not the point."""
    first, _, pipe = command.partition(" | ")
    if not first.startswith("palette "):
        return make_examples.shell(command, folder, refused)
    with contextlib.chdir(folder), mock.patch.dict(os.environ, COLUMNS="100"):
        done = CliRunner().invoke(group, shlex.split(first)[1:], prog_name="palette")
    assert done.exit_code == refused, f"$ {command}\n{done.output}"
    if not pipe:
        return done.output
    piped = subprocess.run(
        ["bash", "-c", pipe], input=done.stdout, capture_output=True, text=True, check=True
    )
    return done.stderr + piped.stdout


_NUMBER = re.compile(r"#[0-9a-f]{6}|\d+(?:\.\d+)?|█+")


def _alike(one: str, other: str) -> bool:
    """The same line, but that numbers may differ in their last digit, as between machines."""
    if " ".join(_NUMBER.sub("0", one).split()) != " ".join(_NUMBER.sub("0", other).split()):
        return False
    pairs = zip(_NUMBER.findall(one), _NUMBER.findall(other), strict=True)
    return all(a == b or _close(a, b) for a, b in pairs)


def _close(one: str, other: str) -> bool:
    if one[0] == "#":
        return all(abs(int(one[i : i + 2], 16) - int(other[i : i + 2], 16)) <= 2 for i in (1, 3, 5))
    if one[0] == "█":
        return abs(len(one) - len(other)) <= 1
    unit = 10.0 ** -max(len(text.partition(".")[2]) for text in (one, other))
    return abs(float(one) - float(other)) < 1.5 * unit


def test_numbers_that_differ_by_more_than_rounding_are_not_alike() -> None:
    assert _alike("A  5.1 off #102030", "A  5.2 off #112030")
    assert not _alike("A  5.1 off", "A  5.3 off")
    assert not _alike("A  5.1 off #102030", "A  5.1 off #182030")
    assert not _alike("A  5.1 off", "B  5.1 off")


def _commands_in(page: Path) -> Iterator[list[str]]:
    """Every `palette …` of a page's blocks that are commands, as words."""
    text = page.read_text("utf-8")
    blocks = re.findall(r"^```sh\n(.*?)^```", text, re.S | re.M)
    blocks += re.findall(r"^\$ (.*)", text, re.M)
    if page.name == "README.md":
        blocks += re.findall(r"(?:^    .*\n)+", text, re.M)
    for line in "\n".join(blocks).replace("\\\n", " ").splitlines():
        line = line.strip()
        for part in re.split(r"\s(?:\||&&|;)\s", line):
            words = shlex.split(re.split(r" [<>] ", part)[0], comments=True)
            words = words[1:] if words and "=" in words[0] else words  # a variable set before
            if words and words[0].rsplit("/", 1)[-1] == "palette":
                yield words[1:]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_shown_exists_with_its_options(page: Path) -> None:
    for words in _commands_in(page):
        _parse(group, words, " ".join(words))


def test_commands_are_found_on_the_pages_that_show_them() -> None:
    # else the test above would pass whatever the pages say
    counts = {page.name: sum(1 for _ in _commands_in(page)) for page in PAGES}
    assert all(counts[name] >= 5 for name in ("README.md", "tutorial.md", "how-to.md")), counts


def _parse(command: click.Command, words: list[str], shown: str) -> None:
    context = click.Context(command, info_name="palette", resilient_parsing=True)
    if isinstance(command, click.Group) and words and not words[0].startswith("-"):
        inner = command.get_command(context, words[0])
        assert inner is not None, f"palette {shown}: there is no such command"
        return _parse(inner, words[1:], shown)
    try:
        command.make_context("palette", list(words), resilient_parsing=False, parent=None).close()
    except click.exceptions.Exit:
        pass  # --help, --version
    except click.UsageError as error:
        pytest.fail(f"palette {shown}: {error.format_message()}")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_and_picture_is_there(page: Path) -> None:
    text = re.sub(r"^```.*?^```", "", page.read_text("utf-8"), flags=re.S | re.M)
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if "://" in target:
            continue
        name, _, anchor = target.partition("#")
        path = page.parent / name if name else page
        assert path.exists(), f"{page.name} links to {target}, which is not there"
        if anchor:
            heads = re.findall(r"^#+ (.+)$", path.read_text("utf-8"), re.M)
            slugs = {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}
            assert anchor in slugs, f"{page.name} links to {target}, and there is no such heading"


def test_pictures_are_small_and_used() -> None:
    used = "".join(page.read_text("utf-8") for page in PAGES)
    for path in sorted((DOCS / "images").iterdir()):
        assert path.stat().st_size <= LARGEST_PICTURE
        Image.open(path).verify()
        assert f"images/{path.name})" in used, f"no page shows {path.name}"


def test_every_test_that_a_promise_rests_on_exists() -> None:
    root = Path(__file__).parents[1]
    named = re.findall(r"tests/[\w/]+\.py", (root / "docs" / "faults.md").read_text("utf-8"))
    assert named and not [name for name in named if not (root / name).is_file()]


def test_every_benchmark_named_exists() -> None:
    named = set(
        re.findall(r"python -m (tests\.benchmarks\.[\w.]+)", (DOCS / "colour-science.md").read_text("utf-8"))
    )
    assert named
    for name in named:
        path = ROOT / name.replace(".", "/")
        assert path.with_suffix(".py").exists() or (path / "__main__.py").exists(), f"there is no {name}"


def test_the_pages_import_what_they_show() -> None:
    """The names that the docs use of the library are there."""
    import palette

    text = "".join(page.read_text("utf-8") for page in PAGES)
    blocks = "".join(re.findall(r"^```python\n(.*?)^```", text, re.S | re.M))
    names = set(re.findall(r"\bpalette\.(\w+)", blocks))
    assert "scheme" in names
    for name in names:
        assert name in palette.__all__, f"palette.{name} is shown, and is not there"


def test_the_how_tos_examples_work(tram: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What a how-to shows of a list, of kit.toml and of Python is read and runs."""
    blocks = re.findall(
        r"^```(csv|toml|python)\n(.*?)^```", (DOCS / "how-to.md").read_text("utf-8"), re.S | re.M
    )
    assert {language for language, _ in blocks} == {"csv", "toml", "python"}
    for name in ("bench.csv", "depot.csv"):
        shutil.copy(tram / "swatches" / name, tram / name)
    shutil.copytree(tram, tram / "mykit", ignore=shutil.ignore_patterns("cache", "copy", "mykit"))
    for language, text in blocks:
        if language == "toml":
            tomllib.loads(text)
        elif language == "csv":
            (tram / "shown.csv").write_text(text, "utf-8")
            assert CliRunner().invoke(group, ["swatches", "check", "shown.csv"]).exit_code == 0
        else:
            exec(compile(text, "how-to.md", "exec"), {})
            assert "B-11" in capsys.readouterr().out
