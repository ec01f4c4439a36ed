"""`palette scheme`: the colour of every part, and how sure it is."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import click

from palette.commands.answers import (
    answer_many,
    json_option,
    print_json,
    progress,
    read_kit,
    workers_options,
)


@click.command("scheme")
@click.argument("kits", nargs=-1, required=True, metavar="KIT...", type=click.Path(path_type=Path))
@workers_options
@json_option
def command(
    kits: tuple[Path, ...], jobs: int, workers: Callable[[], AbstractContextManager[None]], as_json: bool
) -> None:
    """Work out the colour of every part of KIT, and how sure it is.

    KIT is a kit.toml or its folder. Each picture is corrected by its anchors, then sampled. What the
    pictures say of a part is weighed. Where they disagree, that is shown and not averaged away.

    Several kits are worked on side by side. What is wrong with one is told, and the others are answered.

    \b
    Examples:
      palette scheme mycar
      palette scheme kits/* --jobs 4
    """
    if len(kits) > 1:
        from palette.shelf.many import scheme_of

        answer_many(scheme_of, kits, "scheme", "\n\n", jobs, workers, as_json)
        return
    (kit,) = kits
    from palette.commands.chips import chip
    from palette.paints.scheme import scheme
    from palette.report.scheme import scheme_json, scheme_text
    from palette.words import say

    read = read_kit(kit)
    with progress("Reading references:") as tell, progress("Looking for paints, parts:") as mixing:
        coloured = scheme(read, tell, mixing)
    for warning in coloured.warnings:
        click.echo(f"warning: {say(warning)}", err=True)
    if as_json:
        print_json(scheme_json(coloured))
    else:
        click.echo(scheme_text(coloured, chip))
