"""One TOML table being read: its values by type and range, its problems with their lines.

Every key that is asked for counts as known; `close` then judges the others. A key that looks like a
slip for a known one is a problem, since what it was meant to say would be lost; any other is the
maker's own, and is kept, unread, with a warning.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from difflib import SequenceMatcher, get_close_matches
from pathlib import Path
from typing import Any

from palette.errors import Problem, one_line
from palette.kit.lines import Path as Keys
from palette.kit.lines import line_of
from palette.kit.moved import found_again

_MOST_COMPARED = 200_000  # words with words, which takes some seconds
_MOST_UNKNOWN = 200  # keys in one table
_MOST_MISSING = 50  # files for which the likeliest other is looked for

_TYPES: dict[type, str] = {
    bool: "true or false",
    int: "a number",
    float: "a number",
    str: "text",
    list: "a list",
    dict: "a table",
}


@dataclass
class Source:
    """The file being read, and what has been found wrong in it so far."""

    path: Path
    lines: Mapping[Keys, int]
    problems: list[Problem] = field(default_factory=list)
    warnings: list[Problem] = field(default_factory=list)
    missing: int = 0  # files that are named and not there
    keys: dict[str, tuple[str, ...]] = field(default_factory=dict)  # of each table read: 'part.hint' -> …
    coming: Container[Path] = frozenset()  # files that will be there when the text is

    def problem(self, keys: Keys, what: str, remedy: str) -> None:
        self.problems.append(Problem(str(self.path), line_of(self.lines, keys), what, remedy))


@dataclass
class Table:
    """A table at `keys` of a file; `title` names it in messages ('part 'waist'')."""

    source: Source
    keys: Keys
    values: Mapping[str, Any]
    title: str
    known: dict[str, None] = field(default_factory=dict)

    def line(self, key: str | None = None) -> int | None:
        return line_of(self.source.lines, self.keys if key is None else (*self.keys, key))

    def problem(self, key: str | None, what: str, remedy: str) -> None:
        self.source.problem(self.keys if key is None else (*self.keys, key), what, remedy)

    def get(self, key: str) -> Any:
        self.known[key] = None
        return self.values.get(key)

    def missing(self, key: str, remedy: str) -> None:
        self.problem(None, f"{self.title} has no {key}", remedy)

    def text(self, key: str, default: str = "") -> str:
        value = self.get(key)
        if value is None:
            return default
        if not isinstance(value, str):
            self.wrong_type(key, value, "text", "put it between quotes")
            return default
        return value.strip()

    def phrase(self, key: str) -> str:
        """A text on one line, however it is written: whoever made the kit forges no line of an answer."""
        return one_line(self.text(key))

    def wrong_type(self, key: str, value: Any, wanted: str, remedy: str) -> None:
        kind = _TYPES.get(type(value), "a date or time")
        self.problem(key, f"{key} must be {wanted}, and is {kind}", remedy)

    def identifier(self, key: str = "id") -> str:
        """A required text without control characters; '' after a problem."""
        if self.get(key) is None:
            self.missing(key, f'add {key} = "…", a short name of its own')
            return ""
        before = len(self.source.problems)
        text = self.text(key)
        if len(self.source.problems) > before:
            return ""
        if not text or not text.isprintable():
            what = f"{key} is {'empty' if not text else 'not printable'}"
            self.problem(key, what, "give it a short name of its own")
            return ""
        return text

    def number(self, key: str, accept: Callable[[float], bool], wanted: str) -> float | None:
        """A finite number for which `accept` is true; None where missing or after a problem."""
        value = self.get(key)
        if value is None:
            return None
        number = figure(value)
        if number is None:
            quoted = isinstance(value, str) and _reads_as_number(value)
            remedy = "take the quotes away" if quoted else f"write {wanted}"
            self.wrong_type(key, value, "a number", remedy)
        elif not math.isfinite(number) or not accept(number):
            self.problem(key, f"{key} is {number:g}", f"write {wanted}")
        else:
            return number
        return None

    def share(self, key: str, default: float) -> float:
        share = self.number(key, lambda v: 0 <= v <= 1, "a number from 0 to 1")
        return default if share is None else share

    def positive(self, key: str) -> float | None:
        return self.number(key, lambda v: v > 0, "a number above 0")

    def year(self, key: str) -> int | None:
        year = self.number(key, lambda v: v == int(v) and 1000 <= v <= 3000, "a year, such as 1958")
        return None if year is None else int(year)

    def flag(self, key: str, default: bool = False) -> bool:
        value = self.get(key)
        if isinstance(value, bool):
            return value
        if value is not None:
            other = str(not default).lower()
            self.wrong_type(key, value, "true or false", f"write {key} = {other}, or leave it out")
        return default

    def day(self, key: str) -> date | None:
        value = self.get(key)
        if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
            return value
        remedy = f"write {key} = {date.today().isoformat()}, without quotes"
        self.wrong_type(key, value, "a date alone", remedy)
        return None

    def choice(self, key: str, words: Sequence[str]) -> str:
        """One of `words`, the first where missing or after a problem."""
        before = len(self.source.problems)
        value = self.text(key, words[0])
        if value in words or len(self.source.problems) > before:
            return value if value in words else words[0]
        near = nearest_word(value, words)
        remedy = f"did you mean {near!r}?" if near else f"write {listed(words)}"
        self.problem(key, f"{key} is {value!r}", remedy)
        return words[0]

    def texts(self, key: str) -> list[tuple[str, Keys]]:
        """A list of texts, each with the place it stands at."""
        value = self.get(key)
        if value is None:
            return []
        if not isinstance(value, list):
            self.wrong_type(key, value, "a list of texts", f'write {key} = ["…"]')
            return []
        texts = []
        for i, item in enumerate(value):
            if isinstance(item, str) and item.strip():
                texts.append((item.strip(), (*self.keys, key, i)))
            else:
                at = (*self.keys, key, i)
                self.source.problem(at, f"{key} holds {item!r}", "write texts between quotes")
        return texts

    def numbers(self, key: str, value: Any, count: int, wanted: str) -> list[float] | None:
        """`value` as `count` finite numbers."""
        figures = [figure(v) for v in value] if isinstance(value, list) else []
        finite = [v for v in figures if v is not None and math.isfinite(v)]
        if len(figures) == count == len(finite):
            return finite
        self.problem(key, f"{key} is not {count} numbers", f"write {wanted}")
        return None

    def tables(self, key: str, header: str) -> list[Table]:
        """The tables of an array of tables."""
        value = self.get(key)
        if value is None:
            return []
        if isinstance(value, dict):
            self.problem(key, f"[{header}] is a single table", f"write [[{header}]], with two brackets")
            return []
        if not isinstance(value, list):
            self.wrong_type(key, value, "a list of tables", f"begin each with [[{header}]]")
            return []
        tables = []
        for i, item in enumerate(value):
            if isinstance(item, dict):
                tables.append(Table(self.source, (*self.keys, key, i), item, header))
            else:
                at = (*self.keys, key, i)
                self.source.problem(at, f"{key} holds {item!r}", f"begin each with [[{header}]]")
        return tables

    def file(self, key: str, text: str, keys: Keys | None = None) -> Path:
        """The path of a file named relative to the kit's folder; a problem where there is none."""
        path = self.source.path.parent / text
        at = keys if keys is not None else (*self.keys, key)
        try:
            if path in self.source.coming or path.is_file():
                return path
            what = "is a folder, not a file" if path.is_dir() else "is not there"
            self.source.missing += 1
            guess = not path.is_dir() and self.source.missing <= _MOST_MISSING
            moved = found_again(path, self.source.path.parent) if guess else None
            near = _near_files(path) if guess and moved is None else []
        except (OSError, ValueError):
            what, near, moved = "is no name for a file", [], None
        remedy = f"write its path as seen from {self.folder()}"
        if near:
            remedy = f"did you mean {str(Path(text).parent / near[0])!r}?"
        if moved is not None:
            now = moved.relative_to(self.source.path.parent).as_posix()
            remedy = f"the same picture stands at {now!r} now: write that"
        self.source.problem(at, f"{key} {text!r} {what}", remedy)
        return path

    def folder(self) -> str:
        folder = self.source.path.parent
        return "the kit's own folder" if folder == Path() else str(folder)

    def close(self, elsewhere: Mapping[str, str] | None = None) -> None:
        """Judge the keys that were not asked for; `elsewhere` says where a key of another table belongs."""
        self.source.keys[".".join(key for key in self.keys if isinstance(key, str))] = tuple(self.known)
        unknown = [key for key in self.values if key not in self.known]
        if len(unknown) > _MOST_UNKNOWN:
            what = f"{self.title} has {len(unknown)} keys that palette does not know"
            self.problem(unknown[0], what, "is it the right file?")
            return
        words = KnownWords(self.known if unknown else ())
        for key in unknown:
            near = words.nearest(key)
            if near:
                self.problem(key, f"{self.title} has an unknown key {key!r}", f"did you mean {near!r}?")
            elif elsewhere and key in elsewhere:
                self.problem(key, f"{key!r} stands outside its table", f"put it under {elsewhere[key]}")
            else:
                line = self.line(key)
                what = f"{self.title} has a key {key!r} that palette does not know"
                self.source.warnings.append(
                    Problem(str(self.source.path), line, what, "it is kept, but not read")
                )


