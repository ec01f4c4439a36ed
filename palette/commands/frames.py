"""`palette frames`: still frames from a video into a kit."""

from __future__ import annotations

from pathlib import Path

import click

from palette.commands.answers import json_option, print_json
from palette.commands.terminal import styled


@click.command("frames")
@click.argument("video", type=click.Path(path_type=Path))
@click.option(
    "--at",
    "times",
    multiple=True,
    required=True,
    metavar="TIME",
    help="Where: 12:31.5, 1:02:31 or 751.5 (seconds). May be given several times.",
)
@click.option(
    "--into",
    "kit",
    required=True,
    type=click.Path(path_type=Path),
    metavar="KIT",
    help="The kit they are for.",
)
@click.option(
    "--around",
    metavar="SPAN",
    help="Average the still shot up to this far before and after, such as 0.5s, against noise and grain.",
)
@json_option
def command(video: Path, times: tuple[str, ...], kit: Path, around: str | None, as_json: bool) -> None:
    """Take still frames from VIDEO into a kit.

    Each frame becomes a 16-bit PNG among the kit's references. It gets an entry in kit.toml with the
    video's name and the time. The stream's own matrix, range, primaries and transfer are kept. Interlaced
    frames are deinterlaced. With --around, frames are averaged in linear light for as long as the shot is
    still.

    \b
    Example:
      palette frames ride.mp4 --at 12:31.5 --at 12:40 --into tram --around 0.5s

    Reading videos needs PyAV: pip install '.[video]' in palette's own folder.
    """
    from palette.errors import InputError, Problem
    from palette.evidence.pictures.frames import take
    from palette.evidence.pictures.video import LONGEST_AROUND, parse_span, parse_time

    seconds, problems = [], []
    for text in times:
        try:
            seconds.append(parse_time(text))
        except ValueError as error:
            problems.append(Problem(None, None, f"--at: {error}", "write it as 12:31.5, 1:02:31 or 751.5"))
    span = 0.0
    if around is not None:
        try:
            span = parse_span(around)
        except ValueError as error:
            remedy = f"write it as 0.5s or 500ms, at most {LONGEST_AROUND:g}s"
            problems.append(Problem(None, None, f"--around: {error}", remedy))
    if problems:
        raise InputError.of(problems)
    taken = take(video, seconds, kit, span)
    if as_json:
        print_json({"schema": 1, "frames": [_json(one) for one in taken]})
        return
    from palette.evidence.pictures.video import time_code
    from palette.words import say

    for one in taken:
        still = one.still
        height, width = still.levels.shape[:2]
        click.echo(styled(one.id, "1") + f"  {one.file}")
        facts = [
            f"{width} × {height}",
            f"matrix {still.matrix}",
            "full range" if still.full_range else "limited range",
            still.points.name,
        ]
        facts += ["deinterlaced"] if still.deinterlaced else []
        facts += [f"mean of {still.averaged} frames"] if still.averaged > 1 else []
        facts += ["no colour: entered in grey"] if one.tone == "grey" else []
        click.echo(f"    at {time_code(still.asked)}: " + "; ".join(facts))
        for note in still.notes:
            click.echo(f"  ! {say(note)}")
    click.echo("Mark parts and anchors on them next, and add whom to credit.")


def _json(one: object) -> dict[str, object]:
    from palette.evidence.pictures.frames import EnteredFrame
    from palette.evidence.pictures.video import time_code
    from palette.words import say

    assert isinstance(one, EnteredFrame)
    still = one.still
    height, width = still.levels.shape[:2]
    return {
        "reference": one.id,
        "file": str(one.file),
        "time": time_code(still.asked),
        "frame_time": time_code(still.seconds),
        "width": width,
        "height": height,
        "tone": one.tone,
        "matrix": still.matrix,
        "range": "full" if still.full_range else "limited",
        "profile": still.points.name,
        "deinterlaced": still.deinterlaced,
        "averaged": still.averaged,
        "notes": [say(note) for note in still.notes],
    }
