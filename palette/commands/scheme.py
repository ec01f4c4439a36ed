"""`palette scheme`: the colour of every part, and how sure it is."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, progress, read_kit


@click.command("scheme")
@click.argument("kit", type=click.Path(path_type=Path))
@json_option
def command(kit: Path, as_json: bool) -> None:
    """Work out the colour of every part of KIT, and how sure it is.

    KIT is a kit.toml or its folder. Each picture is corrected by its anchors, then sampled. What the
    pictures say of a part is weighed. Where they disagree, that is shown and not averaged away.

    \b
    Example:
      palette scheme mycar
    """
    from palette.commands.chips import chip
    from palette.paints.scheme import scheme
    from palette.report.scheme import scheme_json, scheme_text
    from palette.words import say

    read = read_kit(kit)
    with progress("Reading references:") as tell, progress("Looking for paints, parts:") as mixing:
        found = scheme(read, tell, mixing)
    for warning in found.warnings:
        click.echo(f"warning: {say(warning)}", err=True)
    if as_json:
        print_json(scheme_json(found))
    else:
        click.echo(scheme_text(found, chip))
