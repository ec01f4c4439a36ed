"""Templates of pages, kept as they were compiled: that takes longer than to fill them in."""

from __future__ import annotations

import contextlib

from jinja2 import FileSystemBytecodeCache
from jinja2.bccache import Bucket

from palette import cache


class _Compiled(FileSystemBytecodeCache):
    """Templates as compiled before; where they cannot be kept they are compiled each time."""

    def dump_bytecode(self, bucket: Bucket) -> None:
        with contextlib.suppress(OSError):
            super().dump_bytecode(bucket)


def compiled() -> _Compiled | None:
    """Where compiled templates are kept; None where nothing is."""
    kept = cache.folder()
    if kept is None:
        return None
    try:
        (kept / "templates").mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError:
        return None
    return _Compiled(str(kept / "templates"))
