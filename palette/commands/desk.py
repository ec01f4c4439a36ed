"""`palette desk`: the same work in a browser."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from palette.desk.bench import Desk


@click.command("desk")
@click.argument("kit", required=False, type=click.Path(path_type=Path))
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    help="The port to listen at.  [default: any that is free]",
)
@click.option("--no-browser", is_flag=True, help="Only print the address; open no browser.")
def command(kit: Path | None, port: int, no_browser: bool) -> None:
    """Do the same work in a browser, on this machine only.

    KIT is a kit.toml or the folder it stands in; without it, the first page opens or starts one. Nothing is
    sent over a network: the desk answers this machine alone. The address that is printed lets one browser in,
    once; when it has been used, opening it again prints another. Ctrl-C in the terminal closes the desk.

    \b
    Example:
      palette desk mycar
    """
    from palette.desk.server import serve

    def ready(desk: Desk, address: Callable[[], str]) -> None:
        desk.tickets.renew = lambda: click.echo(address())
        click.echo(address())
        click.echo(
            "The desk is open at that address, for one browser, on this machine only; Ctrl-C closes it.",
            err=True,
        )
        if not no_browser and not _opened(address()):
            click.echo("No browser could be opened from here: paste the address into one.", err=True)

    serve(kit, port, ready)
    click.echo("closed", err=True)


def _opened(address: str) -> bool:
    """Whether the system's browser was asked to show an address; what it says of itself is kept silent."""
    if sys.platform in ("darwin", "win32"):
        return click.launch(address) == 0
    opener = shutil.which("xdg-open")
    if opener is None or not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER")):
        return False
    nothing = subprocess.DEVNULL
    subprocess.Popen([opener, address], stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True)
    return True
