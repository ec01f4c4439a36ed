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
    click.echo(f"Open {folder / 'kit.toml'} in any editor; then: palette scheme {folder}", err=True)
