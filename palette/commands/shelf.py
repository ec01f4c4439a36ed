"""`palette shelf`: a static site over many kits."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, progress, workers_options


@click.command("shelf")
@click.argument("folders", nargs=-1, required=True, metavar="DIR...", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, metavar="SITE", help="The folder of the site."
)
@workers_options
@click.option(
    "--affected",
    "lists",
    nargs=2,
    type=click.Path(path_type=Path),
    metavar="OLD.csv NEW.csv",
    help="Mark the parts that a change of this list of paints touches.",
)
@click.option("--address", default="", metavar="URL", help="Where the site will stand, for its feed.")
@json_option
def command(
    folders: tuple[Path, ...],
    out: Path,
    jobs: int,
    workers: Callable[[], AbstractContextManager[None]],
    lists: tuple[Path, Path] | None,
    address: str,
    as_json: bool,
) -> None:
    """Build a site over all kits in each DIR, into SITE: a page to search, each kit's web guide, and a feed.

    Only what changed since the last time is built. A kit that cannot be read is named and keeps
    its old pages; the others are built all the same. The site needs no server: open SITE/index.html.

    \b
    Examples:
      palette shelf kits --out site
      palette shelf kits --out site --affected depot-2024.csv depot-2025.csv
    """
    from palette.shelf.site import shelf

    with workers(), progress("Building kits:") as tell:
        site = shelf(folders, out, jobs, lists, address, tell)
    for kit in site.kits:
        if kit.problem:
            click.echo(kit.problem, err=True)
    if as_json:
        print_json(
            {
                "schema": 1,
                "kits": [
                    {"kit": kit.folder, "built": kit.built, "problem": kit.problem or None}
                    for kit in site.kits
                ],
                "affected": [vars(one) for one in site.affected],
            }
        )
    else:
        for one in site.affected:
            off = "" if one.difference is None else f" ({one.difference:.1f} off)"
            use = f"; use {one.now}{off}" if one.now else ""
            click.echo(f"{one.kit}, {one.part}: {one.paint} is {one.what}{use}")
        built = sum(kit.built for kit in site.kits)
        count = f"{len(site.kits)} kit{'' if len(site.kits) == 1 else 's'}"
        click.echo(f"{out / 'index.html'}: {count}, {built} built")
    if any(kit.problem for kit in site.kits):
        sys.exit(1)
