"""`palette match`: the paints nearest to a colour."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from palette.commands.answers import (
    ListsCommand,
    asked,
    colour_options,
    json_option,
    language_option,
    light_asked,
    print_json,
    swatches_option,
)

if TYPE_CHECKING:
    from palette.paints.match import MatchedColour


@click.command("match", cls=ListsCommand)
@colour_options
@swatches_option
@click.option("--count", type=click.IntRange(1), default=5, show_default=True, help="Paints for each colour.")
@click.option(
    "--sheet",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write a sheet of swatches, .png or .pdf.",
)
@click.option(
    "--light", default="D65", show_default=True, metavar="NAME", help="The light they are to match under."
)
@language_option
@json_option
def command(
    colour: tuple[str, Any],
    lists: tuple[Path, ...],
    count: int,
    sheet: Path | None,
    light: str,
    language: str,
    as_json: bool,
) -> None:
    """Find the paints of your lists that are nearest to a colour, or to many.

    Give one colour, or many colours in a file. The answer is exact: no paint of the lists is nearer than
    those shown. Differences are CIEDE2000. With --light, the paints are put in order of their difference
    under that light, and both differences are printed. Sixty paints or more, the nearest in daylight, are
    compared so.

    \b
    Examples:
      palette match --hex '#7f8a66' --swatches bench.csv
      palette match --munsell '5GY 4/3' --swatches bench.csv depot.csv --count 3
      palette match --hex '#7f8a66' --swatches bench.csv --light A
      palette match --colours seen.csv --swatches bench.csv --sheet seen.pdf
    """
    from palette.paints.match import matched
    from palette.report.match import colour_json
    from palette.swatches.model import SwatchList

    if not lists:
        raise click.UsageError("give at least one list of paints with --swatches")
    named = light_asked(light)
    swatches = SwatchList.read(*lists)
    matches = matched(asked(colour, swatches), swatches, count, light=named)
    if sheet is not None:
        from palette.guide.sheet import write_sheet
        from palette.words.catalogue import Words

        write_sheet(sheet, matches, words=Words(language))
    if as_json:
        print_json({"schema": 1, "matches": [colour_json(one, with_id=True) for one in matches]})
    else:
        for i, one in enumerate(matches):
            if i:
                click.echo()
            print_matches(one, _lit(named) if one.under else "")
        if sheet is not None:
            click.echo(f"\nSheet written to {sheet}")


def _lit(light: str | float) -> str:
    from palette.words.catalogue import Words
    from palette.words.lights import under

    return under(light, Words("en"), exactly=True)


def print_matches(colour: MatchedColour, lit: str = "") -> None:
    """A colour and its paints for people: a chip where the terminal can, words and numbers in any case. `lit`
    says under what light, where it is not daylight."""
    from palette.commands.chips import chip
    from palette.words import shows

    share = "" if colour.share is None else f"{colour.share * 100:5.1f} %  "
    label = f"{colour.id}  " if colour.id and colour.id != colour.hex else ""
    lab = "  ".join(f"{value:z.1f}" for value in colour.lab)
    click.echo(f"{chip(colour.hex, 6)}{label}{share}{colour.name}  {colour.hex}  L*a*b* {lab}")
    widths = [max((len(text) for text in column), default=0) for column in zip(*_cells(colour), strict=True)]
    for i, (paint, cells) in enumerate(zip(colour.paints, _cells(colour), strict=True)):
        words = "  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True))
        gone = "  (retired)" if paint.retired else ""
        off, seen = paint.difference, ""
        if colour.under:
            off, seen = colour.under[i], f" {lit}, {paint.difference:.2f} in daylight"
        click.echo(f"  {chip(colour.paint_hex(paint))}{words}  {off:5.2f}{seen}  {shows(off)}{gone}")


def _cells(colour: MatchedColour) -> list[tuple[str, ...]]:
    return [(paint.swatch, paint.name, paint.range) for paint in colour.paints]
