"""Work that is done in a process of its own, and may be killed in the middle of it.

The process is forked from a small one without threads, the fork server of multiprocessing. A fork of the
test's own process may inherit a lock that another thread holds, and wait for it for ever.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable
from multiprocessing.process import BaseProcess
from typing import Any

import pytest

from tests.faults.faulty import disturbed

KILLED = 9
PATIENCE = 120.0  # seconds after which a process is stuck, however busy the machine

needs_forks = pytest.mark.skipif(
    "forkserver" not in multiprocessing.get_all_start_methods(), reason="processes cannot be forked here"
)
_LOADED = ("pytest", __name__, "tests.faults.test_changes")


def started(work: Callable[..., object], *args: Any) -> BaseProcess:
    """A process that does `work`, which stands at the top of a module."""
    forks = multiprocessing.get_context("forkserver")
    forks.set_forkserver_preload(list(_LOADED))
    process = forks.Process(target=work, args=args, daemon=True)
    process.start()
    return process


def ended(process: BaseProcess, patience: float = PATIENCE) -> int:
    """The exit status of a process. The test fails where it does not end."""
    process.join(patience)
    if process.exitcode is None:
        process.kill()
        process.join()
        pytest.fail(f"a process was still at work after {patience:g} s, and was killed")
    return process.exitcode


def killed(at: int, work: Callable[..., object], *args: Any) -> bool:
    """Whether a process that does `work` was killed by its operation number `at`; else it came to its end."""
    code = ended(started(_until, at, work, *args))
    assert code in (0, KILLED), f"the process ended with status {code}"
    return code == KILLED


def _until(at: int, work: Callable[..., object], *args: Any) -> None:
    with disturbed(at, lambda name: os._exit(KILLED)):
        work(*args)
