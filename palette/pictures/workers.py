"""Many pictures side by side, in processes up to the cores, one picture a process at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from os import cpu_count
from typing import Any, TypeVar

from palette.pictures import cache

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

    def take(i: int, value: R) -> None:
        found[i] = value
        name = keys[i]
        if name is not None and worth(value):
            cache.keep(name, value)
        if progress:
            progress(len(found), len(items))

    missing = [i for i in range(len(items)) if i not in found]
    workers = min(cpu_count() or 1, len(missing))
    if len(missing) < _PARALLEL_FROM or workers < 2:
        for i in missing:
            take(i, compute(items[i]))
    else:
        # Spawned, not forked: a fork of a process with threads (a server's) may hang.
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            jobs = {pool.submit(compute, items[i]): i for i in missing}
            try:
                for job in as_completed(jobs):
                    take(jobs[job], job.result())
            except BaseException:
                pool.shutdown(cancel_futures=True)
                raise
    return [found[i] for i in range(len(items))]