def nearest_word(word: str, known: Collection[str]) -> str | None:
    """The known word that `word` is most likely a slip for, if any.

    Two letters swapped, one wrong, missing or added in a word of four letters or more, another case,
    another joint (`same-as`), or a likeness of 0.8 by difflib: a rule that takes `yaer` for `year` and
    leaves `name` or `notes` alone.
    """
    return KnownWords(known).nearest(word)


class KnownWords:
    """Words to be asked time and again for the one that another is most likely a slip for."""

    def __init__(self, known: Iterable[str]) -> None:
        self._plain = {_plain(word): word for word in known}
        self._left = _MOST_COMPARED

    def nearest(self, word: str) -> str | None:
        """As `nearest_word`; after some hundred thousand comparisons only what differs in case or joints."""
        plain = _plain(word)
        if plain in self._plain:
            return self._plain[plain]
        if self._left < len(self._plain):
            return None
        self._left -= len(self._plain)
        close = get_close_matches(plain, self._plain, n=1, cutoff=0.8)
        if close:
            return self._plain[close[0]]
        for candidate, name in self._plain.items():
            if min(len(candidate), len(word)) >= 4 and _one_slip(plain, candidate):
                return name
        return None


def listed(words: Sequence[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


def figure(value: object) -> float | None:
    """A TOML number as a float, infinite where it is too large for one; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _reads_as_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _plain(word: str) -> str:
    return "".join(c for c in word.casefold() if c not in "-_ ")


def _one_slip(a: str, b: str) -> bool:
    if len(a) == len(b):
        wrong = [i for i in range(len(a)) if a[i] != b[i]]
        if len(wrong) == 2 and wrong[1] == wrong[0] + 1:
            return a[wrong[0]] == b[wrong[1]] and a[wrong[1]] == b[wrong[0]]
        return len(wrong) <= 1
    short, long = sorted((a, b), key=len)
    return len(long) == len(short) + 1 and any(long[:i] + long[i + 1 :] == short for i in range(len(long)))


def _near_files(path: Path) -> list[str]:
    if not path.parent.is_dir():
        return []
    names = sorted(entry.name for entry in path.parent.iterdir() if entry.is_file())
    likeness = {name: SequenceMatcher(None, name.casefold(), path.name.casefold()).ratio() for name in names}
    return sorted((n for n in names if likeness[n] >= 0.75), key=lambda n: -likeness[n])[:1]
