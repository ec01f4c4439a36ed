"""`palette release`: a kit as one bundle to give away."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from palette.commands.answers import json_option, print_json, progress, read_kit

if TYPE_CHECKING:
    from palette.shelf.bundle import Entry


@click.command("release")
@click.argument("kit", required=False, type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), metavar="ZIP", help="The bundle to write.")
@click.option("--draft", is_flag=True, help="Let it out as it is, with what is missing on its cover.")
@click.option(
    "--check", "bundle", type=click.Path(path_type=Path), metavar="ZIP", help="Check a bundle instead."
)
@json_option
def command(kit: Path | None, out: Path | None, draft: bool, bundle: Path | None, as_json: bool) -> None:
    """Write KIT as one bundle to give away, and file its edition under editions/ beside the kit.

    The bundle holds the guide on A4 and Letter, the dossier, the web page, scheme.json, the lists of paints,
    meshes and files that the kit names, licence, credits, and a manifest with the SHA-256 of each. What a
    stranger would miss, or what may not be given away, is said before anything is written.

    \b
    Examples:
      palette release tram --out tram-1.0.zip
      palette release --check tram-1.0.zip
    """
    from palette.shelf.bundle import check_bundle, release

    if bundle is not None:
        if kit is not None or out is not None or draft:
            raise click.UsageError("--check takes a bundle and nothing else")
        _print(check_bundle(bundle), as_json, f"{bundle}: every file is as it was let out.")
        return
    if kit is None or out is None:
        raise click.UsageError("name a KIT and --out ZIP, or --check ZIP")
    read = read_kit(kit)
    with progress("Reading references:") as tell:
        released = release(read, out, draft, tell)
    for problem in released.warnings:
        click.echo(f"warning: {problem}", err=True)
    _print(released.entries, as_json, str(out))


def _print(entries: tuple[Entry, ...], as_json: bool, last: str) -> None:
    if as_json:
        print_json({"schema": 1, "files": [vars(entry) for entry in entries]})
        return
    for entry in entries:
        click.echo(f"{entry.sha256[:12]}  {entry.bytes:>10,}  {entry.file}")
    click.echo(last)
