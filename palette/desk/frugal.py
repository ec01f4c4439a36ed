"""Memory given back once it is free."""

from __future__ import annotations

import contextlib
import ctypes

# Parameters of glibc's mallopt(3).
_TRIM_THRESHOLD, _MMAP_THRESHOLD, _ARENA_MAX = -1, -3, -8


def give_back() -> None:
    """Let the C library give the memory of large arrays back to the system at once, where it can be told to:
    else a decoded picture of 24 megapixels stays in a process that has long let go of it."""
    with contextlib.suppress(OSError, AttributeError, TypeError):
        library = ctypes.CDLL(None)
        library.mallopt(_MMAP_THRESHOLD, 1 << 20)
        library.mallopt(_TRIM_THRESHOLD, 1 << 20)
        library.mallopt(_ARENA_MAX, 2)
