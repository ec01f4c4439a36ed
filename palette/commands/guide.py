"""`palette guide`: the painting guide to print."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import click

from palette.commands.answers import (
    answers_of_many,
    json_option,
    language_option,
    print_json,
    progress,
    read_kit,
    workers_options,
)


@click.command("guide")
@click.argument("kits", nargs=-1, required=True, metavar="KIT...", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="The folder to write into; made where it is missing.  [default: out, beside kit.toml]",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="The size of the page.",
)
@click.option(
    "--swatches",
    "lists",
    type=click.Path(path_type=Path),
    multiple=True,
    metavar="CSV",
    help="Make the guide for the paints of this list instead of the kit's. May be given again.",
)
@click.option("--mine", is_flag=True, help="Print which paints you own. Without it the guide does not say.")
@language_option
@workers_options
@json_option
def command(
    kits: tuple[Path, ...],
    out: Path | None,
    paper: str,
    lists: tuple[Path, ...],
    mine: bool,
    language: str,
    jobs: int,
    workers: Callable[[], AbstractContextManager[None]],
    as_json: bool,
) -> None:
    """Write the painting guide of KIT: guide.pdf and guide.html to paint from, dossier.pdf with the evidence,
    and scheme.json.

    KIT is a kit.toml or the folder it stands in. The four files replace those of an earlier run whole, or
    not at all. The guide of a settled edition is not replaced by another scheme of the same version.

    Several kits are worked on side by side, each into a folder of its own: with --out, one of its name in
    DIR. What is wrong with one is told, and the others are built.

    \b
    Examples:
      palette guide marrow-bay --paper letter
      palette guide marrow-bay --swatches my-paints.csv --out for-me
      palette guide kits/* --jobs 4
    """
    wanted: dict[str, Any] = {"paper": paper, "language": language, "swatches": lists, "mine": mine}
    if len(kits) > 1:
        _many(kits, out, wanted, jobs, workers, as_json)
        return
    from palette.guide import build
    from palette.kit.outputs import out_folder
    from palette.paints.basket import looked_at_straight
    from palette.swatches.kitlists import kit_swatches
    from palette.swatches.model import SwatchList

    read = read_kit(kits[0])
    folder = out_folder(read) if out is None else out
    with progress("Reading references:") as tell, progress("Looking for paints, parts:") as mixing:
        paths = build(read, folder, progress=tell, mixing=mixing, **wanted)
    if straight := looked_at_straight(kit_swatches(read) if not lists else SwatchList.read(*lists)):
        said = f"note: the lists are long, so {straight} paints were looked at straight, not in mixtures"
        click.echo(said, err=True)
    if as_json:
        print_json({"schema": 1, "files": [str(path) for path in paths]})
    else:
        for path in paths:
            click.echo(path)


def _many(
    kits: tuple[Path, ...],
    out: Path | None,
    wanted: dict[str, Any],
    jobs: int,
    workers: Callable[[], AbstractContextManager[None]],
    as_json: bool,
) -> None:
    from functools import partial

    from palette.shelf.kits import slugs
    from palette.shelf.many import guide_of

    folders = {kit: (kit.parent if kit.suffix == ".toml" else kit).absolute() for kit in kits}
    named = slugs(list(dict.fromkeys(folders.values())), {})
    outs = {} if out is None else {str(kit): out / named[str(folder)] for kit, folder in folders.items()}
    answers = answers_of_many(partial(guide_of, outs=outs, **wanted), kits, jobs, workers)
    for one in answers:
        for warning in one.answer[1] if one.answer else ():
            click.echo(f"warning: {warning}", err=True)
    if as_json:
        each = [
            {"kit": one.kit, "files": one.answer and one.answer[0], "problem": one.problem or None}
            for one in answers
        ]
        print_json({"schema": 1, "kits": each})
    else:
        for one in answers:
            for path in one.answer[0] if one.answer else ():
                click.echo(path)
    if any(one.problem for one in answers):
        sys.exit(1)
