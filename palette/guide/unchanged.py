"""Whether a kit's guide stands as it was last written, told by digests before anything heavy is loaded.

What a run read and wrote is noted in the cache, each file with its digest. Where all of these are as they
were, and so are the program and what is installed beside it, the same run would write the same bytes again,
and is spared. This module loads no NumPy and does not read kit.toml: that would take longer than the look.
"""

from __future__ import annotations

import contextlib
import os
import stat
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Any

from palette.cache import MISSING, content, folder, keep, recall

Digests = dict[str, str]


@dataclass(frozen=True)
class Run:
    """One run: the files it read and wrote by their digests, and the lines it had to say."""

    read: Digests
    written: Digests
    said: tuple[str, ...]


def digests(paths: Iterable[Path]) -> Digests | None:
    """The digest of each file; None where one cannot be read."""
    try:
        return {str(path): content(path) for path in paths}
    except OSError:
        return None


def last_run(kit: Path, out: Path | None, wanted: Mapping[str, Any]) -> Run | None:
    """The last such run, if it would be the same again; what it wrote is then as new as if it had been.

    `kit`, `out` (None: beside kit.toml) and `wanted` are as the user gave them.
    """
    if folder() is None:
        return None
    run = recall(_key(kit, out, wanted))
    if run is MISSING or not _as_they_were(run.read) or not _as_they_were(run.written, own=True):
        return None
    with contextlib.suppress(OSError):
        for path in run.written:
            os.utime(path)
    last: Run = run
    return last


def note(kit: Path, out: Path | None, wanted: Mapping[str, Any], run: Run) -> None:
    """Keep a run for `last_run`, unless a file that it read has been changed meanwhile."""
    if folder() is not None and _as_they_were(run.read):
        keep(_key(kit, out, wanted), run)


def collecting(said: list[str], say: Callable[[str], None]) -> Callable[[str], None]:
    """Something to say a line with that is noted, too."""

    def tell(line: str) -> None:
        said.append(line)
        say(line)

    return tell


def _as_they_were(files: Digests, own: bool = False) -> bool:
    """Whether files hold what they held; `own` ones are no links and stand in folders that are none."""
    if own:
        for path in map(Path, files):
            try:
                if path.parent.is_symlink() or not stat.S_ISREG(path.lstat().st_mode):
                    return False
            except OSError:
                return False
    return digests(map(Path, files)) == files


def _key(kit: Path, out: Path | None, wanted: Mapping[str, Any]) -> str:
    asked = (os.getcwd(), str(kit), out and str(out), sorted(wanted.items()), _program())
    return "run-" + blake2b(repr(asked).encode("utf-8", "surrogatepass"), digest_size=24).hexdigest()


@cache
def _program() -> str:
    """What tells this palette, and what is installed beside it, from another: the names, sizes and times of
    its files, which are sooner asked for than read."""
    digest = blake2b(digest_size=16)
    digest.update(f"{sys.version} {sorted(installed())}".encode())
    waiting = [str(Path(__file__).parents[1])]
    while waiting:
        with os.scandir(waiting.pop()) as entries:
            for entry in sorted(entries, key=lambda entry: entry.name):
                if entry.is_dir():
                    if entry.name != "__pycache__":
                        waiting.append(entry.path)
                elif not entry.name.endswith(".pyc"):
                    status = entry.stat()
                    digest.update(f"{entry.path} {status.st_size} {status.st_mtime_ns}\n".encode())
    return digest.hexdigest()


def installed() -> set[str]:
    """What is installed, each with its version, by the names of folders (`typst-1.2.dist-info`): asking
    importlib.metadata takes as long as all the rest."""
    packages = set()
    for place in sys.path:
        with contextlib.suppress(OSError):
            packages |= {name for name in os.listdir(place or ".") if name.endswith(".dist-info")}
    return packages
