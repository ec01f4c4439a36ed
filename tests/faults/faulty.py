"""A disk that fails, or a process that is killed, at the operation of one's choice."""

from __future__ import annotations

import builtins
import contextlib
import os
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

OPERATIONS = ("open", "mkdir", "fsync", "link", "replace", "rename", "unlink", "rmdir", "chmod", "write")
Act = Callable[[str], None]  # raises, or ends the process; its argument is the operation


class Stream:
    """A file being written whose every write counts as an operation."""

    def __init__(self, stream: Any, operation: Act) -> None:
        self._stream, self._operation = stream, operation

    def write(self, data: Any) -> Any:
        self._operation("write")
        return self._stream.write(data)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def __enter__(self) -> Stream:
        return self

    def __exit__(self, *what: object) -> None:
        self._stream.close()


@contextlib.contextmanager
def disturbed(at: int | None, act: Act, lasting: bool = False) -> Iterator[list[str]]:
    """Within this, operation number `at` (and with `lasting` all after it) does `act` before it is done.

    Only those of this thread count. Yields the operations met so far. `at` None disturbs none, which counts
    them.
    """
    met: list[str] = []
    real = {name: getattr(os, name) for name in OPERATIONS if name != "write"}
    real_open = builtins.open
    mine = threading.get_ident()

    def operation(name: str) -> None:
        if threading.get_ident() != mine:
            return  # a desk of another test looks at its files
        met.append(name)
        if at is not None and (len(met) == at + 1 or (lasting and len(met) > at)):
            act(name)

    def counted(name: str) -> Callable[..., Any]:
        def call(*args: Any, **options: Any) -> Any:
            operation(name)
            return real[name](*args, **options)

        return call

    def opened(file: Any, mode: str = "r", *args: Any, **options: Any) -> Any:
        operation("open")
        stream = real_open(file, mode, *args, **options)
        return Stream(stream, operation) if "w" in mode else stream

    try:
        for name in real:
            setattr(os, name, counted(name))
        builtins.open = opened  # type: ignore[assignment]
        yield met
    finally:
        builtins.open = real_open
        for name, function in real.items():
            setattr(os, name, function)


def held(folder: Path) -> dict[str, bytes | None]:
    """All that is in a folder, by name: the bytes of files, None for folders."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


def leftovers(folder: Path) -> list[str]:
    """What an unfinished change has left there."""
    return [name for name in held(folder) if ".palette-" in name]
