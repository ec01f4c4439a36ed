"""Where in a TOML text each key and value stands.

The standard library's reader says what a text means but not where; this walks a text that it has
already accepted, so it need only tell strings, comments and brackets apart.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeAlias

from palette.kit.pieces import Piece, pieces

Path: TypeAlias = tuple[str | int, ...]
Span: TypeAlias = tuple[int, int]  # offsets into the text, half open


_BLANKS = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*+")
_SPACES = re.compile(r"(?:[ \t]+|#[^\n]*)*+")
_BARE_KEY = re.compile(r"[^ \t.=\]]*+")
_BARE_VALUE = re.compile(r"[^,\]}#\r\n]*+")
_INSIDE = {  # of a string, up to the quotes that close it
    '"': re.compile(r'(?:[^"\\]|\\.)*+', re.S),
    "'": re.compile(r"[^']*+"),
    '"""': re.compile(r'(?:[^"\\]|\\.|"(?!""))*+', re.S),
    "'''": re.compile(r"(?:[^']|'(?!''))*+"),
}


@dataclass
class Index:
    """Places in one text. ("part", 0, "hint", 1, "words") is that key, ("part", 0) that `[[part]]`."""

    lines: dict[Path, int] = field(default_factory=dict)  # from 1, of every table, key and element
    values: dict[Path, Span] = field(default_factory=dict)  # of every value and array element
    pairs: dict[Path, Span] = field(default_factory=dict)  # key to end of value, outside inline tables
    headers: dict[Path, Span] = field(default_factory=dict)  # of `[table]` and `[[table]]`, its brackets


@lru_cache(maxsize=4)
def index(text: str) -> Index:
    """The places in a valid TOML text, with any newlines; not to be changed."""
    cut = pieces(text)
    if cut is None:
        return _walked(text)
    whole = Index()
    for piece in cut:
        _add(whole, piece, _walked(piece.text))
    return whole


@lru_cache(maxsize=2048)
def _walked(text: str) -> Index:
    walk = _Walk(text)
    walk.run()
    return walk.index


def _add(whole: Index, piece: Piece, own: Index) -> None:
    """Add the places of a piece, as they are in the whole text."""
    number = piece.number
    if number is None:
        at = {path: path for path in own.lines}
    else:
        at = {p: (p[0], p[1] + number, *p[2:]) if len(p) > 1 else p for p in own.lines}  # type: ignore[operator]
    for path, line in own.lines.items():
        whole.lines.setdefault(at[path], line + piece.line)
    for spans, told in (
        (own.values, whole.values),
        (own.pairs, whole.pairs),
        (own.headers, whole.headers),
    ):
        for path, (start, end) in spans.items():
            told[at[path]] = (start + piece.start, end + piece.start)


def line_of(lines: Mapping[Path, int], path: Path) -> int | None:
    """The line of `path`, or of the nearest thing around it that has one."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return None


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.index = Index()
        self.counts: dict[Path, int] = {}  # elements so far of each array of tables

    def run(self) -> None:
        table: Path = ()
        while self._skip(newlines=True):
            start, line = self.at, self.line
            if self.text[self.at] == "[":
                array = self.text.startswith("[[", self.at)
                self._move(2 if array else 1)
                table = self._header(line, array)
                self._move(2 if array else 1)
                self.index.headers[table] = (start, self.at)
            else:
                path = self._pair(table)
                self.index.pairs[path] = (start, self.at)

    def _move(self, count: int) -> None:
        self.line += self.text.count("\n", self.at, self.at + count)
        self.at += count

    def _skip(self, newlines: bool) -> bool:
        """Past blanks and comments; False at the end of the text."""
        end = (_BLANKS if newlines else _SPACES).match(self.text, self.at).end()  # type: ignore[union-attr]
        if end != self.at:
            self._move(end - self.at)
        return end < len(self.text)

    def _header(self, line: int, array: bool) -> Path:
        *outer, last = self._key()
        path: Path = ()
        for key in outer:
            path += (key,)
            if path in self.counts:
                path += (self.counts[path] - 1,)
        path += (last,)
        if array:
            self.index.lines.setdefault(path, line)
            self.counts[path] = self.counts.get(path, 0) + 1
            path += (self.counts[path] - 1,)
        self.index.lines[path] = line
        return path

    def _key(self) -> list[str]:
        keys = []
        while True:
            self._skip(newlines=False)
            start = self.at
            if self.text[self.at] in "\"'":
                self._string()
                keys.append(next(iter(tomllib.loads(f"{self.text[start : self.at]} = 0"))))
            else:
                self.at = _BARE_KEY.match(self.text, start).end()  # type: ignore[union-attr]
                keys.append(self.text[start : self.at])
            self._skip(newlines=False)
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def _pair(self, table: Path) -> Path:
        line = self.line
        path = table
        for key in self._key():
            path += (key,)
            self.index.lines.setdefault(path, line)
        self._move(1)  # the equals sign
        self._skip(newlines=False)
        self._value(path)
        return path

    def _value(self, path: Path) -> None:
        start = self.at
        first = self.text[self.at]
        if first in "\"'":
            self._string()
        elif first == "[":
            self._move(1)
            element = 0
            while self._skip(newlines=True) and self.text[self.at] != "]":
                if self.text[self.at] == ",":
                    self._move(1)
                    continue
                self.index.lines[(*path, element)] = self.line
                self._value((*path, element))
                element += 1
            self._move(1)
        elif first == "{":
            self._move(1)
            while self._skip(newlines=True) and self.text[self.at] != "}":
                if self.text[self.at] == ",":
                    self._move(1)
                else:
                    self._pair(path)
            self._move(1)
        else:
            end = _BARE_VALUE.match(self.text, start).end()  # type: ignore[union-attr]
            self.at = start + len(self.text[start:end].rstrip())
        self.index.values[path] = (start, self.at)

    def _string(self) -> None:
        quote = self.text[self.at]
        if self.text.startswith(3 * quote, self.at):
            quote *= 3
        self._move(len(quote))
        end = _INSIDE[quote].match(self.text, self.at).end()  # type: ignore[union-attr]
        self._move(end - self.at)
        self._move(len(quote))
        while len(quote) == 3 and self.text.startswith(quote[0], self.at):
            self._move(1)  # up to two more quotes may close a long string
