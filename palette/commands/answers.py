"""What the commands share: the colour options, the `--json` switch, and printing the answer."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

import click

from palette.commands.terminal import rewind

if TYPE_CHECKING:
    from palette.kit.model import Kit
    from palette.shelf.many import Answer, Said
    from palette.swatches.asked import Asked
    from palette.swatches.model import SwatchList

F = TypeVar("F", bound=Callable[..., Any])
_OURS = "en"


class Number(click.FloatRange):
    """A number within limits; nan and inf are none, which Python's own float takes for such."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        number = float(super().convert(value, param, ctx))
        if not math.isfinite(number):
            self.fail(f"{value!r} is no number", param, ctx)
        return number


def json_option(function: F) -> F:
    """Add `--json`: one JSON document on standard output and nothing else there."""
    return click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of text.")(
        function
    )


class _Languages(click.ParamType):  # type: ignore[type-arg]
    """A language of the catalogue; the catalogue is read only when one is named."""

    name = "language"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        if value == _OURS:
            return value
        from palette.words.catalogue import languages

        if value not in languages():
            self.fail(f"{value!r} is none of {', '.join(languages())}", param, ctx)
        return value


def language_option(function: F) -> F:
    """Add `--language`: that of the fixed words of what is printed."""
    return click.option(
        "--language",
        type=_Languages(),
        default=_OURS,
        show_default=True,
        help="The language of the fixed words.",
    )(function)


def workers_options(function: F) -> F:
    """Add `--jobs N` and `--backend dask --scheduler ADDRESS`: where many kits are worked on.

    The command gets `jobs`, as `palette.jobs.unordered` wants it, and `workers`, to be entered for the work.
    """

    @wraps(function)
    def command(*args: Any, jobs: int | None, backend: str, scheduler: str | None, **values: Any) -> Any:
        if (backend == "dask") != (scheduler is not None):
            raise click.UsageError("--backend dask and --scheduler ADDRESS go together")

        def workers() -> AbstractContextManager[None]:
            from palette.jobs import workers

            return workers(backend, scheduler)

        return function(*args, jobs=jobs or -1, workers=workers, **values)

    options = [
        click.option(
            "--jobs",
            type=click.IntRange(min=1),
            metavar="N",
            help="Kits worked on at once.  [default: one a core]",
        ),
        click.option(
            "--backend",
            type=click.Choice(["local", "dask"]),
            default="local",
            show_default=True,
            help="Where kits are worked on: in processes here, or on a Dask cluster.",
        ),
        click.option("--scheduler", metavar="ADDRESS", help="The Dask scheduler, as in tcp://host:8786."),
    ]
    made: Any = command
    for option in reversed(options):
        made = option(made)
    return cast(F, made)


class _Number(click.ParamType):  # type: ignore[type-arg]
    """One of the numbers of a notation."""

    name = "float"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        try:
            return float(value)
        except ValueError:
            count = 1 if param is None else param.nargs
            self.fail(f"{value!r} is no number, and it takes {count} of them", param, ctx)


def colour_options(function: F) -> F:
    """Add the ways of giving a colour: one option a notation, `--swatch ID` and `--colours FILE.csv`.

    The command gets one argument for them, `colour`: what `asked` turns into colours. Giving none, or
    more than one, is a wrong command line.
    """
    from palette.colour.notations import notations

    names = list(notations())

    @wraps(function)
    def command(*args: Any, **values: Any) -> Any:
        given = {name: values.pop(name) for name in (*names, "swatch", "colours")}
        given = {name: value for name, value in given.items() if value is not None}
        if len(given) != 1:
            *most, last = (f"--{name}" for name in (*names, "swatch", "colours"))
            raise click.UsageError(f"give one colour, by one of {', '.join(most)} or {last}")
        ((name, value),) = given.items()
        if name in notations():
            try:
                value = notations()[name].to_lab(value)
            except ValueError as error:
                raise click.BadParameter(str(error), param_hint=f"'--{name}'") from None
            words = " ".join(map(str, given[name])) if notations()[name].numbers > 1 else str(given[name])
            return function(*args, colour=(words, value), **values)
        return function(*args, colour=(name, value), **values)

    options = [
        *(
            click.option(
                f"--{n.name}", type=_Number() if n.numbers > 1 else str, nargs=n.numbers, help=n.help
            )
            for n in notations().values()
        ),
        click.option("--swatch", metavar="ID", help="The colour of a paint of the lists given."),
        click.option(
            "--colours",
            metavar="FILE.csv",
            type=click.Path(path_type=Path, allow_dash=True),
            help="Many colours: a CSV with columns id and hex, or id, lab_l, lab_a and lab_b; - reads it "
            "from standard input.",
        ),
    ]
    for option in reversed(options):
        command = option(command)
    return command  # type: ignore[return-value]


