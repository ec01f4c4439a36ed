"""Where an output really lies: links, and what is no ordinary file."""

from __future__ import annotations

import errno
import os
import re
import socket
import stat
import sys
import time
from pathlib import Path

from palette.errors import InputError, Problem

_READER = 10.0  # seconds to wait for someone to read from a pipe
_HANDLE = re.compile(r"/(?:dev|proc/(?P<who>\w+))/fd/(?P<number>\d+)")


def inside(path: Path, folder: Path) -> Path:
    """Where `path` really is, which must be in `folder` or below it.

    Raises:
        InputError: a link on the way leads out of the folder.
    """
    real, root = Path(os.path.realpath(path)), Path(os.path.realpath(folder))
    if real == root or root in real.parents:
        return real
    what = f"leads out of {folder}, to {real}"
    raise InputError(Problem(str(path), None, what, "take that link away, or choose another place"))


def is_special(path: Path) -> bool:
    """Whether it is a device, a pipe, a socket or a handle of this process, and written to as it is."""
    if _handle(path) is not None:
        return True
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return False
    return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)


def check_special(path: Path) -> None:
    """Whether `pour` may write; raises OSError."""
    if _handle(path) is None and not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def pour(path: Path, raw: bytes) -> None:
    """Write to what is no ordinary file; raises OSError."""
    number = _handle(path)
    if number is None and sys.platform != "win32" and stat.S_ISSOCK(path.stat().st_mode):
        with socket.socket(socket.AF_UNIX) as to:
            to.connect(str(path))
            to.sendall(raw)
        return
    handle = os.dup(number) if number is not None else _opened(path)
    with open(handle, "wb") as stream:
        stream.write(raw)


def _opened(path: Path) -> int:
    """A handle to write to; a pipe that nobody reads is waited for, but not for ever."""
    if sys.platform == "win32":
        return os.open(path, os.O_WRONLY)
    last = time.monotonic() + _READER
    while True:
        try:
            handle = os.open(path, os.O_WRONLY | os.O_NONBLOCK | os.O_NOCTTY)
        except OSError as error:
            if error.errno != errno.ENXIO or not stat.S_ISFIFO(path.stat().st_mode):
                raise
            if time.monotonic() > last:
                raise OSError(errno.ENXIO, "nobody reads from this pipe") from error
            time.sleep(0.02)
        else:
            os.set_blocking(handle, True)
            return handle


def _handle(path: Path) -> int | None:
    """The number of a handle of this process that a path such as /dev/stdout stands for."""
    at = os.path.abspath(path)
    for _ in range(40):  # as many links as a system follows
        match = _HANDLE.fullmatch(at)
        if match and match["who"] in (None, "self", str(os.getpid())):
            return int(match["number"])
        try:
            at = os.path.normpath(os.path.join(os.path.realpath(os.path.dirname(at)), os.readlink(at)))
        except (OSError, ValueError):
            return None
    return None
