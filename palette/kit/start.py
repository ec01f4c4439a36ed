"""Starting a kit: a commented kit.toml, a folder for pictures and one for lists of paints."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import create_whole, make_folder
from palette.kit.read import NAME

LIST = "swatches/own.csv"
_HEADER = "id,name,range,finish,owned,hex,lab_l,lab_a,lab_b,notes\n"


def start(folder: Path) -> list[Path]:
    """Lay a new kit into a folder, which may exist and hold other things; returns the files written.

    Nothing that is there is overwritten: a kit.toml is a problem, a list of paints is left as it is.

    Raises:
        InputError: there is a kit already, or the folder cannot be made or written to.
    """
    kit = folder / NAME
    if kit.exists() or kit.is_symlink():
        raise InputError(Problem(str(kit), None, "there is a kit already", "name another folder"))
    for inner in (folder, folder / "swatches", folder / "references"):
        make_folder(inner)
    title = json.dumps(folder.resolve().name or "My kit", ensure_ascii=False)
    text = files("palette.kit").joinpath("start.toml").read_text("utf-8").replace('"@TITLE@"', title)
    written = [kit]
    create_whole(kit, text)
    if not (folder / LIST).exists():
        create_whole(folder / LIST, _HEADER)
        written.append(folder / LIST)
    return written
