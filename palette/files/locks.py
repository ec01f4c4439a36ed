"""One palette at a time changes a folder."""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from palette.errors import InputError, Problem

if TYPE_CHECKING:
    from filelock import BaseFileLock

PATIENCE = 60.0  # seconds to wait for another palette; a change takes well under one


@contextlib.contextmanager
def alone(folder: Path) -> Iterator[bool]:
    """Hold a folder against every other palette of this user; yields whether that could be done.

    A lock must not be asked for while another is held. The locks are kept among the user's own files, not in
    the folder, where they would stay behind. A system without locks is done without.

    Raises:
        InputError: another palette holds the folder, and does not let go.
    """
    lock = _lock(folder)
    if lock is None:
        yield False
        return
    try:
        yield True
    finally:
        with contextlib.suppress(OSError):
            lock.release()


def _lock(folder: Path) -> BaseFileLock | None:
    from filelock import FileLock, Timeout

    for home in _homes():
        try:
            home.mkdir(mode=0o700, parents=True, exist_ok=True)
            lock = FileLock(home / f"{_number(folder)}.lock", timeout=PATIENCE, poll_interval=0.01)
            lock.acquire()
            return lock
        except Timeout as error:
            what = f"another palette has been writing here for {PATIENCE:.0f} s"
            raise InputError(Problem(str(folder), None, what, "wait for it to end, or stop it")) from error
        except (OSError, NotImplementedError):
            continue
    return None


def _homes() -> Iterator[Path]:
    """Where locks may be kept, best first."""
    from platformdirs import user_state_path

    with contextlib.suppress(RuntimeError):  # no home folder
        yield user_state_path("palette", appauthor=False) / "locks"
    user = os.getuid() if hasattr(os, "getuid") else os.environ.get("USERNAME", "user")
    yield Path(tempfile.gettempdir()) / f"palette-locks-{user}"


def _number(folder: Path) -> str:
    """Which of 256 locks is a folder's, by whatever name; more would leave ever more files."""
    status = os.stat(folder)
    return hashlib.blake2b(f"{status.st_dev} {status.st_ino}".encode(), digest_size=1).hexdigest()
