"""What the commands share: the colour options, the `--json` switch, and printing the answer."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

import click
import numpy as np

F = TypeVar("F", bound=Callable[..., Any])


def json_option(function: F) -> F:
    """Add `--json`: one JSON document on standard output and nothing else there."""
    return click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of text.")(function)


def _plain(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, np.generic):
        return value.item()
    raise TypeError(f"{type(value).__name__} has no JSON form")


def print_json(answer: dict[str, Any]) -> None:
    """Print one JSON document; NumPy values become plain numbers."""
    click.echo(json.dumps(answer, default=_plain, ensure_ascii=False, allow_nan=False))


@contextmanager
def progress(label: str) -> Iterator[Callable[[int, int], None]]:
    """Something to call with (done, of how many): shown on standard error where that is a terminal, and
    wiped off in the end."""
    shown = sys.stderr.isatty()

    def tell(done: int, total: int) -> None:
        if shown:
            click.echo(f"\r{label} {done} of {total} ", nl=False, err=True)

    try:
        yield tell
    finally:
        if shown:
            click.echo("\r\033[K", nl=False, err=True)
