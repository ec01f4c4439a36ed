"""`palette guide`: the painting guide to print."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, progress, read_kit


@click.command("guide")
@click.argument("kit", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="The folder to write into; made where it is missing.  [default: out, beside kit.toml]",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="The size of the page.",
)
@json_option
def command(kit: Path, out: Path | None, paper: str, as_json: bool) -> None:
    """Write the painting guide of KIT: guide.pdf, guide.html and scheme.json.

    KIT is a kit.toml or the folder it stands in. The three files replace those of an earlier run whole, or
    not at all.

    \b
    Example:
      palette guide marrow-bay --paper letter
    """
    from palette.guide import build
    from palette.kit.outputs import out_folder

    found = read_kit(kit)
    out = out_folder(found) if out is None else out
    with progress("Reading references:") as tell:
        paths = build(found, out, paper, tell)
    if as_json:
        print_json({"schema": 1, "files": [str(path) for path in paths]})
    else:
        for path in paths:
            click.echo(path)
