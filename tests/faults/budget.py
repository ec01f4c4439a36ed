"""What a small input may take, counted in this process's own time, so that a busy machine fails no test."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Iterator
from types import FrameType


@contextlib.contextmanager
def cpu_seconds(most: float) -> Iterator[None]:
    """Stop what is within after so many seconds of processor time, and fail.

    It is for work that would take minutes, or for ever: what is right takes a small part of `most`. Where
    the system has no such timer (Windows), nothing is stopped.
    """
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise AssertionError(f"not done after {most:g} s of processor time")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, most)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
