"""`palette swatches`: looking after lists of paints."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from palette.paints.card.reading import CardReading, Colour
    from palette.swatches.model import Swatch

from palette.commands.answers import (
    ListsCommand,
    Number,
    json_option,
    language_option,
    print_json,
    swatches_option,
)
from palette.errors import one_line

_LISTS = click.argument("lists", metavar="CSV...", nargs=-1, required=True, type=click.Path(path_type=Path))


@click.group("swatches")
def command() -> None:
    """Look after your lists of paints."""


@command.command("check")
@_LISTS
@json_option
def check(lists: tuple[Path, ...], as_json: bool) -> None:
    """Say what is wrong with swatch lists, every row at once.

    An error makes a list unreadable: a bad number, an id used twice, half a colour. A remark is probably a
    slip, and the list can be used: a hex that contradicts its Lab, a colour that no paint can have, two
    paints nearly the same. Lists that are checked together must not share an id. The exit status is 1 where
    there are errors, else 0.
    """
    from palette.paints.checking import check as check_lists

    checked = check_lists(lists)
    if as_json:
        print_json(
            {
                "schema": 1,
                "swatches": checked.count,
                "problems": [
                    {
                        "file": problem.file,
                        "line": problem.line,
                        "problem": f"{problem.what}; {problem.remedy}" if problem.remedy else problem.what,
                        "kind": kind,
                    }
                    for kind, problem in checked.all
                ],
            }
        )
    else:
        for remark in checked.remarks:
            click.echo(f"remark: {remark}")
        paints = "1 paint" if checked.count == 1 else f"{checked.count} paints"
        errors, remarks = _counted(len(checked.problems), "error"), _counted(len(checked.remarks), "remark")
        click.echo(f"{paints}, {errors}, {remarks}")
    for problem in checked.problems:
        click.echo(f"error: {problem}", err=True)
    if checked.problems:
        sys.exit(1)


@command.command("mark")
@click.argument("file", metavar="CSV", type=click.Path(path_type=Path))
@click.argument("ids", metavar="ID...", nargs=-1, required=True)
@click.option("--owned/--not-owned", default=None, help="Whether you have it.")
@click.option("--retired/--not-retired", default=None, help="Whether it is no longer made.")
def mark(file: Path, ids: tuple[str, ...], owned: bool | None, retired: bool | None) -> None:
    """Mark paints of a list as owned or retired.

    Only the rows that you name are written. The rest of the file stays as it is, byte for byte.
    """
    from palette.errors import InputError
    from palette.files import again_if_changed
    from palette.swatches.writing import ListDraft

    marks = {name: value for name, value in (("owned", owned), ("retired", retired)) if value is not None}
    if not marks:
        raise click.UsageError("say what to mark: --owned, --not-owned, --retired or --not-retired")
    ids = tuple(dict.fromkeys(ids))

    def write() -> bool:
        draft = ListDraft(file)
        if wrong := [problem for problem in map(draft.wrong, ids) if problem]:
            raise InputError.of(wrong)
        for id in ids:
            for column, value in marks.items():
                draft.set(id, column, "yes" if value else "no")
        return draft.save()

    written = again_if_changed(write)
    words = " and ".join(name if value else f"not {name}" for name, value in marks.items())
    now = "now" if written else "already, so nothing was written"
    click.echo(f"{file}: {', '.join(ids)} {'is' if len(ids) == 1 else 'are'} {words} {now}")


@command.command("merge")
@_LISTS
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The CSV to write.")
@click.option("--later-wins", is_flag=True, help="Where lists differ on a paint, keep the later list's row.")
def merge(lists: tuple[Path, ...], out: Path, later_wins: bool) -> None:
    """Put several lists together into one CSV.

    Instrument exports are read, too. Where --out is one of the lists, only what is new or different is
    written into it. The rest stays as it is, byte for byte.
    """
    from palette.files import again_if_changed, replace_whole
    from palette.swatches.lists import merge as merge_lists
    from palette.swatches.lists import merge_into

    if out.resolve() in {path.resolve() for path in lists}:
        count, touched = again_if_changed(lambda: merge_into(out, lists, later_wins))
        click.echo(f"{out}: {_counted(count, 'paint')}, {_counted(touched, 'row')} changed or added")
        return
    text, count = merge_lists(lists, later_wins)
    replace_whole(out, text)
    click.echo(f"{out}: {_counted(count, 'paint')}")


@command.command("changes")
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path))
@json_option
def changes(old: Path, new: Path, as_json: bool) -> None:
    """List what changed between two versions of a list."""
    from palette.swatches.lists import changes as compare

    differences = compare(old, new)
    if as_json:
        print_json(
            {
                "schema": 1,
                "added": [{"swatch": id, "name": name} for id, name in differences.added],
                "removed": [{"swatch": id, "name": name} for id, name in differences.removed],
                "changed": [
                    {
                        "swatch": paint.id,
                        "name": paint.name,
                        "cells": [{"column": c, "before": b, "after": a} for c, b, a in paint.cells],
                        "difference": paint.difference,
                    }
                    for paint in differences.changed
                ],
            }
        )
        return
    for word, paints in (("added", differences.added), ("removed", differences.removed)):
        for id, name in paints:
            click.echo(f"{word:<7}  {one_line(f'{id}  {name}')}")
    for paint in differences.changed:
        off = f"  (colour {paint.difference:.1f} away)" if paint.difference else ""
        said = ", ".join(f"{c} {b or 'blank'} → {a or 'blank'}" for c, b, a in paint.cells[:6])
        more = f", and {len(paint.cells) - 6} more" if len(paint.cells) > 6 else ""
        click.echo(f"changed  {one_line(f'{paint.id}  {paint.name}: {said}{more}{off}')}")
    if not (differences.added or differences.removed or differences.changed):
        click.echo("nothing changed")


@command.command("replacements")
@_LISTS
@click.option("--for", "ids", metavar="ID", multiple=True, help="This paint, retired or not; repeatable.")
@click.option("--count", default=3, show_default=True, type=click.IntRange(1), help="How many for each.")
@json_option
def replacements(lists: tuple[Path, ...], ids: tuple[str, ...], count: int, as_json: bool) -> None:
    """Find the nearest paints still sold for each retired one.

    They are of the same kind, and of any range.
    """
    from palette.paints.choosing.proposals import choice
    from palette.report.scheme import paint_json
    from palette.swatches.lists import replacements as find

    replaced = find(lists, ids, count)
    if as_json:
        print_json(
            {
                "schema": 1,
                "retired": [
                    {
                        "swatch": each.swatch.id,
                        "name": each.swatch.name,
                        "range": each.swatch.range,
                        "lab": each.swatch.lab,
                        "paints": [paint_json(choice(*pair)) for pair in each.paints],
                    }
                    for each in replaced
                ],
            }
        )
        return
    if not replaced:
        click.echo("no paint of these lists is retired")
    for each in replaced:
        click.echo(_paint(each.swatch))
        for paint, off in each.paints:
            click.echo(f"  {off:5.1f}  {_paint(paint)}")


@command.command("card", cls=ListsCommand)
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The PDF to write.")
@click.option(
    "--paper",
    default="a4",
    show_default=True,
    type=click.Choice(("a4", "letter")),
    help="The size of the page.",
)
@click.option("--boxes", type=click.IntRange(1, 360), help="How many paints it is for; twelve to a sheet.")
@swatches_option
@language_option
def card(out: Path, paper: str, boxes: int | None, lists: tuple[Path, ...], language: str) -> None:
    """Print a card to brush paints on, to measure them by.

    A sheet has twelve numbered pairs of boxes: one for the paint straight, one for it mixed into white. Brush
    your paints on, photograph the card, and give the photograph to `palette swatches read`. With --swatches
    the names of your paints are printed beside the boxes. Give the same list to `palette swatches read
    --names`.
    """
    from palette.errors import InputError, Problem
    from palette.files import replace_whole
    from palette.guide.card import render
    from palette.paints.card.names import names_of
    from palette.words.catalogue import Words

    if out.suffix.lower() != ".pdf":
        raise InputError(Problem(str(out), None, "is no .pdf", "end its name in .pdf"))
    names = names_of(lists)
    replace_whole(out, render(max(boxes or 1, len(names)), paper, names, Words(language)))
    click.echo(str(out))


@command.command("read")
@click.argument("photos", metavar="PHOTO...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The CSV to write.")
@click.option(
    "--names",
    type=click.Path(path_type=Path),
    help="A CSV with id and name of the paints, in the order of the boxes or with their numbers in a "
    "column box.",
)
@click.option("--white", metavar="ID", help="The white that the paints are let down in.")
@click.option(
    "--share",
    default=0.1,
    show_default=True,
    type=Number(0, 1, min_open=True, max_open=True),
    help="Volume of paint in the let-downs: 0.1 is 1 part with 9 of white.",
)
@click.option(
    "--grey",
    metavar="L*",
    type=Number(5, 100),
    help="A grey card of that lightness lies in the frame; an 18 % one is 49.5.",
)
@click.option(
    "--chart",
    type=click.Choice(("since-2014", "before-2014")),
    help="A 24-patch chart lies in the frame, made since or before November 2014.",
)
@json_option
def read(
    photos: tuple[Path, ...],
    out: Path,
    names: Path | None,
    white: str | None,
    share: float,
    grey: float | None,
    chart: str | None,
    as_json: bool,
) -> None:
    """Measure the paints on photographs of printed cards.

    They are written as a list. Every colour comes with its spread: the CIEDE2000 radius that holds the true
    colour nine times in ten. It is smallest with a 24-patch chart in the frame, wider with a grey card,
    widest with the paper alone. Boxes with glare, gaps or too little paint are left out and named. Several
    photographs of a sheet are put together.

    \b
    Example:
      palette swatches read card.jpg --chart since-2014 --names mine.csv --white W1 --out measured.csv

    Needs OpenCV: pip install '.[card]' in palette's own folder.
    """
    from palette.errors import InputError, Problem
    from palette.files import check_writable, replace_whole
    from palette.paints.card.names import read_names
    from palette.paints.card.reading import list_text, read_cards
    from palette.words import say

    if grey is not None and chart is not None:
        raise click.UsageError("give --grey or --chart, whichever lies in the frame")
    if out.resolve() in {path.resolve() for path in (*photos, *filter(None, (names,)))}:
        what = "is one of the files to read, and would be written over"
        raise InputError(Problem(str(out), None, what, "give the list another name with --out"))
    check_writable(out)
    named = None if names is None else read_names(names)
    reading = read_cards(photos, named, white=white, share=share, grey=grey, chart=chart)
    replace_whole(out, list_text(reading))
    if as_json:
        print_json(_reading_json(reading, out))
        return
    for photo in reading.photos:
        click.echo(
            f"{photo.file}: sheet {photo.sheet}, {photo.scale:.1f} pixels a millimetre, light even to within "
            f"{100 * (photo.light_range - 1):.0f} %; {say(photo.method)}"
        )
        for each in photo.notes:
            click.echo(f"  {say(each)}")
    for paint in reading.paints:
        lab = "  ".join(f"{value:6.1f}" for value in paint.straight.lab)
        tint = "" if paint.tint is None else f"  in white {'  '.join(f'{v:.1f}' for v in paint.tint.lab)}"
        who = f"{paint.named.box:3d}  {paint.named.id}  {paint.named.name}"
        click.echo(f"{who}  {lab}  ± {paint.straight.spread:.1f}{tint}")
        for note in dict.fromkeys((*paint.straight.notes, *(paint.tint.notes if paint.tint else ()))):
            click.echo(f"       {note}")
    for gone in reading.left_out:
        click.echo(f"left out: box {gone.box}, {gone.which}, in {gone.file}: {gone.reason}")
    for note in reading.notes:
        click.echo(f"warning: {note}", err=True)
    click.echo(f"{out}: {_counted(len(reading.paints), 'paint')}")


def _reading_json(reading: CardReading, out: Path) -> dict[str, Any]:
    from palette.words import say

    def colour(one: Colour | None) -> dict[str, Any] | None:
        if one is None:
            return None
        return {
            "lab": one.lab,
            "hex": one.hex,
            "spread": one.spread,
            "photos": one.photos,
            "notes": one.notes,
        }

    return {
        "schema": 1,
        "out": str(out),
        "photos": [
            {
                "file": str(photo.file),
                "sheet": photo.sheet,
                "pixels_per_mm": photo.scale,
                "light_range": photo.light_range,
                "method": say(photo.method),
                "notes": [say(note) for note in photo.notes],
            }
            for photo in reading.photos
        ],
        "paints": [
            {
                "box": paint.named.box,
                "swatch": paint.named.id,
                "name": paint.named.name,
                "straight": colour(paint.straight),
                "tint": colour(paint.tint),
            }
            for paint in reading.paints
        ],
        "left_out": [
            {"file": str(gone.file), "box": gone.box, "which": gone.which, "reason": gone.reason}
            for gone in reading.left_out
        ],
        "notes": reading.notes,
    }


def _paint(swatch: Swatch) -> str:
    return one_line("  ".join(filter(None, (swatch.id, swatch.name, swatch.range, swatch.finish))))


def _counted(count: int, word: str) -> str:
    return f"{count or 'no'} {word}{'' if count == 1 else 's'}"
