"""`palette swatches`: looking after lists of paints."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from palette.commands.answers import json_option, print_json

_LISTS = click.argument("lists", metavar="CSV...", nargs=-1, required=True, type=click.Path(path_type=Path))


@click.group("swatches")
def command() -> None:
    """Look after your lists of paints."""


@command.command("check")
@_LISTS
@json_option
def check(lists: tuple[Path, ...], as_json: bool) -> None:
    """Say what is wrong with swatch lists, every row at once.

    Errors are what makes a list unreadable: a bad number, an id used twice, half a colour. Remarks are
    what is probably a slip, while the list can be used: a hex that contradicts its Lab, a colour no
    paint can have, two paints nearly the same. Exit status 1 when there are errors, 0 when there are
    none; lists checked together must not share an id.
    """
    from palette.paints.checking import check as check_lists

    found = check_lists(lists)
    if as_json:
        print_json(
            {
                "schema": 1,
                "swatches": found.count,
                "problems": [
                    {
                        "file": problem.file,
                        "line": problem.line,
                        "problem": f"{problem.what}; {problem.remedy}" if problem.remedy else problem.what,
                        "kind": kind,
                    }
                    for kind, problem in found.all
                ],
            }
        )
    else:
        for remark in found.remarks:
            click.echo(f"remark: {remark}")
        paints = "1 paint" if found.count == 1 else f"{found.count} paints"
        click.echo(
            f"{paints}, {_counted(len(found.problems), 'error')}, {_counted(len(found.remarks), 'remark')}"
        )
    for problem in found.problems:
        click.echo(f"error: {problem}", err=True)
    if found.problems:
        sys.exit(1)


def _counted(count: int, word: str) -> str:
    return f"{count or 'no'} {word}{'' if count == 1 else 's'}"
