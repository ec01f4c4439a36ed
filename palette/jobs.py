"""Many items side by side, in processes up to the cores, through joblib.

Whoever calls this may choose other workers, on this machine or elsewhere, by `joblib.parallel_config`: that
choice holds for every call within it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

from palette import cache
from palette.errors import InputError, Problem

T = TypeVar("T")
R = TypeVar("R")

Progress = Callable[[int, int], None]  # done, of all

_PARALLEL_FROM = 6  # fewer items are done sooner than a second interpreter starts


def each(
    compute: Callable[[T], R],
    items: Sequence[T],
    key: Callable[[T], str | None] = lambda item: None,
    worth: Callable[[R], bool] = lambda value: True,
    progress: Progress | None = None,
) -> list[R]:
    """`compute(item)` for each item, in their order, with what the cache holds taken from there.

    Memory is bounded by one item a process. An exception of `compute` is raised here.

    Args:
        compute: a function at the top level of a module, so that another process finds it.
        items: what can be sent to another process.
        key: the item's key in the cache (`cache.key`), or None to compute it in any case.
        worth: whether a value may be kept.
        progress: called with how many are done, of how many.
    """
    values: dict[int, R] = {}
    keys = [key(item) for item in items]
    for i, name in enumerate(keys):
        kept: Any = cache.MISSING if name is None else cache.recall(name)
        if kept is not cache.MISSING:
            values[i] = kept
    missing = [i for i in range(len(items)) if i not in values]
    for i, value in zip(missing, _computed(compute, [items[i] for i in missing]), strict=True):
        values[i] = value
        name = keys[i]
        if name is not None and worth(value) and key(items[i]) == name:  # not changed while it was read
            cache.keep(name, value)
        if progress:
            progress(len(values), len(items))
    return [values[i] for i in range(len(items))]


def _computed(compute: Callable[[T], R], items: Sequence[T]) -> Iterator[R]:
    """Values in the order of the items, as they come."""
    workers = min(os.cpu_count() or 1, len(items)) if len(items) >= _PARALLEL_FROM else 1
    if workers < 2 or compute.__module__ == "__main__":
        yield from map(compute, items)
        return
    from joblib import Parallel, delayed
    from joblib.externals.loky.process_executor import BrokenProcessPool

    # Results come in order, and no more items are handed out than are being worked on.
    run = Parallel(
        n_jobs=workers, prefer="processes", return_as="generator", batch_size=1, pre_dispatch="n_jobs"
    )
    done = 0
    try:
        for value in run(delayed(compute)(item) for item in items):
            yield value
            done += 1
    except BrokenProcessPool:  # a worker is gone (killed, out of memory): the rest is done here
        yield from map(compute, items[done:])


def unordered(compute: Callable[[T], R], items: Sequence[T], jobs: int = -1) -> Iterator[R]:
    """`compute(item)` for each item, as they are done: in `jobs` processes (-1: one a core), or on
    the workers that `workers` has chosen."""
    if len(items) < 2 and not _CHOSEN.get():
        yield from map(compute, items)
        return
    from joblib import Parallel, delayed

    n_jobs = None if _CHOSEN.get() else jobs
    run = Parallel(n_jobs=n_jobs, return_as="generator_unordered", batch_size=1, pre_dispatch="2*n_jobs")
    yield from run(delayed(compute)(item) for item in items)


_CHOSEN: ContextVar[bool] = ContextVar("chosen", default=False)


@contextmanager
def workers(backend: str, scheduler: str | None = None) -> Iterator[None]:
    """Choose the workers of every call within: `backend` 'local', or 'dask' with the address of a scheduler.

    Raises:
        InputError: the packages for it are missing, or nobody answers at that address.
    """
    if backend == "local":
        yield
        return
    from joblib import parallel_config

    try:
        from distributed import Client
    except ImportError as error:
        remedy = "install it from palette's own folder: pip install '.[cluster]'"
        what = "a Dask cluster needs the package distributed"
        raise InputError(Problem(None, None, what, remedy)) from error
    try:
        client = Client(scheduler, timeout=10)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        what = "no Dask scheduler answers there"
        raise InputError(Problem(scheduler, None, what, "check the address and that it runs")) from error
    with client, parallel_config(backend="dask", n_jobs=-1):
        token = _CHOSEN.set(True)
        try:
            yield
        finally:
            _CHOSEN.reset(token)
