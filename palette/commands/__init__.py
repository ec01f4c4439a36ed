"""The command line: one file a command, imported only when it is run.

A command reads its arguments, calls a room and prints; it computes nothing. The door here turns
`InputError` into `error: …` lines on standard error and exit status 1.
"""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any

import click

# name -> (module, one line for `palette --help`), in the order of the work
COMMANDS = {
    "demo": ("demo", "Lay out the demo kit and build its guide."),
    "new": ("new", "Start a kit of your own."),
    "sample": ("sample", "Find the colours of a picture."),
    "match": ("match", "Find the paints nearest to a colour."),
    "mix": ("mix", "Find mixtures for a colour, in whole drops."),
    "references": ("references", "List a kit's pictures and what each still lacks."),
    "look": ("look", "Draw a reference as it is beside corrected."),
    "frames": ("frames", "Take still frames from a video into a kit."),
    "grey": ("grey", "Weigh likely colours where only grey survives."),
    "scheme": ("scheme", "Work out the colour of every part, and how sure it is."),
    "basket": ("basket", "Find the fewest paints to buy for a kit."),
    "guide": ("guide", "Write the painting guide to print."),
    "check": ("check", "Compare the painted test print with the scheme."),
    "swatches": ("swatches", "Look after lists of paints."),
    "desk": ("desk", "Do the same work in a browser on this machine."),
}


class _Lazy(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        module = import_module(f"palette.commands.{COMMANDS[name][0]}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="palette")
def group() -> None:
    """From surviving pictures to a paint scheme with its uncertainty, and a guide to paint from."""


def main(args: list[str] | None = None) -> Any:
    """Run the command line; never a traceback for bad input."""
    from palette.errors import InputError

    try:
        group.main(args=args, prog_name="palette", standalone_mode=True)
    except InputError as error:
        for problem in error.problems:
            click.echo(f"error: {problem}", err=True)
        sys.exit(1)
