"""Problems as data: found anywhere, collected, and turned into `error: …` lines only at the doors."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

# What tells a terminal or a reader what to do, and is no text: controls, ends of lines and paragraphs, and
# what turns the direction of writing round.
_CONTROLS = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def shown(text: str, keep: str = "") -> str:
    """Text with its control characters written out, as JSON does: `\\u001b` for escape; `keep` stays."""
    return _CONTROLS.sub(lambda match: match[0] if match[0] in keep else f"\\u{ord(match[0]):04x}", text)


def one_line(text: str) -> str:
    """A name that was written on several lines, on one: a line of an answer is not to be forged."""
    return " ".join(filter(None, map(str.strip, text.splitlines())))


@dataclass(frozen=True)
class Problem:
    """One thing wrong with one input: where it is, what is wrong, what to do about it."""

    file: str | None
    line: int | None
    what: str
    remedy: str = ""

    def __str__(self) -> str:
        where = ""
        if self.file is not None:
            file = shown(self.file)
            where = f"{file}:{self.line}: " if self.line is not None else f"{file}: "
        text = " ".join(self.what.split())
        remedy = " ".join(self.remedy.split())
        return f"{where}{text}; {remedy}" if remedy else f"{where}{text}"


class InputError(Exception):
    """One or more problems with the user's input; the commands print one line for each and exit 1."""

    def __init__(self, *problems: Problem | str) -> None:
        self.problems: tuple[Problem, ...] = tuple(
            problem if isinstance(problem, Problem) else Problem(None, None, problem) for problem in problems
        )
        super().__init__("\n".join(str(problem) for problem in self.problems))

    @classmethod
    def of(cls, problems: Iterable[Problem]) -> InputError:
        return cls(*problems)
