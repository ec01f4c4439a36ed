"""`palette sample`: the colours of a picture, and the paints nearest to them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from palette.commands.answers import ListsCommand, json_option, language_option, print_json, swatches_option

if TYPE_CHECKING:
    from palette.kit.model import Region

_PRINTED = 3  # paints of each colour, as on the sheet; the JSON has more


def _count(ctx: click.Context, parameter: click.Parameter, value: str) -> int | None:
    if value == "auto":
        return None
    if value.isdecimal() and 1 <= int(value) <= 30:
        return int(value)
    raise click.BadParameter(f"{value!r} is neither 'auto' nor a number from 1 to 30")


def _regions(ctx: click.Context, parameter: click.Parameter, values: tuple[str, ...]) -> list[Region]:
    """X,Y,W,H is a rectangle; three or more corners X,Y,X,Y,X,Y… are a polygon."""
    import math

    from palette.kit.model import Polygon, Rect

    regions: list[Region] = []
    for value in values:
        try:
            numbers = [float(word) for word in value.replace(" ", ",").split(",") if word]
        except ValueError:
            numbers = []
        finite = all(math.isfinite(number) for number in numbers)
        if finite and len(numbers) == 4 and min(numbers[2:]) > 0:
            regions.append(Rect(*numbers))
        elif finite and len(numbers) >= 6 and len(numbers) % 2 == 0:
            regions.append(Polygon(tuple(zip(numbers[::2], numbers[1::2], strict=True))))
        else:
            raise click.BadParameter(f"{value!r} is neither X,Y,W,H nor three corners X,Y,X,Y,X,Y or more")
    return regions


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
    "--within",
    metavar="X,Y,W,H",
    multiple=True,
    callback=_regions,
    help="Only this part, in pixels: a rectangle, or the corners X,Y,X,Y,X,Y… of the subject. "
    "Once for all pictures, or once for each.",
)
@click.option(
    "--white",
    metavar="X,Y,W,H",
    multiple=True,
    callback=_regions,
    help="A white surface: the colours are corrected by it.",
)
@click.option(
    "--grey",
    metavar="X,Y,W,H",
    multiple=True,
    callback=_regions,
    help="The same with a grey surface; how light the picture is stays.",
)
@click.option(
    "--without-background",
    is_flag=True,
    help="Leave out what runs along the edge of the picture: sky, a wall, a table.",
)
@click.option(
    "--sheet",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write the picture beside its colours, .png or .pdf.",
)
@language_option
@json_option
def command(
    images: tuple[Path, ...],
    count: int | None,
    lists: tuple[Path, ...],
    within: list[Region],
    white: list[Region],
    grey: list[Region],
    without_background: bool,
    sheet: Path | None,
    language: str,
    as_json: bool,
) -> None:
    """Find the painted colours of one or more pictures, and the paints nearest to them.

    One surface in sun and in shade counts as one colour: its colour in full light. Highlights and mixed
    edges count as none. Name a white or grey place, and the picture's own light is corrected by it. A kit
    with anchors corrects better.

    \b
    Examples:
      palette sample tram.jpg
      palette sample tram.jpg --colours 6 --swatches bench.csv --sheet tram.png
      palette sample tram.jpg --within 120,80,400,260 --white 300,90,20,12
    """
    from palette.report.match import colour_json
    from palette.sample.pictured import FULL_LIGHT, Places, sample
    from palette.swatches.model import SwatchList
    from palette.words import say

    if white and grey:
        raise click.UsageError("give --white or --grey, not both")
    for name, given in (("--within", within), ("--white", white), ("--grey", grey)):
        if len(given) > 1 and len(given) != len(images):
            raise click.UsageError(f"give {name} once, or once for each of the {len(images)} pictures")
    swatches = SwatchList.read(*lists) if lists else None
    places = Places(within, white or grey, bool(white))
    result = sample(images, count, swatches, places, not without_background)
    if sheet is not None:
        from palette.guide.sheet import write_sheet
        from palette.words.catalogue import Words

        write_sheet(sheet, result.colours, result.pictures, Words(language))
    for note in result.notes:
        click.echo(f"warning: {say(note)}", err=True)
    if as_json:
        print_json(
            {
                "schema": 1,
                "image": [
                    {
                        "file": str(picture.file),
                        "width": picture.width,
                        "height": picture.height,
                        "profile": picture.profile,
                    }
                    for picture in result.pictures
                ],
                "reason": say(result.reason),
                "colours": [
                    {**colour_json(one), "background": behind}
                    for one, behind in zip(result.colours, result.background, strict=True)
                ],
            }
        )
        return
    from palette.commands.match import print_matches

    for picture in result.pictures:
        click.echo(f"{picture.file}  {picture.width} × {picture.height}  {picture.profile}")
    click.echo(f"{say(result.reason)}\n")
    for one in result.colours:
        print_matches(replace(one, paints=one.paints[:_PRINTED]))
    click.echo(f"\n{FULL_LIGHT}")
    if any(result.background):
        numbers = [
            f"{one.name} ({one.hex})" for one, b in zip(result.colours, result.background, strict=True) if b
        ]
        click.echo(
            f"Along the edge of the picture lies {' and '.join(numbers)}: --without-background leaves it out."
        )
    if sheet is not None:
        click.echo(f"Sheet written to {sheet}")
