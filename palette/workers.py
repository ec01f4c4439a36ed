"""Many pictures side by side, in processes up to the cores, one picture a process at a time.

Not `multiprocessing`: its fresh processes run the caller's own script again, which a script without a main
guard does not survive, and its forks may hang where there are threads. These run this module and nothing
else.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import SimpleQueue
from typing import IO, Any, TypeVar

from palette import cache

T = TypeVar("T")
R = TypeVar("R")

Progress = Callable[[int, int], None]  # done, of all

_PARALLEL_FROM = 6  # fewer pictures are read sooner than a second interpreter starts


def each(
    compute: Callable[[T], R],
    items: Sequence[T],
    key: Callable[[T], str | None] = lambda item: None,
    worth: Callable[[R], bool] = lambda value: True,
    progress: Progress | None = None,
) -> list[R]:
    """`compute(item)` for each item, in their order, with what the cache holds taken from there.

    Memory is bounded by one picture a process. An exception of `compute` is raised here.

    Args:
        compute: a function at the top level of a module, so that another process finds it.
        items: what can be sent to another process.
        key: the item's key in the cache (`cache.key`), or None to compute it in any case.
        worth: whether a value may be kept.
        progress: called with how many are done, of how many.
    """
    found: dict[int, R] = {}
    keys = [key(item) for item in items]
    for i, name in enumerate(keys):
        kept: Any = cache.MISSING if name is None else cache.recall(name)
        if kept is not cache.MISSING:
            found[i] = kept
    missing = [i for i in range(len(items)) if i not in found]
    hands = min(os.cpu_count() or 1, len(missing)) if len(missing) >= _PARALLEL_FROM else 1
    for i, value in zip(missing, _computed(compute, [items[i] for i in missing], hands), strict=True):
        found[i] = value
        name = keys[i]
        if name is not None and worth(value) and key(items[i]) == name:  # not changed while it was read
            cache.keep(name, value)
        if progress:
            progress(len(found), len(items))
    return [found[i] for i in range(len(items))]


def _computed(compute: Callable[[T], R], items: Sequence[T], hands: int) -> Iterator[R]:
    """Values in the order of the items, as they come."""
    if hands < 2 or not sys.executable or compute.__module__ == "__main__":
        yield from map(compute, items)
        return
    with contextlib.ExitStack() as stack:
        free: SimpleQueue[subprocess.Popen[bytes]] = SimpleQueue()
        for _ in range(hands):
            free.put(stack.enter_context(_hand()))

        def ask(item: T) -> R:
            hand = free.get()
            try:
                return _ask(hand, compute, item)
            finally:
                free.put(hand)

        threads = stack.enter_context(ThreadPoolExecutor(hands))
        stack.callback(threads.shutdown, wait=False, cancel_futures=True)
        yield from threads.map(ask, items)


@contextlib.contextmanager
def _hand() -> Iterator[subprocess.Popen[bytes]]:
    home = str(Path(__file__).parents[1])
    path = os.pathsep.join([home, *filter(None, [os.environ.get("PYTHONPATH")])])
    with subprocess.Popen(
        [sys.executable, "-m", __name__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": path, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"},
    ) as hand:
        yield hand
        with contextlib.suppress(OSError):
            assert hand.stdin is not None
            hand.stdin.close()


def _ask(hand: subprocess.Popen[bytes], compute: Callable[[T], R], item: T) -> R:
    assert hand.stdin is not None and hand.stdout is not None
    try:
        pickle.dump((compute, item), hand.stdin)
        hand.stdin.flush()
        done, value = pickle.load(hand.stdout)
    except (OSError, EOFError, pickle.UnpicklingError):  # it is gone: its work is done here
        return compute(item)
    return value if done else compute(item)  # what failed there fails here, with its own exception


def _serve(tasks: IO[bytes], answers: IO[bytes]) -> None:
    while True:
        try:
            compute, item = pickle.load(tasks)
        except EOFError:
            return
        try:
            answer = (True, compute(item))
        except Exception:
            answer = (False, None)
        pickle.dump(answer, answers)
        answers.flush()


if __name__ == "__main__":
    _answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints is no answer
    _serve(sys.stdin.buffer, _answers)
