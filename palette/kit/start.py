"""Starting a kit: a commented kit.toml, a folder for pictures and one for lists of paints."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import Change, change_together, undo_stopped
from palette.kit.read import NAME

LIST = "swatches/own.csv"
_HEADER = "id,name,range,finish,owned,hex,lab_l,lab_a,lab_b,notes\n"


def start(folder: Path) -> list[Path]:
    """Lay a new kit into a folder, which may exist and hold other things; returns the files written.

    Nothing that is there is overwritten: a kit.toml is a problem, a list of paints is left as it is. Where it
    fails, nothing is left of it.

    Raises:
        InputError: there is a kit already, or the folder cannot be made or written to.
    """
    undo_stopped(folder)
    kit = folder / NAME
    if kit.exists() or kit.is_symlink():
        raise InputError(Problem(str(kit), None, "there is a kit already", "name another folder"))
    title = json.dumps(folder.resolve().name or "My kit", ensure_ascii=False)
    text = files("palette.kit").joinpath("start.toml").read_text("utf-8").replace('"@TITLE@"', title)
    changes = [Change(kit, text, None)]
    if not (folder / LIST).exists():
        changes.insert(0, Change(folder / LIST, _HEADER, None))
    change_together(changes, folder, [folder / "swatches", folder / "references"])
    return [change.path for change in reversed(changes)]
