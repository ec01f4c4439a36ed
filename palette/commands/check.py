"""`palette check`: the painted test print against the scheme."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, progress, read_kit


@click.command("check")
@click.argument("kit", type=click.Path(path_type=Path))
@json_option
def command(kit: Path, as_json: bool) -> None:
    """Compare the painted test print with the scheme of KIT.

    KIT is a kit.toml or its folder. Add a photograph of the print as a reference with subject =
    "painted", and mark its parts as samples. A grey card or other anchors in the picture make the answer
    surer.

    \b
    Example:
      palette check mycar
    """
    from palette.guide.editions import since_settled
    from palette.paints.check import check
    from palette.report.scheme import check_json, check_text
    from palette.words import say

    read = read_kit(kit)
    with progress("Reading references:") as tell:
        checked = check(read, tell)
    for warning in (*checked.warnings, *since_settled(checked.scheme)):
        click.echo(f"warning: {say(warning)}", err=True)
    if as_json:
        print_json(check_json(checked))
    else:
        click.echo(check_text(checked))
