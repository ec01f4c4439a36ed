"""`palette mix`: mixtures for a colour, in whole drops."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from palette.commands.answers import (
    ListsCommand,
    Number,
    asked,
    colour_options,
    json_option,
    light_asked,
    print_json,
    swatches_option,
)

if TYPE_CHECKING:
    from palette.paints.metamerism import UnderLight
    from palette.paints.mixing import LeftOut, Straight
    from palette.paints.mixing.differing import Fewer
    from palette.swatches.asked import Asked
    from palette.swatches.mix import Mix

# Times as many recipes as are asked for: found in daylight, of which the best under a light are taken.
_MORE = 4
_MOST = 1000


@click.command("mix", cls=ListsCommand)
@colour_options
@swatches_option
@click.option(
    "--max-paints", type=click.IntRange(1), default=3, show_default=True, help="Paints in a recipe at most."
)
@click.option(
    "--max-drops",
    type=click.IntRange(1, 60),
    default=12,
    show_default=True,
    help="Drops in a recipe at most; 60 is the most that is searched.",
)
@click.option(
    "--count",
    type=click.IntRange(1, _MOST),
    default=5,
    show_default=True,
    help="Recipes for each colour, 1000 at most.",
)
@click.option(
    "--surest",
    is_flag=True,
    help="Count half of what a mixture may miss its prediction by, too: nearer in practice, but slower.",
)
@click.option("--all", "every", is_flag=True, help="Use paints that are not owned or are retired, too.")
@click.option(
    "--ml",
    type=Number(0, min_open=True),
    metavar="VOLUME",
    help="Also print each recipe in millilitres, for this much paint.",
)
@click.option(
    "--light",
    default="D65",
    show_default=True,
    metavar="NAME",
    help="The light the model is judged under; the nearest under it come first.",
)
@json_option
def command(
    colour: tuple[str, Any],
    lists: tuple[Path, ...],
    max_paints: int,
    max_drops: int,
    count: int,
    surest: bool,
    every: bool,
    ml: float | None,
    light: str,
    as_json: bool,
) -> None:
    """Find the mixtures of your paints that come nearest to a colour, in whole drops.

    One paint alone counts as a recipe. Retired paints, and paints marked as not owned, are left out; a
    blank counts as owned. Use --all to include them. Metallic, fluorescent and clear paints are never
    mixed. Where a metallic or fluorescent paint is nearest by itself, that is said.

    Each recipe shows three figures: how far off it is (CIEDE2000), by how much the real mixture may miss
    that, and how far one wrong drop moves the colour. The nearest prediction comes first. Under it, in one
    line, stand the same paints in other drops. One recipe is marked as the likeliest to be near once it is
    mixed. Take that one, if nothing speaks for another: fewer paints, say. With --surest all recipes come
    in that order. Mix a test drop first.

    \b
    Examples:
      palette mix --hex '#7f8a66' --swatches bench.csv
      palette mix --munsell '5GY 4/3' --swatches bench.csv depot.csv --max-paints 2
      palette mix --swatch B-04 --swatches bench.csv --all --ml 5
      palette mix --hex '#7f8a66' --swatches bench.csv --surest
    """
    from palette.colour.spaces import DAYLIGHT
    from palette.errors import InputError, Problem
    from palette.paints.metamerism import under_lights
    from palette.paints.mixing import left_out, notes, shortfall, straight, unsearched, usable
    from palette.paints.mixing.differing import differing, fewer
    from palette.swatches.model import SwatchList

    if not lists:
        raise click.UsageError("give at least one list of paints with --swatches")
    named = light_asked(light)
    swatches = SwatchList.read(*lists)
    wanted = asked(colour, swatches)
    paints = swatches if every else usable(swatches)
    if not len(paints):
        what = "holds no paint" if not len(swatches) else "has no paint that is owned and not retired"
        remedy = "add paints" if not len(swatches) else "mark what you own, or use --all"
        raise InputError(Problem(", ".join(str(path) for path in lists), None, f"the list {what}", remedy))
    told = {swatch.owned for swatch in swatches.swatches if not swatch.retired}
    if not every and told == {True, None}:
        blank = sum(swatch.owned is None for swatch in paints.swatches)
        what = f"{blank} paints are blank there and count as owned; write no where you have none"
        click.echo(f"note: owned: {what}", err=True)
    for id, said in notes(paints).items():
        click.echo(f"note: {id}: {said}", err=True)
    others = paints.where([colour[0] != "swatch" or swatch.id != colour[1] for swatch in paints.swatches])
    if 0 < len(others) < len(paints):  # to imitate a paint is not to use it
        click.echo(f"note: {colour[1]}: it is the colour asked for, and is left out of the recipes", err=True)
        paints = others
    if rest := unsearched(paints, max_paints):
        click.echo(f"note: {rest}", err=True)
    known = [s.reflectance for s in swatches.swatches if colour == ("swatch", s.id)]
    answers = []
    lit = named != DAYLIGHT
    for one in wanted:
        looked_at = min(_MORE * count, _MOST) if lit else count
        recipes = differing(one.lab, paints, max_paints, max_drops, looked_at, surest)
        target = one.lab if not known or known[0] is None else known[0]
        seen = [under_lights(target, mix.reflectance, named) for mix in recipes]
        why = shortfall(one.lab, recipes, paints, max_paints)
        left = left_out(one.lab, recipes, swatches, paints, colour[1] if colour[0] == "swatch" else None)
        if lit:
            order = sorted(range(len(recipes)), key=lambda i: seen[i][0].difference)[:count]
            recipes, seen = [recipes[i] for i in order], [seen[i] for i in order]
        simpler = [fewer(mix, one.lab, paints, max_drops) for mix in recipes]
        answers.append(Recipes(one, recipes, seen, simpler, why, straight(one.lab, paints), left))
    if as_json:
        print_json({"schema": 1, "recipes": [_answer(each, ml) for each in answers]})
        return
    names = {swatch.id: swatch.name for swatch in paints.swatches}
    for i, each in enumerate(answers):
        if i:
            click.echo()
        _print(each, names, ml)


class Recipes(NamedTuple):
    """The recipes for a colour, and what is to be said of them."""

    asked: Asked
    recipes: list[Mix]
    seen: list[tuple[UnderLight, ...]]  # each recipe under the light of the model and under lamps
    simpler: list[Fewer | None]  # each recipe of three paints without one of them
    why: str | None  # why the best recipe stays far off
    straight: Straight | None
    left: LeftOut | None  # a paint of the list that is nearer and was not used


def _answer(answer: Recipes, ml: float | None) -> dict[str, Any]:
    from palette.colour.spaces import lab_to_hex
    from palette.paints.mixing.differing import apart, surest_of

    alone, left = answer.straight, answer.left
    firsts, sure = {group[0].drops for group in apart(answer.recipes)}, surest_of(answer.recipes)
    return {
        "id": answer.asked.id,
        "lab": answer.asked.lab,
        "mixes": [
            {
                "drops": _drops(mix, ml),
                "lab": mix.lab,
                "hex": lab_to_hex(mix.lab),
                "difference": mix.difference,
                "expected_error": round(mix.expected_error, 3),
                "one_drop_off": round(mix.one_drop_off, 3),
                "lights": [
                    {
                        "light": each.light,
                        "difference": each.difference,
                        "low": each.low,
                        "high": each.high,
                        "parts": each.parts,
                    }
                    for each in seen
                ],
                "fewer": simpler and {"without": simpler.without, "difference": simpler.mix.difference},
                "same_paints": mix.drops not in firsts,
                "surest": mix is sure,
            }
            for mix, seen, simpler in zip(answer.recipes, answer.seen, answer.simpler, strict=True)
        ],
        "why": answer.why,
        "straight": alone
        and {"swatch": alone.id, "kind": alone.kind, "difference": alone.difference},  # never in a mixture
        "left_out": left
        and {"swatch": left.id, "name": left.name, "why": left.why, "difference": left.difference},
    }


def _drops(mix: Mix, ml: float | None) -> list[dict[str, Any]]:
    drops: list[dict[str, Any]] = [{"swatch": id, "count": count} for id, count in mix.drops]
    if ml:
        for drop, (_, volume) in zip(drops, mix.millilitres(ml), strict=True):
            drop["ml"] = volume
    return drops


def _print(answer: Recipes, names: dict[str, str], ml: float | None) -> None:
    from palette.colour.names import name
    from palette.colour.spaces import DAYLIGHT, lab_to_hex
    from palette.commands.chips import chip
    from palette.paints.metamerism import parted
    from palette.paints.mixing.differing import apart
    from palette.words import say
    from palette.words.catalogue import Words
    from palette.words.lights import under

    one, alone = answer.asked, answer.straight
    shown = lab_to_hex(one.lab)
    label = f"{one.id}  " if one.id != shown else ""
    lab = "  ".join(f"{value:z.1f}" for value in one.lab)
    click.echo(f"{chip(shown, 6)}{label}{name(one.lab)}  {shown}  L*a*b* {lab}")
    if not answer.recipes:
        click.echo("  metallic, fluorescent and clear paints are not mixed, and the list has no others")
    same = {group[0].drops: group[1:] for group in apart(answer.recipes)}
    lit = bool(answer.seen) and answer.seen[0][0].light != DAYLIGHT
    buys = _buys([mix for mix in answer.recipes if mix.drops in same], lit)
    rows = [
        row for row in zip(answer.recipes, answer.seen, answer.simpler, strict=True) if row[0].drops in same
    ]
    for rank, (mix, seen, simpler) in enumerate(rows, 1):
        said = [f"{mix.difference:.1f} off"]
        if lit:
            said = [
                f"{seen[0].difference:.1f} off {under(seen[0].light, Words('en'), exactly=True)}",
                f"{mix.difference:.1f} in daylight",
            ]
        if len(mix.drops) > 1:
            said += [
                f"give or take {mix.expected_error:.1f}",
                f"one drop wrong moves it {mix.one_drop_off:.1f}",
            ]
        click.echo(f"{rank:3}. {chip(lab_to_hex(mix.lab))}{', '.join(said)}")
        volumes = dict(mix.millilitres(ml)) if ml else {}
        for id, drops in mix.drops:
            amount = f"{drops} drop{'s' if drops > 1 else ' '}"
            volume = f"{volumes[id]:6.2f} ml" if ml else ""
            click.echo(f"       {amount:9}{volume}  {id}  {names[id]}")
        if simpler:
            rest = _counts(simpler.mix)
            click.echo(f"       without {simpler.without}: {simpler.mix.difference:.1f} off, as {rest}")
        if others := same[mix.drops]:
            listed = "; ".join(f"{_counts(one)}, {one.difference:.1f} off" for one in others)
            click.echo(f"       the same paints: {listed}")
        if mix.drops in buys:
            click.echo(f"       {', '.join(buys[mix.drops])}")
        if parting := parted(seen):
            click.echo(f"       warning: {say(parting)}")
    if alone and (not answer.recipes or alone.difference < answer.recipes[0].difference):
        click.echo(
            f"Straight, {alone.difference:.1f} off: {alone.id}  {names[alone.id]}, "
            f"which is {alone.kind} and not to be mixed"
        )
    if left := answer.left:
        click.echo(
            f"Nearer, but left out: {left.id}  {left.name}, {left.difference:.1f} off; it is {left.why}"
        )
    if answer.why:
        click.echo(answer.why)


def _counts(mix: Mix) -> str:
    return " + ".join(f"{drops} {id}" for id, drops in mix.drops)


def _buys(recipes: Sequence[Mix], lit: bool) -> dict[tuple[tuple[str, int], ...], list[str]]:
    """What speaks for each of some recipes before all others, by its drops: nothing, where there is one."""
    from palette.paints.mixing.differing import surest_of

    said: dict[tuple[tuple[str, int], ...], list[str]] = {}
    if len(recipes) < 2:
        return said
    sure = surest_of(recipes)
    steady = min((m for m in recipes if len(m.drops) > 1), key=lambda m: m.one_drop_off, default=None)
    near = recipes[0] if lit else min(recipes, key=lambda m: m.difference)
    for best, why in (
        (near, "nearest as predicted"),
        (sure, "likeliest to be near once mixed"),
        (steady, "a wrong drop shows least"),
    ):
        if best is not None:
            said.setdefault(best.drops, []).append(why)
    return said
