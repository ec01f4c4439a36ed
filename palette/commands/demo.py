"""`palette demo DIR`: lay out the demo kit and build its guide."""

from __future__ import annotations

from pathlib import Path

import click


@click.command(short_help="Lay out the demo kit and build its guide.")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Paper of the guide.",
)
def command(folder: Path, paper: str) -> None:
    """Lay the demo kit into DIR and build its guide there.

    DIR is made; a folder that already holds something is left alone.

    \b
    Example:
      palette demo tram
    """
    from palette.guide import build
    from palette.kit.model import Kit
    from swatches_demo import lay_out

    kit_file = lay_out(folder)
    click.echo(f"{kit_file}: the demo kit", err=True)
    for path in build(Kit.read(kit_file), folder / "out", paper):
        click.echo(path)
