"""The demo kit: pictures, swatch lists, meshes and kit.toml of an invented tramway, and what drew them."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import Change, change_together, undo_stopped

FOLDERS = ("meshes", "references", "swatches")


def lay_out(folder: Path) -> Path:
    """Copy the demo kit into `folder`, which is made; returns the path of its kit.toml.

    A folder that holds the demo already, as it is, is left so: a run that was stopped goes on.

    Raises:
        InputError: the folder holds something else, or cannot be written.
    """
    undo_stopped(folder)
    kit = folder / "kit.toml"
    here = files("swatches_demo")
    changes = [
        Change(folder / name / source.name, source.read_bytes(), None)
        for name in FOLDERS
        for source in here.joinpath(name).iterdir()
    ]
    changes.append(Change(kit, here.joinpath("kit.toml").read_bytes(), None))
    if kit.exists() and all(_holds(change) for change in changes):
        return kit
    if folder.is_dir() and any(folder.iterdir()):
        raise InputError(
            Problem(str(folder), None, "the folder is not empty", "name a new folder for the demo")
        )
    change_together(changes, folder)
    return kit


def _holds(change: Change) -> bool:
    return change.path.is_file() and change.path.read_bytes() == change.data
