"""Changing a kit.toml and leaving the rest of it as its maker wrote it.

Every change is made in the text itself, at the place it concerns: comments, order, alignment, newlines
and a byte order mark stay. A library that rewrites the document moves interleaved tables together and
their comments with them; a maker's file is not palette's to tidy.
"""

from __future__ import annotations

import tomllib
from collections.abc import Container, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from palette.files import Change, change_together, decode, read_bytes, undo_stopped
from palette.kit.lines import Index, index
from palette.kit.lines import Path as Keys
from palette.kit.model import Kit
from palette.kit.read import find, of_text

_MARK = b"\xef\xbb\xbf"
_STEP = 2  # blanks by which an inner table is set in


class Draft:
    """A kit.toml being changed; nothing is written before `save`.

    A place is a path of keys and numbers: ("kit", "title"), ("part", 0, "colour").
    """

    def __init__(self, path: Path, coming: Container[Path] = frozenset()) -> None:
        """Open a kit.toml, or the one in the folder given; files `coming` need not be there.

        Raises:
            InputError: it is no readable kit; the text at hand must be in order before it is changed.
        """
        self.path = find(path)
        undo_stopped(self.path.parent)
        self._read = read_bytes(self.path)
        self.text = decode(self._read, self.path)
        self._coming = coming
        of_text(self.text, self.path, coming)

    @property
    def read(self) -> bytes:
        """The file as it was read, or as it was saved last."""
        return self._read

    @property
    def raw(self) -> bytes:
        """The file as it is to be."""
        raw = self.text.encode("utf-8")
        return _MARK + raw if self._read.startswith(_MARK) else raw

    @property
    def kit(self) -> Kit:
        """The kit as changed so far; InputError where a change has made it contradict itself."""
        return of_text(self.text, self.path, self._coming)

    def place(self, kind: str, id: str) -> Keys:
        """Where the part or reference of that id stands; KeyError where there is none."""
        for i, table in enumerate(tomllib.loads(self.text).get(kind, [])):
            if table.get("id") == id:
                return (kind, i)
        raise KeyError(id)

    def set(self, place: Keys, value: Any) -> None:
        """Give a key a value; a new key goes below the others of its table.

        Texts, numbers, true and false, lists of these, and a mapping for an inline table.
        """
        self._set(index(self.text), place, value)

    def set_many(self, values: Sequence[tuple[Keys, Any]]) -> None:
        """As `set` each key to its value, or take it out where that is None, with one walk through the text.

        Raises:
            KeyError: one of them is not written on lines of its own: nothing was changed.
        """
        places = index(self.text)
        placed = []
        for number, (place, value) in enumerate(values):
            if place in places.pairs:
                at = places.pairs[place][0]
            elif value is None or place[:-1] in places.values:
                raise KeyError(place)
            else:
                at = self._below_own_keys(places, place[:-1])[0]
            placed.append((at, number, place, value))
        # From below, so that what stands above stays where it was found.
        for _, _, place, value in sorted(placed, key=lambda one: one[:2], reverse=True):
            if value is None:
                start, end = self._lines(*places.pairs[place])
                self._splice(start, end, "")
            else:
                self._set(places, place, value)

    def _set(self, places: Index, place: Keys, value: Any) -> None:
        *table, key = place
        written, new = _key(str(key)), _toml(value)
        if place in places.values:
            self._replace(*places.values[place], new)
        elif tuple(table) in places.values:  # an inline table
            start, end = places.values[tuple(table)]
            inner = self.text[start + 1 : end - 1].rstrip()
            self._splice(start + 1 + len(inner), end, f"{',' if inner else ''} {written} = {new} }}")
        else:
            at, indent, width = self._below_own_keys(places, tuple(table))
            self._insert(at, f"{indent}{written.ljust(width)} = {new}")

    def remove(self, place: Keys) -> None:
        """Take out a key with its comment, or a whole table of an array with all that is in it."""
        places = index(self.text)
        if place in places.pairs:
            start, end = self._lines(*places.pairs[place])
        elif place in places.headers:
            start, end = self._lines(places.headers[place][0], self._block_end(places, place))
            above = self.text[:start].rstrip(" \t")
            if above.endswith(("\n\n", "\n\r\n")):  # the blank line that set it off
                start = len(above) - (2 if above.endswith("\r\n") else 1)
        else:
            raise KeyError(place)
        self.text = self.text[:start] + self.text[end:]

    def append(self, array: Keys, values: Mapping[str, Any]) -> Keys:
        """Add a table to an array of tables, such as ("part",) or ("reference", 0, "sample").

        It goes below the last of that array, or below what it belongs to; a value that is a list of
        mappings becomes tables of its own. Returns where it stands.
        """
        places = index(self.text)
        size = len(array)
        count = len({path[size] for path in places.lines if path[:size] == array and len(path) > size})
        if array in places.values:  # written inline: sample = [{ … }]
            ends = [end for path, (_, end) in places.values.items() if path[:-1] == array]
            at = ends[-1] if ends else places.values[array][0] + 1
            self._splice(at, at, f"{', ' if ends else ''}{_toml(values)}")
            return (*array, count)
        if array[:-1] in places.values:
            self.set(array, [values])
            return (*array, 0)
        if count:
            last = (*array, count - 1)
            at, indent = self._block_end(places, last), self._indent(places.headers[last][0])
        elif len(array) > 1:
            at = self._block_end(places, array[:-1])
            indent = self._indent(places.headers[array[:-1]][0]) + " " * _STEP
        else:
            at, indent = len(self.text.rstrip()), ""
        names = [str(key) for key in array if isinstance(key, str)]
        self._insert(at, "\n".join(["", *_table(names, values, indent)]))
        return (*array, count)

    def change(self, coming: Container[Path] = frozenset()) -> Change:
        """What the file is to hold, to be written together with files that are `coming` into the kit.

        Raises:
            InputError: the kit as changed has problems.
        """
        of_text(self.text, self.path, coming)
        return Change(self.path, self.raw, self._read)

    def move(self, array: Keys, index_: int, to: int) -> None:
        """Move a table of an array, with the remarks above it and all that is in it, to another number."""
        places = index(self.text)
        if array in places.values:  # written on one line
            tables = list(_at(tomllib.loads(self.text), array))
            tables.insert(to, tables.pop(index_))
            return self._replace(*places.values[array], _toml(tables))
        size = len(array)
        count = len({path[size] for path in places.headers if path[:size] == array and len(path) > size})
        if index_ == to or not (0 <= index_ < count and 0 <= to < count):
            return None
        spans = [self._block(places, (*array, i)) for i in range(count)]
        start, end = spans[index_]
        block = self.text[start:end]
        at = spans[to][0] if to < index_ else spans[to][1]
        if not block.endswith(("\n", "\r")):
            block += self._newline()
        rest = self.text[:start] + self.text[end:]
        at -= end - start if at >= end else 0
        if at and not rest[:at].endswith("\n"):
            block = self._newline() + block
        apart = self._newline() if at and not rest[:at].endswith((2 * "\n", "\n\r\n")) else ""
        self.text = rest[:at] + apart + block + rest[at:]
        return None

    def _block(self, places: Index, table: Keys) -> tuple[int, int]:
        """The lines of a table with the remarks right above it, and the blank lines below it."""
        start, end = self._lines(places.headers[table][0], self._block_end(places, table))
        while start:
            above = self.text.rfind("\n", 0, start - 1) + 1
            if not self.text[above:start].lstrip().startswith("#"):
                break
            start = above
        while end < len(self.text):
            below = self._lines(end, end)[1]
            if self.text[end:below].strip():
                break
            end = below
        return start, end

    def save(self) -> Kit:
        """Check the whole kit, then replace the file; returns the kit as it now stands.

        Raises:
            InputError: the kit as changed has problems, or the file has been changed or taken away by
                someone else meanwhile, is a link out of its folder, or cannot be written. The file is then as
                it was.
        """
        kit = self.kit
        change_together([self.change()], self.path.parent)
        self._read = self.raw
        return kit

    def _newline(self) -> str:
        return "\r\n" if "\r\n" in self.text else "\n"

    def _splice(self, start: int, end: int, new: str) -> None:
        self.text = self.text[:start] + new + self.text[end:]

    def _replace(self, start: int, end: int, new: str) -> None:
        """Another value; a comment behind it keeps its column where there is room."""
        behind = self.text[end:].partition("\n")[0]
        room = len(behind) - len(behind.lstrip(" "))
        if behind[room:].startswith("#"):
            new = new.ljust(end + room - 1 - start) + " "
            end += room
        self._splice(start, end, new)

    def _insert(self, at: int, lines: str) -> None:
        """New lines below the line that `at` stands in."""
        newline = self._newline()
        new = lines.replace("\n", newline)
        end = self.text.find("\n", at)
        if end < 0:
            head = self.text + (newline if self.text.strip() else "")
            self.text = head + new + newline
        else:
            self.text = self.text[: end + 1] + new + newline + self.text[end + 1 :]

    def _lines(self, start: int, end: int) -> tuple[int, int]:
        """The whole lines that a span touches."""
        below = self.text.find("\n", end)
        return self.text.rfind("\n", 0, start) + 1, len(self.text) if below < 0 else below + 1

    def _indent(self, at: int) -> str:
        line = self.text[self.text.rfind("\n", 0, at) + 1 : at]
        return line if not line.strip() else ""

    def _below_own_keys(self, places: Index, table: Keys) -> tuple[int, str, int]:
        """The end of a table's own keys, their indent, and how wide its keys are written."""
        own = [span for path, span in places.pairs.items() if path[:-1] == table]
        if not own:
            start, end = places.headers[table]
            return end, self._indent(start), 0
        start, end = own[-1]
        return end, self._indent(start), self.text.index("=", start) - start - 1

    def _block_end(self, places: Index, table: Keys) -> int:
        """The end of the last thing said of a table or of one within it."""
        spans = (*places.pairs.items(), *places.headers.items())
        return max(end for path, (_, end) in spans if path[: len(table)] == table)


def _at(values: Any, place: Keys) -> Any:
    for key in place:
        values = values[key]
    return values


def _table(names: Sequence[str], values: Mapping[str, Any], indent: str) -> Iterator[str]:
    """The lines of one table of an array, keys aligned, and of the tables within it."""
    yield f"{indent}[[{'.'.join(map(_key, names))}]]"
    inner = {key: value for key, value in values.items() if _is_tables(value)}
    own = {key: value for key, value in values.items() if key not in inner}
    width = max((len(_key(key)) for key in own), default=0)
    for key, value in own.items():
        yield f"{indent}{_key(key).ljust(width)} = {_toml(value)}"
    for key, tables in inner.items():
        for table in tables:
            yield ""
            yield from _table([*names, key], table, indent + " " * _STEP)


def _is_tables(value: Any) -> bool:
    return isinstance(value, (list, tuple)) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _key(key: str) -> str:
    from tomlkit import key as written

    return written(key).as_string()


def _toml(value: Any) -> str:
    """A value as TOML, on one line."""
    import tomlkit

    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(str(k))} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, float):
        return repr(float(value))
    text: str = tomlkit.item(value).as_string()
    return text
