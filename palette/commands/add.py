"""`palette add`: pictures into a kit."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json


@click.command("add")
@click.argument("kit", type=click.Path(path_type=Path))
@click.argument("pictures", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PICTURE…")
@json_option
def command(kit: Path, pictures: tuple[Path, ...], as_json: bool) -> None:
    """Copy pictures into a kit, each with an entry of its own.

    Each PICTURE goes into the kit's folder of references and gets a [[reference]] in its kit.toml. The
    year is taken from the file where it states one. A picture without colour is entered in grey. Check
    both and correct what is wrong: a scan carries the date of the scan. A folder stands for all pictures
    in it.

    \b
    Example:
      palette add tram scans/depot-slide.tif holiday.jpg
    """
    from palette.evidence.pictures.adding import add, pictures_in
    from palette.kit.read import find

    named = [path for given in pictures for path in (pictures_in(given) if given.is_dir() else [given])]
    if not named:
        from palette.errors import InputError, Problem

        remedy = "name a picture, or another folder"
        raise InputError(Problem(str(pictures[0]), None, "holds no picture", remedy))
    added = add(kit, named)
    folder = find(kit).parent
    if as_json:
        references = [
            {
                "id": one.id,
                "file": one.file.relative_to(folder).as_posix(),
                "width": one.width,
                "height": one.height,
                "year": one.year,
                "tone": one.tone,
            }
            for one in added
        ]
        print_json({"schema": 1, "references": references})
        return
    for one in added:
        year = f", {one.year}" if one.year is not None else ""
        click.echo(f"{one.id}: {one.file.relative_to(folder)}, {one.width} × {one.height}, {one.tone}{year}")
