"""Processes that read references side by side.

Not `multiprocessing`: its fresh processes run the caller's own script again, which a script without a
main guard does not survive, and its forks may hang where there are threads. These run this module alone.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from queue import SimpleQueue
from typing import IO, TypeAlias

from palette.kit.model import Reference
from palette.scheme.measure import Measured, measure

Task: TypeAlias = tuple[Reference, str]  # a reference and the file of its kit
_HERE = "palette.scheme.crew"


@contextmanager
def crew(size: int) -> Iterator[Callable[[Sequence[Task]], Iterator[Measured]]]:
    """A function that measures tasks in order, by `size` processes, or in this one where that is 1."""
    if size < 2 or not sys.executable:
        yield lambda tasks: (measure(*task) for task in tasks)
        return
    hands = [_start() for _ in range(size)]
    free: SimpleQueue[subprocess.Popen[bytes]] = SimpleQueue()
    for hand in hands:
        free.put(hand)

    def ask(task: Task) -> Measured:
        hand = free.get()
        try:
            return _ask(hand, task)
        finally:
            free.put(hand)

    try:
        with ThreadPoolExecutor(size) as threads:
            yield lambda tasks: threads.map(ask, tasks)
    finally:
        for hand in hands:
            if hand.stdin:
                hand.stdin.close()
            hand.wait()
            if hand.stdout:
                hand.stdout.close()


def _start() -> subprocess.Popen[bytes]:
    home = str(Path(__file__).parents[2])
    path = os.pathsep.join([home, *filter(None, [os.environ.get("PYTHONPATH")])])
    return subprocess.Popen(
        [sys.executable, "-m", _HERE],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": path, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"},
    )


def _ask(hand: subprocess.Popen[bytes], task: Task) -> Measured:
    assert hand.stdin is not None and hand.stdout is not None
    try:
        pickle.dump(task, hand.stdin)
        hand.stdin.flush()
        found = pickle.load(hand.stdout)
    except (OSError, EOFError, pickle.UnpicklingError):  # it is gone: do its work here
        return measure(*task)
    assert isinstance(found, Measured)
    return found


def _serve(tasks: IO[bytes], answers: IO[bytes]) -> None:
    while True:
        try:
            task = pickle.load(tasks)
        except EOFError:
            return
        pickle.dump(measure(*task), answers)
        answers.flush()


if __name__ == "__main__":
    _answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints is no answer
    _serve(sys.stdin.buffer, _answers)
