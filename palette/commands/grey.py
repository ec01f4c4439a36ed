"""`palette grey`: likely colours of the parts seen only in grey."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from palette.commands.answers import json_option, print_json, read_kit

if TYPE_CHECKING:
    from palette.colour.uncertain import Uncertain
    from palette.evidence.grey.answer import GreyAnswer
    from palette.kit.model import Kit


@click.command("grey")
@click.argument("kit", type=click.Path(path_type=Path))
@click.option(
    "--part", "names", metavar="PART", multiple=True, help="Only this part, however known; repeatable."
)
@click.option("--draws", type=click.IntRange(0, 100_000), default=0, help="Colours to draw for each part.")
@click.option(
    "--plot", metavar="FILE", type=click.Path(path_type=Path), help="Draw what remains: .png or .svg."
)
@click.option(
    "--as-seen", metavar="PART", help="Draw how a part's likeliest paints would have looked in grey."
)
@click.option(
    "--to",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Where --as-seen draws it (default: as-seen-PART.png in this folder).",
)
@json_option
def command(
    kit: Path,
    names: tuple[str, ...],
    draws: int,
    plot: Path | None,
    as_seen: str | None,
    to: Path | None,
    as_json: bool,
) -> None:
    """Weigh likely colours and paints for the parts of KIT of which only grey survives.

    KIT is a kit.toml or its folder. A grey level names no colour, but it rules most out. The answer is
    what remains, with its odds. Parts whose colour is known help to read the others. Use --part to see
    them, too. With --json every part that a grey reference shows is in the answer.

    \b
    Examples:
      palette grey mycar
      palette grey mycar --part waist --part dash
      palette grey mycar --plot remains.svg
      palette grey mycar --as-seen waist --to waist.png
    """
    from palette.evidence.grey import infer
    from palette.files import check_writable
    from palette.report.grey import grey_json
    from palette.swatches.kitlists import kit_swatches
    from palette.words import say

    if to is not None and as_seen is None:
        raise click.UsageError("--to says where --as-seen draws: give --as-seen PART too")
    target = to or Path(f"as-seen-{as_seen}.png")
    for path in (plot, target if as_seen is not None else None):
        if path is not None:
            check_writable(path)
    read = read_kit(kit)
    known = _known(read)
    answer = infer(read, kit_swatches(read), known, draws)
    wanted = _wanted(answer, read, names) or [p.part for p in answer.parts if p.part not in known]
    shown = replace(answer, parts=tuple(part for part in answer.parts if part.part in wanted))
    for warning in answer.warnings:
        click.echo(f"warning: {say(warning)}", err=True)
    if plot is not None or as_seen is not None:
        from palette.evidence.grey import plot as drawing

        if plot is not None:
            drawing.plot(shown if shown.parts else answer, plot)
            click.echo(f"wrote {plot}", err=True)
        if as_seen is not None:
            drawing.as_seen(answer, as_seen, target)
            click.echo(f"wrote {target}", err=True)
    if as_json:
        print_json(grey_json(shown if names else answer))
    else:
        from palette.report.grey import grey_text

        rest = [part.part for part in answer.parts if part.part not in wanted]
        click.echo(grey_text(shown, () if names else rest))


def _wanted(answer: GreyAnswer, kit: Kit, names: tuple[str, ...]) -> list[str]:
    """The parts asked for by name, each of which a grey reference has to show.

    Raises:
        InputError: with every name that is none.
    """
    from palette.errors import InputError, Problem
    from palette.kit.tables import nearest_word

    seen = [part.part for part in answer.parts]
    problems = []
    for name in dict.fromkeys(names):
        if name in seen:
            continue
        near = nearest_word(name, seen)
        remedy = f"did you mean {near!r}?" if near else f"those it shows: {', '.join(seen) or 'none'}"
        is_part = any(part.id == name for part in kit.parts)
        what = f"no grey reference shows the part {name!r}" if is_part else f"there is no part {name!r}"
        problems.append(Problem(str(kit.path), None, what, remedy))
    if problems:
        raise InputError.of(problems)
    return list(names)


def _known(kit: Kit) -> dict[str, Uncertain]:
    """Parts whose colour other evidence settles; nothing is asked where nothing could."""
    colour = any(r.tone == "colour" and r.subject == "original" and r.samples for r in kit.references)
    if not colour and all(part.colour is None for part in kit.parts):
        return {}
    from palette.colour.uncertain import Uncertain
    from palette.evidence.combine.build import colours

    settled, _ = colours(replace(kit, references=tuple(r for r in kit.references if r.tone == "colour")))
    return {
        p.part.id: Uncertain(p.lab, p.covariance)
        for p in settled.parts
        if p.basis in ("colour", "decision") and p.lab is not None and p.covariance is not None
    }
