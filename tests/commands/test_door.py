"""The front door: help, completion, and what starting it costs."""

from __future__ import annotations

import os
import subprocess
import sys

from click.testing import CliRunner

from palette.commands import COMMANDS, SECTIONS, group

HEAVY = (
    "numpy",
    "scipy",
    "sklearn",
    "PIL",
    "colour",
    "typst",
    "flask",
    "tomlkit",
    "palette.kit",
    "palette.colour",
)


def modules_after(arguments: list[str], **environment: str) -> tuple[str, set[str]]:
    """What a run prints, and the modules it has imported by its end."""
    code = (
        "import sys\nfrom palette.commands import main\n"
        f"try: main({arguments!r})\nexcept SystemExit: pass\n"
        "print('\\n'.join(sys.modules), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env={**os.environ, **environment}
    )
    return done.stdout, set(done.stderr.split())


def commands(modules: set[str]) -> set[str]:
    return {module for module in modules if module.removeprefix("palette.commands.") in COMMANDS}


def test_help_names_every_command_in_the_order_of_the_work() -> None:
    shown = CliRunner().invoke(group, ["--help"]).stdout
    titles = [shown.index(f"\n{title}:\n") for title in SECTIONS]
    commands = [shown.index(f"\n  {name:10}  ") for name in COMMANDS]
    assert titles == sorted(titles) and commands == sorted(commands)
    assert all(len(row) <= 80 for row in shown.splitlines())


def test_help_imports_nothing_heavy() -> None:
    # fails when a command module, or anything it needs, is imported before it is asked for
    shown, modules = modules_after(["--help"])
    assert "Usage: palette" in shown
    assert not modules.intersection(HEAVY) and not commands(modules)


def test_completion_knows_commands_without_importing_them() -> None:
    shown, modules = modules_after(
        [], _PALETTE_COMPLETE="bash_complete", COMP_WORDS="palette s", COMP_CWORD="1"
    )
    assert shown.split() == [f"plain,{name}" for name in COMMANDS if name.startswith("s")]
    assert not modules.intersection(HEAVY) and not commands(modules)


def test_completion_knows_subcommands_options_and_files() -> None:
    def completed(words: str) -> list[str]:
        place = {"COMP_WORDS": words, "COMP_CWORD": str(words.count(" "))}
        return modules_after([], _PALETTE_COMPLETE="bash_complete", **place)[0].split()

    assert "plain,check" in completed("palette swatches c")
    assert "plain,--json" in completed("palette scheme --")
    assert completed("palette scheme k") == ["file,k"]


def test_a_slip_in_a_command_is_answered_with_the_right_one() -> None:
    done = CliRunner().invoke(group, ["swathces"])
    assert done.exit_code == 2 and "did you mean 'swatches'?" in done.stderr