def asked(colour: tuple[str, Any], swatches: SwatchList) -> list[Asked]:
    """The colours that `colour_options` was given.

    Raises:
        InputError: no such swatch, or a file of colours that cannot be read.
    """
    from palette.swatches.asked import Asked, read_colours, swatch_colour

    name, value = colour
    if name == "swatch":
        return [swatch_colour(value, swatches)]
    if name == "colours":
        if str(value) == "-":
            from palette.files import decode, read_stream

            shown = Path("standard input")
            return read_colours(shown, decode(read_stream(sys.stdin.buffer, shown), shown))
        return read_colours(value)
    return [Asked(name, value)]


swatches_option = click.option(
    "--swatches",
    "lists",
    metavar="CSV...",
    multiple=True,
    type=click.Path(path_type=Path),
    help="One or more lists of your paints.",
)

_LIST_SUFFIXES = {".csv", ".tsv", ".txt", ".cgats", ".cxf", ".cie"}


class ListsCommand(click.Command):
    """A command whose `--swatches` takes several lists at once: `--swatches bench.csv depot.csv`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        spread: list[str] = []
        lists = False  # whether the word before was a list of --swatches
        for word in args:
            if lists and spread[-1] != "--swatches" and Path(word).suffix.lower() in _LIST_SUFFIXES:
                spread.append("--swatches")
            elif lists and spread[-1] != "--swatches":
                lists = False
            spread.append(word)
            lists = lists or word == "--swatches"
        return super().parse_args(ctx, spread)


def read_kit(path: Path) -> Kit:
    """The kit a command is given; keys in it that palette does not know are warned of.

    Raises:
        InputError: with every problem of the kit.
    """
    from palette.kit.read import read

    kit = read(path)
    for warning in kit.warnings:
        click.echo(f"warning: {warning}", err=True)
    return kit


def _plain(value: Any) -> Any:
    if hasattr(value, "tolist"):  # an array of NumPy, or one of its numbers
        return value.tolist()
    raise TypeError(f"{type(value).__name__} has no JSON form")


def print_json(answer: dict[str, Any]) -> None:
    """Print one JSON document; NumPy values become plain numbers."""
    click.echo(json.dumps(answer, default=_plain, ensure_ascii=False, allow_nan=False))


@contextmanager
def progress(label: str) -> Iterator[Callable[[int, int], None]]:
    """Something to call with (done, of how many): shown on standard error where that is a terminal, and
    wiped off in the end."""
    shown = sys.stderr.isatty()

    def tell(done: int, total: int) -> None:
        if shown:
            click.echo(f"{rewind()}{label} {done} of {total} ", nl=False, err=True)

    try:
        yield tell
    finally:
        if shown:
            click.echo(rewind(wipe=True), nl=False, err=True)


def answer_many(
    question: Callable[[Path], Said],
    kits: Sequence[Path],
    name: str,
    between: str,
    jobs: int,
    workers: Callable[[], AbstractContextManager[None]],
    as_json: bool,
) -> None:
    """Ask many kits one question, and print what they answer in their order: as text, with `between` between
    two, or as JSON, each answer under its `name`. How far it is and what is wrong are told as they come.

    Raises:
        SystemExit: 1, in the end, where something was wrong with one.
    """
    from palette.shelf.many import ask

    by_kit: dict[str, Answer[Said]] = {}
    names = list(dict.fromkeys(kits))
    with workers(), progress("Kits:") as tell:
        for one in ask(question, names, jobs):
            by_kit[one.kit] = one
            tell(len(by_kit), len(names))
    each = [by_kit[str(kit)] for kit in names]
    for line in (one.problem for one in each if one.problem):
        click.echo(line, err=True)
    answers = [one.answer for one in each if one.answer is not None]
    for line in (line for answer in answers for line in answer.lines):
        click.echo(line, err=True)
    if as_json:
        kits_said = [
            {"kit": one.kit, name: one.answer and one.answer.json, "problem": one.problem or None}
            for one in each
        ]
        print_json({"schema": 1, "kits": kits_said})
    elif answers:
        click.echo(between.join(answer.text for answer in answers))
    if len(answers) < len(each):
        sys.exit(1)


def light_asked(light: str) -> str | float:
    """A light as the command line names it: a name, or kelvins as a number.

    Raises:
        click.BadParameter: there is no such light.
    """
    from palette.colour.spaces import DAYLIGHT
    from palette.colour.spectra import light as light_named

    try:
        named: str | float = float(light)
    except ValueError:
        named = light
    if named != DAYLIGHT:
        try:
            light_named(named)
        except ValueError as error:
            raise click.BadParameter(str(error), param_hint="'--light'") from None
    return named
