"""`palette references`: a kit's pictures and what each still lacks."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json, progress, read_kit
from palette.commands.terminal import styled


@click.command("references")
@click.argument("kit", type=click.Path(path_type=Path))
@json_option
def command(kit: Path, as_json: bool) -> None:
    """List the pictures of KIT and what each still lacks to be good evidence.

    KIT is a kit.toml or its folder. Each picture is listed with its size, kind, tone, light and credit.
    Below stands what is missing: a credit, an anchor, marked parts, pixels. A picture that shows the same
    as an earlier one is pointed out. It may be smaller, compressed again, mirrored, turned, cropped a
    little or edited in its tones.

    \b
    Example:
      palette references tram
    """
    from dataclasses import replace

    from palette.errors import InputError
    from palette.evidence.measure.measured import counted, measure_all, mixed
    from palette.evidence.pictures.references import survey
    from palette.report.references import status_json

    read = read_kit(kit)
    with progress("Reading references:") as tell:
        statuses = survey(read, tell)
    with progress("Reading samples:") as tell:
        measured = measure_all(read.references, str(read.path), tell)
    statuses = [
        replace(status, missing=(*status.missing, *mixed(status.reference, one)))
        for status, one in zip(counted(statuses, read.references, measured), measured, strict=True)
    ]
    if as_json:
        answers = [status_json(status) for status in statuses]
        print_json({"schema": 1, "kit": read.title, "references": answers})
    elif not statuses:
        click.echo("The kit has no references yet.")
    else:
        for status in statuses:
            _print(status)
        lacking = sum(bool(status.missing) for status in statuses)
        click.echo(
            f"{len(statuses)} reference{'s' if len(statuses) > 1 else ''}, {lacking} with a remark."
        )
    problems = [problem for status in statuses for problem in status.problems]
    if problems:
        raise InputError.of(problems)


def _print(status: object) -> None:
    from palette.evidence.pictures.references import ReferenceStatus
    from palette.words import say

    assert isinstance(status, ReferenceStatus)
    reference, glance = status.reference, status.glance
    size = f"{glance.width} × {glance.height}" if glance else "not read"
    facts = [size, reference.kind, "in colour" if reference.tone == "colour" else "in grey"]
    if reference.subject == "painted":
        facts.append("of the painted model")
    if reference.year is not None:
        facts.append(str(reference.year))
    if reference.light is not None:
        facts.append(
            f"{reference.light:g} K" if isinstance(reference.light, float | int) else reference.light
        )
    facts.append(_count(len(reference.anchors), "anchor"))
    facts.append(_count(len(reference.samples), "sample"))
    click.echo(styled(reference.id, "1") + f"  {', '.join(facts)}")
    if reference.credit:
        click.echo(f"    credit: {reference.credit}")
    for note in status.missing:
        click.echo(f"  ! {say(note)}")
    click.echo()


def _count(number: int, thing: str) -> str:
    return f"{number or 'no'} {thing}{'' if number == 1 else 's'}"
