"""`palette changes`: what changed from one edition of a kit to another."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, progress, read_kit


@click.command("changes")
@click.argument("kit", type=click.Path(path_type=Path))
@click.argument("old", required=False)
@click.argument("new", required=False)
@json_option
def command(kit: Path, old: str | None, new: str | None, as_json: bool) -> None:
    """List the parts of KIT that are another colour in edition NEW than they were in edition OLD.

    OLD and NEW are versions that palette release has let out. Without NEW it is the kit as it stands now;
    without OLD, the edition let out last.

    \b
    Examples:
      palette changes tram
      palette changes tram 1.0 1.1
    """
    from palette.report.changes import changes_json, changes_text
    from palette.shelf.comparing import compare

    read = read_kit(kit)
    with progress("Reading references:") as tell:
        comparison = compare(read, old, new, tell)
    if as_json:
        print_json(changes_json(comparison))
    else:
        click.echo(changes_text(comparison))
