"""`palette guide`: the painting guide to print."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from functools import partial
from pathlib import Path
from typing import Any

import click

from palette.commands.answers import (
    answer_many,
    json_option,
    language_option,
    print_json,
    progress,
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
      palette guide tram --paper letter
      palette guide tram --swatches my-paints.csv --out for-me
      palette guide kits/* --jobs 4
    """
    from palette.guide import build_from

    wanted: dict[str, Any] = {"paper": paper, "language": language, "swatches": lists, "mine": mine}
    if len(kits) > 1:
        from palette.shelf.many import guide_of

        question = partial(guide_of, outs=_outs(kits, out), **wanted)
        answer_many(question, kits, "files", "\n", jobs, workers, as_json)
        return
    with progress("Reading references:") as tell, progress("Looking for paints, parts:") as mixing:
        paths = build_from(kits[0], out, partial(click.echo, err=True), tell, mixing, **wanted)
    if as_json:
        print_json({"schema": 1, "files": [str(path) for path in paths]})
    else:
        for path in paths:
            click.echo(path)


def _outs(kits: Sequence[Path], out: Path | None) -> dict[str, Path]:
    """The folder for each of several kits in `out`; none where each is to have its own."""
    if out is None:
        return {}
    from palette.shelf.kits import slugs

    folders = {kit: (kit.parent if kit.suffix == ".toml" else kit).absolute() for kit in kits}
    named = slugs(list(dict.fromkeys(folders.values())), {})
    return {str(kit): out / named[str(folder)] for kit, folder in folders.items()}
