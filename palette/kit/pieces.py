"""A TOML text table by table, so that a change reads anew only the table that it touches.

A cut is made before each `[table]` and `[[table]]` of the first order that begins a line. Where all that
stands above a cut is a valid text of its own, the cut lies in no string and no list. That is tried, not
assumed.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

_HEADER = re.compile(r"^\[(\[)?([A-Za-z0-9_-]+)\]\]?[ \t]*(?:#[^\n]*)?\r?$", re.MULTILINE)
_MOST_KEPT = 2048  # pieces: some kits of hundreds of pictures


@dataclass(frozen=True)
class Piece:
    """One table of the first order with all that is in it, or what stands above them all."""

    text: str
    start: int  # its offset in the text
    line: int  # how many lines stand above it
    name: str = ""  # of its table; '' for what stands above them all
    number: int | None = None  # of its first table in the array of that name; None for a single table

    @property
    def values(self) -> Mapping[str, Any]:
        """What it says, by itself; not to be changed."""
        return _said(self.text)


@lru_cache(maxsize=8)
def pieces(text: str) -> tuple[Piece, ...] | None:
    """The pieces of a text; None where it is no valid TOML, or is not written in pieces."""
    headers = list(_HEADER.finditer(text))
    if not headers:
        return None
    ends = [*(header.start() for header in headers[1:]), len(text)]
    cut = [Piece(text[: headers[0].start()], 0, 0)]
    counts: dict[str, int | None] = {}
    line = cut[0].text.count("\n")
    try:
        counts.update(dict.fromkeys(cut[0].values))
        for header, end in zip(headers, ends, strict=True):
            name, array = header[2], header[1] is not None
            number = counts.get(name, 0) if array else None
            piece = Piece(text[header.start() : end], header.start(), line, name, number)
            if list(piece.values) != [name] or (name in counts and number is None):
                return None
            counts[name] = number + len(piece.values[name]) if number is not None else None
            line += piece.text.count("\n")
            cut.append(piece)
    except (ValueError, RecursionError):  # the whole text says what is wrong, and where
        return None
    return tuple(cut)


@lru_cache(maxsize=4)
def toml(text: str) -> Mapping[str, Any]:
    """What a TOML text says; not to be changed.

    Raises:
        tomllib.TOMLDecodeError: it is none.
    """
    cut = pieces(text)
    if cut is None:
        return tomllib.loads(text)
    values = dict(cut[0].values)
    for piece in cut[1:]:
        said = piece.values[piece.name]
        values[piece.name] = said if piece.number is None else [*values.get(piece.name, ()), *said]
    return values


@lru_cache(maxsize=_MOST_KEPT)
def _said(text: str) -> Mapping[str, Any]:
    return tomllib.loads(text)
