"""Reading and replacing files: a file is replaced whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from palette.errors import InputError, Problem


def replace_whole(path: Path, data: bytes | str) -> None:
    """Write `data` beside `path`, flush it to the disk, then rename it into place.

    A reader sees the old file or the new one, never a part; two writers leave the later one's file.
    Text is written as UTF-8 with the newlines it has.

    Raises:
        InputError: the folder is missing or read-only, the disk is full, or `path` is a folder.
    """
    raw = data.encode("utf-8") if isinstance(data, str) else data
    temporary: str | None = None
    try:
        if path.is_dir():
            raise IsADirectoryError(21, "it is a folder")
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        os.chmod(temporary, mode)
        os.replace(temporary, path)
    except OSError as error:
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        reason = (error.strerror or str(error)).lower()
        raise InputError(
            Problem(str(path), None, f"cannot be written: {reason}", "choose a folder that is writable and has room")
        ) from error


def make_folder(path: Path) -> None:
    """Make a folder and its parents; an existing one is left as it is.

    Raises:
        InputError: it cannot be made, or a file of that name is in the way.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(
            Problem(str(path), None, f"the folder cannot be made: {reason}", "choose another place with --out")
        ) from error


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
