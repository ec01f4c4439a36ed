"""`palette new`: start a kit."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("new")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def command(folder: Path) -> None:
    """Start a kit in DIR: a commented kit.toml, and folders for pictures and lists of paints.

    DIR may exist; nothing in it is overwritten.
    """
    from palette.kit.start import start

    for path in start(folder):
        click.echo(path)
    typed = f'"{folder}"' if " " in str(folder) else folder  # as every shell takes it
    click.echo(f"Name your parts in {folder / 'kit.toml'}, in any editor. Then:", err=True)
    click.echo(f"  palette add {typed} PICTURE   copies pictures in, with an entry each", err=True)
    click.echo(f"  palette desk {typed}          shows it all in a browser", err=True)
    click.echo(f"  palette scheme {typed}        says what colours it has so far", err=True)
