"""`palette guide`: the painting guide to print."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, language_option, print_json, progress, read_kit


@click.command("guide")
@click.argument("kit", type=click.Path(path_type=Path))
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
@json_option
def command(
    kit: Path, out: Path | None, paper: str, lists: tuple[Path, ...], mine: bool, language: str, as_json: bool
) -> None:
    """Write the painting guide of KIT: guide.pdf and guide.html to paint from, dossier.pdf with the evidence,
    and scheme.json.

    KIT is a kit.toml or the folder it stands in. The four files replace those of an earlier run whole, or
    not at all. The guide of a settled edition is not replaced by another scheme of the same version.

    \b
    Examples:
      palette guide marrow-bay --paper letter
      palette guide marrow-bay --swatches my-paints.csv --out for-me
    """
    from palette.guide import build
    from palette.kit.outputs import out_folder

    found = read_kit(kit)
    folder = out_folder(found) if out is None else out
    with progress("Reading references:") as tell:
        paths = build(found, folder, paper, tell, language=language, swatches=lists, mine=mine)
    if as_json:
        print_json({"schema": 1, "files": [str(path) for path in paths]})
    else:
        for path in paths:
            click.echo(path)
