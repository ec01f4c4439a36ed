"""Pictures and kits of a benchmark side by side, through joblib: `--jobs N` (default 1), or an existing Dask
cluster with `--backend dask --scheduler ADDRESS`. What is printed is the same."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import TypeVar

from palette.jobs import unordered, workers

T = TypeVar("T")
R = TypeVar("R")
Each = Callable[[Callable[[T], R], Sequence[T]], list[R]]


def one_by_one(compute: Callable[[T], R], items: Sequence[T]) -> list[R]:
    """`compute` of each item, here."""
    return [compute(item) for item in items]


@contextmanager
def side_by_side() -> Iterator[Each]:
    """A function that computes each of many items, in their order, as the command line says; its options are
    taken off the command line."""
    parser = argparse.ArgumentParser(add_help=False)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--backend", default="local")
    parser.add_argument("--scheduler")
    given, sys.argv[1:] = parser.parse_known_args(sys.argv[1:])
    if given.jobs == 1 and given.backend == "local":
        yield one_by_one
        return
    with workers(given.backend, given.scheduler):
        yield partial(_each, given.jobs)


def _each(jobs: int, compute: Callable[[T], R], items: Sequence[T]) -> list[R]:
    values = dict(unordered(partial(_numbered, compute), list(enumerate(items)), jobs))
    return [values[i] for i in range(len(items))]


def _numbered(compute: Callable[[T], R], item: tuple[int, T]) -> tuple[int, R]:
    return item[0], compute(item[1])
