"""`palette grey`: likely colours of the parts seen only in grey."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, read_kit


@click.command("grey")
@click.argument("kit", type=click.Path(path_type=Path))
@click.option("--draws", type=click.IntRange(0, 100_000), default=0, help="Colours to draw for each part.")
@json_option
def command(kit: Path, draws: int, as_json: bool) -> None:
    """Weigh likely colours and paints for every part of KIT that a grey reference shows.

    KIT is a kit.toml or the folder it stands in.
    """
    from palette.grey import infer
    from palette.grey.answer import grey_json
    from palette.paints.kitlists import kit_swatches

    read = read_kit(kit)
    answer = infer(read, kit_swatches(read), draws=draws)
    for warning in answer.warnings:
        click.echo(f"warning: {warning}", err=True)
    if as_json:
        print_json(grey_json(answer))
