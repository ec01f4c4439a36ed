"""Kinds of picture file: one reader a file, found by the first bytes of a picture.

A module of this folder that defines `accepts(start)`, whether a file that begins with these bytes is its
own, and `read(path)`, what is in it (`stored.Stored`), reads pictures. To add a kind, add a file. The first
that accepts a file reads it, in alphabetical order; a file that none accepts goes to Pillow.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Protocol, cast

from palette.evidence.pictures.stored import Stored

START = 64  # bytes that a reader is shown


class Reader(Protocol):
    """A module of this folder."""

    accepts: Callable[[bytes], bool]
    read: Callable[[Path], Stored]


@cache
def readers() -> tuple[Reader, ...]:
    """The readers there are, in alphabetical order."""
    names = sorted(module.name for module in iter_modules(__path__))
    return tuple(cast(Reader, import_module(f"{__name__}.{name}")) for name in names)


def reader_of(start: bytes) -> Reader | None:
    """The reader of a file that begins with these bytes, if any."""
    return next((reader for reader in readers() if reader.accepts(start)), None)
