"""`palette sample`: the colours of a picture, and the paints nearest to them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from palette.commands.answers import ListsCommand, json_option, print_json, swatches_option

_PRINTED = 3  # paints of each colour, as on the sheet; the JSON has more


def _count(ctx: click.Context, parameter: click.Parameter, value: str) -> int | None:
    if value == "auto":
        return None
    if value.isdecimal() and 1 <= int(value) <= 30:
        return int(value)
    raise click.BadParameter(f"{value!r} is neither 'auto' nor a number from 1 to 30")


@click.command("sample", cls=ListsCommand)
@click.argument("images", metavar="IMAGE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--colours",
    "count",
    metavar="auto|N",
    default="auto",
    callback=_count,
    show_default=True,
    help="How many colours; auto decides, and says why.",
)
@swatches_option
@click.option(
    "--sheet",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write the picture beside its colours, .png or .pdf.",
)
@json_option
def command(
    images: tuple[Path, ...], count: int | None, lists: tuple[Path, ...], sheet: Path | None, as_json: bool
) -> None:
    """Find the painted colours of a picture, or of several taken together, and the paints nearest to them.

    One surface in sun and in shade is one colour: its colour in full light. Highlights and mixtures at
    edges are none. The picture's own light is not corrected for; a kit with anchors does that.

    \b
    Examples:
      palette sample tram.jpg
      palette sample tram.jpg --colours 6 --swatches bench.csv --sheet tram.png
    """
    from palette.report.match import found_json
    from palette.sample.pictured import FULL_LIGHT, sample
    from palette.swatches.model import SwatchList

    swatches = SwatchList.read(*lists) if lists else None
    result = sample(images, count, swatches)
    if sheet is not None:
        from palette.guide.sheet import write_sheet

        write_sheet(sheet, result.found, result.views)
    for note in result.notes:
        click.echo(f"warning: {note}", err=True)
    if as_json:
        print_json(
            {
                "schema": 1,
                "image": [
                    {
                        "file": str(view.file),
                        "width": view.width,
                        "height": view.height,
                        "profile": view.profile,
                    }
                    for view in result.views
                ],
                "reason": result.reason,
                "colours": [found_json(one) for one in result.found],
            }
        )
        return
    from palette.commands.match import print_found

    for view in result.views:
        click.echo(f"{view.file}  {view.width} × {view.height}  {view.profile}")
    click.echo(f"{result.reason}\n")
    for one in result.found:
        print_found(replace(one, paints=one.paints[:_PRINTED]))
    click.echo(f"\n{FULL_LIGHT}")
    if sheet is not None:
        click.echo(f"Sheet written to {sheet}")
