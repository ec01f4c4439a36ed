"""One question asked of many kits side by side: what is wrong with one is told of it, and stops no other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Generic, TypeVar

from palette.errors import InputError
from palette.jobs import unordered
from palette.memory import MEMORY

R = TypeVar("R")


@dataclass(frozen=True)
class Answer(Generic[R]):
    """What a kit answered, or the lines of what is wrong with it."""

    kit: str  # its kit.toml or folder, as it was named
    answer: R | None
    problem: str = ""


@dataclass(frozen=True)
class Said:
    """An answer as it is printed, and the lines that go to standard error."""

    json: Any
    text: str
    lines: tuple[str, ...] = ()


def ask(question: Callable[[Path], R], kits: Sequence[Path], jobs: int = -1) -> Iterator[Answer[R]]:
    """The answer of each kit, as they come: from `jobs` processes (-1: one a core), or from the workers
    that `palette.jobs.workers` has chosen.

    Args:
        question: a function at the top level of a module, or a `partial` of one.
        kits: kit.toml files or their folders.
    """
    return unordered(partial(_asked, question), [str(kit) for kit in kits], jobs)


def _asked(question: Callable[[Path], R], kit: str) -> Answer[R]:
    try:
        return Answer(kit, question(Path(kit)))
    except InputError as error:
        return Answer(kit, None, "\n".join(f"error: {problem}" for problem in error.problems))
    except Exception as error:  # one kit never takes the others with it
        what = " ".join(f"{type(error).__name__}: {error}".split())
        return Answer(kit, None, f"error: {kit}: a fault in palette itself ({what}); please report it")
    finally:
        MEMORY.turn()


def scheme_of(kit: Path) -> Said:
    """A kit's scheme."""
    from palette.kit.read import read
    from palette.paints.scheme import scheme
    from palette.report.scheme import scheme_json, scheme_text
    from palette.words import say

    record = read(kit)
    made = scheme(record)
    warnings = [*map(str, record.warnings), *map(say, made.warnings)]
    lines = tuple(f"warning: {kit}: {warning}" for warning in warnings)
    return Said(scheme_json(made), scheme_text(made), lines)


def guide_of(kit: Path, outs: dict[str, Path], **wanted: Any) -> Said:
    """Write a kit's guide into its folder of `outs`, or beside its kit.toml; the paths."""
    from palette.guide import build_from

    lines: list[str] = []
    paths = [str(path) for path in build_from(kit, outs.get(str(kit)), lines.append, **wanted)]
    return Said(paths, "\n".join(paths), tuple(lines))
