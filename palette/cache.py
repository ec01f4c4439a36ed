"""What was measured before, kept by content and parameters: safe to delete, never stale.

An entry's key is a digest of all that its value depends on: the picture's bytes (not its name or date),
the parameters, and the code itself (palette's own sources and the versions of the decoding libraries).
Nothing has to be thrown away when something changes; it is simply not found again. Entries live in the
user's cache folder, or in the folder that the environment variable PALETTE_CACHE names (empty: nowhere).
An entry that cannot be read, or is not whole, counts as missing; one that cannot be written is not kept.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import pickle
import sys
import time
from collections.abc import Callable
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, TypeVar

from palette.files import LARGEST

T = TypeVar("T")

MOST_BYTES = 512 << 20  # the oldest entries go when there is more
_UNFINISHED = ".unfinished-"
_NOW_AND_THEN = "00"  # how one key in 256 begins
_HOUR = 3600.0  # seconds after which an unfinished entry is one of a process that was killed
_ROOMS = ("memory.py", "colour", "kit", "swatches", "evidence", "paints")
_MAGIC = b"palette entry 1\n"
_LIBRARIES = ("numpy", "pillow", "pillow-heif", "tifffile", "imagecodecs", "scipy")


class _Missing:
    """Stands for no entry, since None may be one."""


MISSING = _Missing()


def folder() -> Path | None:
    """Where entries are kept; None where they are not."""
    chosen = os.environ.get("PALETTE_CACHE")
    if chosen is not None:
        return Path(chosen) if chosen else None
    from platformdirs import user_cache_path

    with contextlib.suppress(RuntimeError):  # no home folder
        return user_cache_path("palette", appauthor=False)
    return None


def content(path: Path) -> str:
    """A digest of a file's bytes; read once as long as nobody has touched the file.

    Raises:
        OSError: it cannot be read, or is so large that it is not to be.
    """
    status = path.stat()
    if status.st_size > LARGEST:
        raise OSError(errno.EFBIG, os.strerror(errno.EFBIG), str(path))
    stamp = (status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns)
    return _content(path, stamp)


def content_if_readable(path: Path) -> str | None:
    """As `content`; None for a file that cannot be read: whoever reads it says what is wrong with it."""
    try:
        return content(path)
    except OSError:
        return None


def key(*parts: object) -> str:
    """The key of an entry that depends on `parts` and on the code.

    Parts are told apart by their `repr`, so they must be plain: text, numbers, tuples, dataclasses of
    these, whose repr says everything.

    Raises:
        TypeError: a part is an array, whose repr leaves out what is in the middle.
    """
    digest = hashlib.blake2b(code(*_ROOMS).encode(), digest_size=24)
    numpy = sys.modules.get("numpy")  # not loaded for this alone: without it there is no array
    for part in parts:
        if numpy is not None and isinstance(part, numpy.ndarray):
            raise TypeError("an array is no part of a key; give its bytes")
        text = repr(part).encode()
        digest.update(len(text).to_bytes(8, "big") + text)
    return digest.hexdigest()


def recall(key: str) -> Any:
    """The value kept under a key, or `MISSING`."""
    path = _path(key)
    if path is None:
        return MISSING
    try:
        raw = path.read_bytes()
        start, digest, body = raw[: len(_MAGIC)], raw[len(_MAGIC) : len(_MAGIC) + 32], raw[len(_MAGIC) + 32 :]
        if start != _MAGIC or hashlib.sha256(body).digest() != digest:
            return MISSING
        value = pickle.loads(body)
    except Exception:  # a damaged entry may fail in any way, and is then none
        return MISSING
    with contextlib.suppress(OSError):
        os.utime(path)  # the oldest to go are those not asked for
    return value


def keep(key: str, value: object) -> None:
    """Keep a value under a key, whole or not at all; what cannot be kept is not."""
    path = _path(key)
    if path is None:
        return
    import tempfile  # which loads much, for the first to keep something

    temporary = None
    try:
        body = pickle.dumps(value, protocol=pickle.HIGHEST_PROTOCOL)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=_UNFINISHED, dir=path.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(_MAGIC + hashlib.sha256(body).digest() + body)
        os.replace(temporary, path)
        if key.startswith(_NOW_AND_THEN):  # looking through the whole folder each time would take longer
            _make_room(path.parent)
    except (OSError, pickle.PicklingError):
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def remember(key: str, compute: Callable[[], T], worth: Callable[[T], bool] = lambda value: True) -> T:
    """The value kept under a key; else compute it, and keep it where it is `worth` it."""
    known = recall(key)
    if known is not MISSING:
        return known  # type: ignore[no-any-return]
    value = compute()
    if worth(value):
        keep(key, value)
    return value


def _path(key: str) -> Path | None:
    place = folder()
    return None if place is None else place / f"{key}.entry"


def _make_room(place: Path) -> None:
    """Let the entries go that were not asked for longest, down to the limit, and what was never finished."""
    for unfinished in place.glob(f"{_UNFINISHED}*"):
        with contextlib.suppress(OSError):
            if unfinished.stat().st_mtime < time.time() - _HOUR:
                unfinished.unlink()
    entries = []
    for entry in place.glob("*.entry"):
        with contextlib.suppress(OSError):  # another process may have removed it
            status = entry.stat()
            entries.append((status.st_mtime, status.st_size, entry))
    total = sum(size for _, size, _ in entries)
    for _, size, entry in sorted(entries, key=lambda dated: dated[0]):
        if total <= MOST_BYTES:
            return
        with contextlib.suppress(OSError):
            entry.unlink()
        total -= size


@lru_cache(maxsize=4096)
def _content(path: Path, stamp: tuple[int, ...]) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "blake2b").hexdigest()


@cache
def code(*rooms: str) -> str:
    """A digest of the sources of some of palette's rooms, and of the libraries below them."""
    from importlib.metadata import PackageNotFoundError, version

    digest = hashlib.blake2b(digest_size=16)
    root = Path(__file__).parent
    paths = (path for room in rooms for path in (root / room, *(root / room).rglob("*")))
    for source in sorted(path for path in paths if path.is_file()):
        if source.suffix in (".py", ".csv", ".npz", ".json", ".ftl"):
            digest.update(str(source.relative_to(root)).encode() + b"\0" + source.read_bytes())
    for library in _LIBRARIES:
        with contextlib.suppress(PackageNotFoundError):
            digest.update(f"{library} {version(library)}\n".encode())
    return digest.hexdigest()
