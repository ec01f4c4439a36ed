"""The demo kit: pictures, swatch lists, meshes and kit.toml of an invented tramway, and what drew them."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import make_folder, replace_whole

FOLDERS = ("meshes", "references", "swatches")


def lay_out(folder: Path) -> Path:
    """Copy the demo kit into `folder`, which is made; returns the path of its kit.toml.

    kit.toml is written last, so that a folder with one in it is a whole kit.

    Raises:
        InputError: the folder holds something already, or cannot be written.
    """
    make_folder(folder)
    if any(folder.iterdir()):
        raise InputError(
            Problem(str(folder), None, "the folder is not empty", "name a new folder for the demo")
        )
    here = files("swatches_demo")
    for name in FOLDERS:
        make_folder(folder / name)
        for source in here.joinpath(name).iterdir():
            replace_whole(folder / name / source.name, source.read_bytes())
    replace_whole(folder / "kit.toml", here.joinpath("kit.toml").read_bytes())
    return folder / "kit.toml"
