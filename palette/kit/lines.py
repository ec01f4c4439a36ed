"""Which line of a TOML text each key and value stands on.

The standard library's reader says what a text means but not where; this walks a text that it has
already accepted, so it need only tell strings, comments and brackets apart.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

Path: TypeAlias = tuple[str | int, ...]


def line_index(text: str) -> dict[Path, int]:
    """Line (from 1) of every table, key and array element of a valid TOML `text`.

    ("part", 0, "hint", 1, "words") is the line of that key; ("part", 0) that of its `[[part]]`.
    """
    return _Walk(text).run()


def line_of(index: Mapping[Path, int], path: Path) -> int | None:
    """The line of `path`, or of the nearest thing around it that has one."""
    while path:
        if path in index:
            return index[path]
        path = path[:-1]
    return None


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text.replace("\r\n", "\n")
        self.at = 0
        self.line = 1
        self.index: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}  # elements so far of each array of tables

    def run(self) -> dict[Path, int]:
        table: Path = ()
        while self._skip(newlines=True):
            line = self.line
            if self.text.startswith("[[", self.at):
                self._move(2)
                table = self._header(line, array=True)
                self._move(2)
            elif self.text[self.at] == "[":
                self._move(1)
                table = self._header(line, array=False)
                self._move(1)
            else:
                self._pair(table)
        return self.index

    def _move(self, count: int) -> None:
        self.line += self.text.count("\n", self.at, self.at + count)
        self.at += count

    def _skip(self, newlines: bool) -> bool:
        """Past blanks and comments; False at the end of the text."""
        blanks = " \t\n" if newlines else " \t"
        while self.at < len(self.text):
            if self.text[self.at] == "#":
                end = self.text.find("\n", self.at)
                self.at = len(self.text) if end < 0 else end
            elif self.text[self.at] in blanks:
                self._move(1)
            else:
                return True
        return False

    def _header(self, line: int, array: bool) -> Path:
        keys = self._key()
        path: Path = ()
        for key in keys[:-1]:
            path += (key,)
            if path in self.counts:
                path += (self.counts[path] - 1,)
        path += (keys[-1],)
        if array:
            self.index.setdefault(path, line)
            self.counts[path] = self.counts.get(path, 0) + 1
            path += (self.counts[path] - 1,)
        self.index[path] = line
        return path

    def _key(self) -> list[str]:
        keys = []
        while True:
            self._skip(newlines=False)
            if self.text[self.at] in "\"'":
                start = self.at
                self._string()
                keys.append(_unquoted(self.text[start : self.at]))
            else:
                start = self.at
                while self.at < len(self.text) and self.text[self.at] not in " \t.=]":
                    self.at += 1
                keys.append(self.text[start : self.at])
            self._skip(newlines=False)
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def _pair(self, table: Path) -> None:
        line = self.line
        path = table
        for key in self._key():
            path += (key,)
            self.index.setdefault(path, line)
        self._move(1)  # the equals sign
        self._skip(newlines=True)
        self._value(path)

    def _value(self, path: Path) -> None:
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
                self.index[(*path, element)] = self.line
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
            while self.at < len(self.text) and self.text[self.at] not in ",]}#\n":
                self.at += 1

    def _string(self) -> None:
        quote = self.text[self.at]
        if self.text.startswith(3 * quote, self.at):
            quote *= 3
        self._move(len(quote))
        while not self.text.startswith(quote, self.at):
            self._move(2 if quote[0] == '"' and self.text[self.at] == "\\" else 1)
        self._move(len(quote))
        while len(quote) == 3 and self.text.startswith(quote[0], self.at):
            self._move(1)  # up to two more quotes may close a long string


def _unquoted(text: str) -> str:
    import tomllib

    return next(iter(tomllib.loads(f"{text} = 0")))
