"""Problems as data: found anywhere, collected, and turned into `error: …` lines only at the doors."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


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
            where = f"{self.file}:{self.line}: " if self.line is not None else f"{self.file}: "
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
