"""The command line: one file a command, imported only when it is run.

A command reads its arguments, calls a room and prints; it computes nothing. The door here is where
problems become `error: …` lines on standard error and exit status 1, and where nothing ever becomes a
traceback.
"""

from __future__ import annotations

import errno
import os
import sys
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, NoReturn

import click

_LINE = 70  # characters of help for a command

# In the order of the work: section -> command (its module has the same name) -> one line of help.
SECTIONS = {
    "To begin": {
        "demo": "Lay out the demo kit and build its guide.",
        "new": "Start a kit of your own.",
    },
    "Pictures": {
        "sample": "Find the colours of a picture, and paints near them.",
        "add": "Copy pictures into a kit, each with its entry.",
        "references": "List a kit's pictures and what each still lacks.",
        "look": "Draw a reference as it is beside corrected.",
        "frames": "Take still frames from a video into a kit.",
    },
    "The scheme": {
        "grey": "Weigh likely colours where only grey survives.",
        "scheme": "Work out the colour of every part, and how sure it is.",
    },
    "Paints": {
        "match": "Find the paints nearest to a colour.",
        "mix": "Find mixtures for a colour, in whole drops.",
        "basket": "Find the fewest paints to buy for a kit.",
        "swatches": "Look after your lists of paints.",
    },
    "The guide": {
        "guide": "Write the painting guide, to print or to read on a screen.",
        "check": "Compare the painted test print with the scheme.",
    },
    "Giving it away": {
        "release": "Write the kit as one bundle, or check one.",
        "changes": "List what changed from one edition to another.",
        "shelf": "Build a site over many kits.",
    },
    "All of it": {
        "desk": "Do the same work in a browser, on this machine only.",
    },
}
COMMANDS = {name: text for section in SECTIONS.values() for name, text in section.items()}
_HELPERS = {"answers", "chips", "terminal"}


@cache
def _added() -> dict[str, str]:
    """Commands that somebody added as a file of this folder; only these are loaded for their line of help."""
    names = sorted({module.name for module in iter_modules(__path__)} - COMMANDS.keys() - _HELPERS)
    return {name: import_module(f"{__name__}.{name}").command.get_short_help_str(_LINE) for name in names}


def commands() -> dict[str, str]:
    """The commands there are, in the order of the work, each with a line of help."""
    return COMMANDS | _added()


class Door(click.Group):
    """The group of all commands, and the one place where what went wrong is said and counted."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(commands())

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in commands():
            return None
        command: click.Command = import_module(f"palette.commands.{name}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in commands() and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0], commands(), n=1)
            hint = f"did you mean {near[0]!r}?" if near else "see palette --help"
            ctx.fail(f"there is no command {args[0]!r}; {hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        width = max(map(len, commands()))
        for title, section in (SECTIONS | ({"More": _added()} if _added() else {})).items():
            with formatter.section(title):
                formatter.write_dl([(name.ljust(width), text) for name, text in section.items()])

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[Any]:
        from click.shell_completion import CompletionItem

        if incomplete.startswith("-"):
            return super().shell_complete(ctx, incomplete)
        names = [name for name in commands() if name.startswith(incomplete)]
        return [CompletionItem(name, help=commands()[name]) for name in names]

    def main(self, *args: Any, **settings: Any) -> Any:
        """Run; raises SystemExit with 0, 1 or 2, or 130 where the user stopped it."""
        from palette.commands.terminal import outputs
        from palette.errors import InputError

        with outputs() as finish:
            try:
                return super().main(*args, **settings)
            except InputError as error:  # help or a usage that cannot be printed
                _fail(*(str(problem) for problem in error.problems))
            except SystemExit as end:
                lost = finish()
                if lost is not None and not end.code:
                    _fail(str(lost))
                raise

    def invoke(self, ctx: click.Context) -> Any:
        from palette.errors import InputError

        try:
            return super().invoke(ctx)
        except InputError as error:
            _fail(*(str(problem) for problem in error.problems))
        except KeyboardInterrupt:
            click.echo("stopped", err=True)
            sys.exit(130)
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise  # click knows how to leave quietly when a reader has gone
            where = f"{error.filename}: " if error.filename is not None else ""
            reason = (error.strerror or str(error)).lower()
            _fail(f"{where}{reason}; make sure it is there, may be used and has room")
        except MemoryError:
            _fail("there is not enough memory for this; close other programs or use smaller pictures")
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except Exception as error:
            if os.environ.get("PALETTE_TRACEBACK"):
                raise
            what = " ".join(f"{type(error).__name__}: {error}".split())
            _fail(f"a fault in palette itself ({what}); PALETTE_TRACEBACK=1 shows where, please report it")


def _fail(*lines: str) -> NoReturn:
    for line in lines:
        click.echo(f"error: {line}", err=True)
    sys.exit(1)


@click.group(
    cls=Door,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Each command explains itself: palette scheme --help. A KIT is a kit.toml, or the folder it "
    "stands in. --json prints an answer for programs.",
)
@click.version_option(package_name="palette")
def group() -> None:
    """From surviving pictures to a paint scheme, with how sure each colour is, and a guide to paint from."""


def main(args: list[str] | None = None) -> None:
    """The `palette` command."""
    # The matrices here are many and small: threads for one of them cost more than they save.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    group.main(args=args, prog_name="palette")
