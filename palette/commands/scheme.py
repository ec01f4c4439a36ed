"""`palette scheme`: the colour of every part, and how sure it is."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option


@click.command("scheme")
@click.argument("kit", type=click.Path(path_type=Path))
@json_option
def command(kit: Path, as_json: bool) -> None:
    """Work out the colour of every part of KIT, and how sure it is.

    KIT is a kit.toml or the folder it stands in.
    """
    from palette.kit.model import Kit
    from palette.scheme import scheme
    from palette.scheme.answer import scheme_document, scheme_text

    found = scheme(Kit.read(kit))
    for warning in found.warnings:
        click.echo(f"warning: {warning}", err=True)
    if as_json:
        click.echo(scheme_document(found), nl=False)
    else:
        click.echo(scheme_text(found))
