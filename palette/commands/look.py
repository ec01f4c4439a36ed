"""`palette look`: a reference as it is beside corrected."""

from __future__ import annotations

import re
from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, read_kit


@click.command("look")
@click.argument("kit", type=click.Path(path_type=Path))
@click.argument("reference", required=False)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="FILE.png",
    help="The PNG to write.  [default: out/look-REFERENCE.png, beside kit.toml]",
)
@json_option
def command(kit: Path, reference: str | None, out: Path | None, as_json: bool) -> None:
    """Draw a reference of KIT as it is beside corrected.

    Both pictures show the anchors (dashed, A1, A2 …) and the samples (solid, with their part). A table
    gives each anchor's colour as stated and as corrected, and the CIEDE2000 difference that remains. It
    also gives the difference if the other anchors alone corrected it. A kit with one reference needs no
    name.

    \b
    Example:
      palette look tram depot-slide --out look.png
    """
    from palette.errors import InputError, Problem
    from palette.evidence.combine.corrected import find
    from palette.evidence.pictures.looking import as_png, draw
    from palette.files import check_writable, make_folder, replace_whole
    from palette.kit.outputs import out_folder
    from palette.report.look import answer, look

    if out is not None and out.suffix.lower() != ".png":
        raise InputError(Problem(str(out), None, "is no name for a PNG", "let it end in .png"))
    read = read_kit(kit)
    if reference is None and len(read.references) == 1:
        reference = read.references[0].id
    if reference is None:
        ids = ", ".join(r.id for r in read.references)
        raise click.UsageError(f"which REFERENCE? The kit has {ids or 'none yet'}.")
    asked = find(read, reference)
    within = None
    if out is None:
        name = re.sub(r"[^\w.-]+", "-", reference)
        within = out_folder(read)
        out = within / f"look-{name}.png"
        make_folder(within)
    check_writable(out, within)
    drawn = look(read, asked)
    replace_whole(out, as_png(draw(drawn)), within)
    if as_json:
        print_json({"schema": 1, "reference": reference, "file": str(out), **answer(drawn)})
        return
    click.echo(f"{out}: {drawn.caption}" if drawn.correct else f"{out}: as it is")
    for row in drawn.rows:
        off = "its lightness is not known" if row.difference is None else f"{row.difference:.1f} remain"
        click.echo(f"  {row.label}  {row.words}: {off}" + (f"; {row.note}" if row.note else ""))
    for note in drawn.notes:
        click.echo(f"  {'!' if note in drawn.problems else '·'} {note}")
