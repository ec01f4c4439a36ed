"""Where what is made of a kit goes, unless another place is named."""

from __future__ import annotations

from pathlib import Path

from palette.files import inside
from palette.kit.model import Kit

FOLDER = "out"  # beside kit.toml


def out_folder(kit: Kit) -> Path:
    """The folder `out` beside kit.toml.

    Raises:
        InputError: it is a link that leads out of the kit, which the user has to name to be written into.
    """
    folder = kit.path.parent / FOLDER
    inside(folder, kit.path.parent)
    return folder
