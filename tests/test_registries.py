"""What a registry promises: whoever adds a file there has added a thing, and touched nothing else."""

import sys
from importlib import import_module
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from click.testing import CliRunner

import palette.colour.notations as notations
import palette.colour.responses as responses
import palette.commands as commands
import palette.evidence.pictures.readers as readers
import palette.words.catalogue as catalogue

models = import_module("palette.evidence.correction.models")  # a function of that name hides it


def added(monkeypatch: pytest.MonkeyPatch, registry: ModuleType, folder: Path, name: str, text: str) -> None:
    """A module in a registry, for one test."""
    (folder / f"{name}.py").write_text(text, "utf-8")
    monkeypatch.setattr(registry, "__path__", [*registry.__path__, str(folder)])
    monkeypatch.delitem(sys.modules, f"{registry.__name__}.{name}", raising=False)


def test_a_response_is_one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    text = (
        "import numpy as np\n"
        "from palette.colour.responses import Response\n"
        "RESPONSE = Response('infra-blue', 'blue alone', 'made for a test', members=np.eye(1, 471, 90))\n"
    )
    added(monkeypatch, responses, tmp_path, "infra_blue", text)
    responses.names.cache_clear()
    responses.named.cache_clear()
    try:
        assert "infra-blue" in responses.names() and responses.named("infra-blue").count == 1
    finally:
        responses.names.cache_clear()
        responses.named.cache_clear()


def test_a_kind_of_picture_is_one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    text = (
        "import numpy as np\n"
        "from palette.evidence.pictures import profiles\n"
        "from palette.evidence.pictures.stored import Stored, Upright\n"
        "def accepts(start): return start.startswith(b'ONE PIXEL')\n"
        "def read(path):\n"
        "    levels = np.full((1, 1, 3), 128, dtype=np.uint8)\n"
        "    whole = lambda wanted: Upright(levels)\n"
        "    return Stored('ONE', 1, 1, 1, 'rgb', 8, profiles.srgb(3), (), whole)\n"
    )
    added(monkeypatch, readers, tmp_path, "one_pixel", text)
    (tmp_path / "a.one").write_bytes(b"ONE PIXEL")
    from palette.evidence.pictures.decode import open_picture

    readers.readers.cache_clear()
    try:
        picture = open_picture(tmp_path / "a.one")
    finally:
        readers.readers.cache_clear()
    assert (picture.width, picture.height) == (1, 1)
    np.testing.assert_allclose(picture.linear(), 0.2158605, atol=1e-5)  # sRGB 128, IEC 61966-2-1


def test_a_command_is_one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    text = (
        "import click\n"
        "@click.command('wave')\n"
        "def command():\n"
        "    '''Wave to whoever asks.'''\n"
        "    click.echo('a wave')\n"
    )
    added(monkeypatch, commands, tmp_path, "wave", text)
    commands._added.cache_clear()
    try:
        run = CliRunner()
        assert "Wave to whoever asks." in run.invoke(commands.group, ["--help"]).output
        assert run.invoke(commands.group, ["wave"]).output == "a wave\n"
    finally:
        commands._added.cache_clear()


def test_a_notation_is_one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    text = (
        "import numpy as np\n"
        "ORDER, NUMBERS, EXAMPLE, HELP = 99, 0, '50 %', 'A grey by its lightness.'\n"
        "def to_lab(value): return np.array([float(str(value).rstrip(' %')), 0.0, 0.0])\n"
    )
    added(monkeypatch, notations, tmp_path, "percent", text)
    notations.notations.cache_clear()
    try:
        assert notations.to_lab("percent", "40 %").tolist() == [40.0, 0.0, 0.0]
    finally:
        notations.notations.cache_clear()


def test_a_correction_is_one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    text = (
        "from dataclasses import replace\n"
        "from palette.evidence.correction.models.linear import MODEL as LINEAR\n"
        "MODEL = replace(LINEAR, name='linear again')\n"
    )
    added(monkeypatch, models, tmp_path, "linear_again", text)
    models.models.cache_clear()
    try:
        assert "linear again" in [model.name for model in models.models()]
    finally:
        models.models.cache_clear()


def test_a_language_is_one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from importlib.resources import files

    english = files("palette.words.catalogue").joinpath("en.ftl").read_text("utf-8")
    (tmp_path / "eo.ftl").write_text(english, "utf-8")
    monkeypatch.setattr(catalogue, "files", lambda package: tmp_path)
    assert "eo" in catalogue.languages()
