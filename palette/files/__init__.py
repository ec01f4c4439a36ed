"""Reading and writing files: text is UTF-8, and what belongs together changes together or not at all.

Everything that palette writes goes through `change_together` or one of the shorter names for it:

    replace_whole(path, data)                       one file
    create_whole(path, data)                        one that must not be there yet
    replace_unchanged(path, before, after)          one that must still hold what was read
    change_together([Change(...), ...], folder)     several, in one folder and those below it

Give `within` where the folder is a kit or an output folder: a link that leads out of it is then refused.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from palette.files.reading import (
    LARGEST,
    LARGEST_TEXT,
    decode,
    read_bytes,
    read_stream,
    read_text,
    refuse_huge,
)

if TYPE_CHECKING:
    from palette.files.changes import (
        Change,
        ChangedMeanwhile,
        again_if_changed,
        change_together,
        check_folder,
        check_writable,
        create_whole,
        make_folder,
        replace_together,
        replace_unchanged,
        replace_whole,
        undo_stopped,
    )
    from palette.files.places import inside

__all__ = [
    "LARGEST",
    "LARGEST_TEXT",
    "Change",
    "ChangedMeanwhile",
    "again_if_changed",
    "change_together",
    "check_folder",
    "check_writable",
    "create_whole",
    "decode",
    "inside",
    "make_folder",
    "read_bytes",
    "read_stream",
    "read_text",
    "refuse_huge",
    "replace_together",
    "replace_unchanged",
    "replace_whole",
    "undo_stopped",
]


def __getattr__(name: str) -> Any:
    # who only reads does not pay for what writing takes
    if name in __all__:
        return getattr(import_module(f"{__name__}.{'places' if name == 'inside' else 'changes'}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
