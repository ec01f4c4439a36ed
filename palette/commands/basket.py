"""`palette basket`: which paints to buy for a kit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from palette.commands.answers import json_option, print_json, progress, read_kit

if TYPE_CHECKING:
    from palette.evidence.combine.model import PartColour
    from palette.paints.basket import Purchase
    from palette.paints.choosing.chosen import Chosen
    from palette.paints.choosing.rank import PartRecipe
    from palette.paints.shopping import Shopping
    from palette.swatches.model import Swatch, SwatchList


@click.command("basket")
@click.argument("kit", type=click.Path(path_type=Path))
@click.option("--cheapest", is_flag=True, help="Spend the least money, not the fewest pots.")
@click.option(
    "--max-paints",
    type=click.IntRange(1, 3),
    default=2,
    show_default=True,
    help="Paints in a mixture at most; with 1 nothing is mixed; 3 takes a minute or more with long lists.",
)
@click.option(
    "--max-drops",
    type=click.IntRange(1, 60),
    default=12,
    show_default=True,
    help="Drops in a mixture at most; 60 is the most that is searched.",
)
@json_option
def command(kit: Path, cheapest: bool, max_paints: int, max_drops: int, as_json: bool) -> None:
    """Find the fewest paints to buy, so that every part of KIT can be painted within its tolerance.

    KIT is a kit.toml or its folder. A part is painted with one paint, or with a mixture. Paints marked as
    owned cost nothing; a blank does not count as owned. Retired paints are left out. The answer is exact:
    no smaller set reaches as many parts. With --cheapest, no cheaper set does. Paints for shades and
    highlights come on top; they are rules of thumb, and can be left out.

    A real mixture may miss its prediction. So a mixture counts as within the tolerance only where the
    error of its prediction, too, leaves it there. Both figures are printed.

    Metallic parts get metallic paints and other parts do not. Where nothing else comes within the
    tolerance, they may, and the answer says so. A part that no paint brings within the tolerance gets
    the nearest. A part known only from grey pictures or words gets the paint with the least expected
    difference. Where a part takes fewer than six drops, a straight paint replaces a mixture.
    Without options, the guide names the same paints.

    \b
    Examples:
      palette basket tram
      palette basket tram --cheapest --max-paints 1
    """
    from palette.errors import InputError, Problem
    from palette.evidence.combine.build import colours
    from palette.paints.scaled import scale_rule
    from palette.paints.shopping import to_buy

    read = read_kit(kit)
    if not read.swatches:
        remedy = 'add swatches = ["swatches/….csv"] under [kit]'
        raise InputError(Problem(str(read.path), None, "the kit names no list of paints", remedy))
    with progress("Reading references:") as tell:
        scheme, swatches = colours(read, tell)
    rule = scale_rule(scheme)
    try:
        with progress("Looking for mixtures, parts:") as tell:
            shopping = to_buy(scheme, swatches, max_paints, max_drops, cheapest, tell)
    except InputError as error:
        lists = ", ".join(str(path) for path in read.swatches)
        raise InputError.of([Problem(lists, None, p.what, p.remedy) for p in error.problems]) from None
    if as_json:
        print_json(_answer(shopping, swatches))
    else:
        _print(shopping, swatches, rule, cheapest)


def _answer(shopping: Shopping, swatches: SwatchList) -> dict[str, Any]:
    basket, known = shopping.basket, shopping.parts
    by_id = {swatch.id: swatch for swatch in swatches.swatches}
    why = {missing.part: missing for missing in basket.unreached}
    return {
        "schema": 1,
        "tolerance": basket.tolerance,
        "owned": list(basket.owned),
        "buy": [_paint_answer(by_id[id]) for id in basket.chosen.buy],
        "price": basket.chosen.price,
        "within": basket.chosen.within,
        "likely": basket.chosen.within,  # the same: `within` counts the error, too
        "parts": [
            {
                "part": part.part.id,
                "lab": part.lab,
                "guess": _guess_answer(shopping.chosen.get(part.part.id)),
                **_recipe_answer(recipe),
                "nearest": _recipe_answer(why[i].nearest) if i in why else None,
                "why": why[i].why if i in why else None,
                "too_little": shopping.alone[i],
            }
            for i, (part, recipe) in enumerate(zip(known, basket.chosen_recipes, strict=True))
        ],
        "tones": [
            {
                "part": id,
                "role": tone.role,
                "lab": tone.lab,
                "difference": tone.chosen.difference,
                "drops": [{"swatch": id, "count": count} for id, count in tone.chosen.recipe],
            }
            for id, each in shopping.tones.items()
            for tone in each
            if tone.chosen is not None
        ],
        "tones_buy": [_paint_answer(by_id[id]) for id in shopping.tones_to_buy],
        "no_colour": [part.part.id for part in shopping.unknown],
        "curve": [
            {
                "pots": len(step.buy),
                "buy": list(step.buy),
                "price": step.price,
                "within": step.within,
                "likely": step.within,
                "worst": step.worst,
                "mean": step.mean,
                "proven": step.proven,
            }
            for step in basket.curve
        ],
        "ranges": [
            {
                "range": r.range,
                "straight": r.straight,
                "within": r.within,
                "pots": r.pots,
                "proven": r.proven,
            }
            for r in basket.ranges
        ],
        "unpriced": list(basket.unpriced),
        "unmixed": basket.unmixed,
    }


def _paint_answer(paint: Swatch) -> dict[str, Any]:
    return {"swatch": paint.id, "name": paint.name, "range": paint.range, "price": paint.price}


def _guess_answer(chosen: Chosen | None) -> dict[str, Any] | None:
    if chosen is None or chosen.guess is None:
        return None
    guess = chosen.guess
    return {
        "expected": guess.expected,
        "within": guess.within,
        "none": guess.none,
        "odds": [{"swatch": id, "probability": probability} for id, probability in guess.odds],
    }


def _recipe_answer(recipe: PartRecipe | None) -> dict[str, Any]:
    if recipe is None:
        return {"within": False, "difference": None, "expected_error": None, "drops": [], "look": None}
    return {
        "within": recipe.within,
        "difference": recipe.difference,
        "expected_error": recipe.expected_error,
        "drops": [{"swatch": id, "count": count} for id, count in recipe.drops],
        "look": recipe.look or None,
    }


def _print(shopping: Shopping, swatches: SwatchList, rule: str, cheapest: bool) -> None:
    from palette.words import joined

    names = {swatch.id: f"{swatch.id} {swatch.name}" for swatch in swatches.swatches}
    basket, known, unknown = shopping.basket, shopping.parts, shopping.unknown
    total, chosen = len(known), basket.chosen
    if rule:
        click.echo(f"{rule}\n")
    if not known:
        click.echo("Nothing to buy: no part has a colour yet.")
    elif not chosen.buy:
        click.echo(
            f"Nothing to buy: what is owned brings {chosen.within} of {total} parts within "
            f"{basket.tolerance:g}, and no other paint would bring more."
        )
    else:
        most = "The least money" if cheapest else "The fewest"
        owned = f" beside the {len(basket.owned)} owned ones" if basket.owned else ""
        click.echo(
            f"{most} to buy{owned}, for {chosen.within} of {total} parts within {basket.tolerance:g}:\n"
        )
        _list(chosen.buy, swatches, names)
        if chosen.price is not None and len(chosen.buy) > 1:
            click.echo(f"  in all {chosen.price:.2f}")
    if shopping.tones_to_buy:
        click.echo("\nShades and highlights, as the guide has them, take these too:\n")
        _list(shopping.tones_to_buy, swatches, names)
    if not basket.owned and known:
        click.echo("\nnote: no paint is marked as owned; write yes in the column `owned` of those you have")
    if basket.unpriced:
        passed = len(basket.unpriced)
        said = "1 paint has no price and was" if passed == 1 else f"{passed} paints have no price and were"
        click.echo(f"\nnote: {said} passed over")
    if basket.unmixed:
        click.echo(
            f"\nnote: the lists are long, so {basket.unmixed} paints were looked at straight, not in mixtures"
        )

    from palette.words import say

    if known:
        click.echo("\nWhat goes on the brush")
    width = max((len(part.part.name) for part in known), default=0)
    for part, recipe, too_little in zip(known, basket.chosen_recipes, shopping.alone, strict=True):
        on_it = shopping.chosen.get(part.part.id)
        open_by = _open_by(part, on_it, names)
        parting = f" (warning: {say(on_it.parting)})" if on_it is not None and on_it.parting else ""
        line = _recipe_line(recipe, names, basket.tolerance)
        little = " (too few drops to mix)" if too_little else ""
        click.echo(f"  {part.part.name:{width}}  {line}{little}{parting}{open_by}")
    for missing in basket.unreached:
        part_name = known[missing.part].part.name
        click.echo(f"\n{part_name}: out of reach; {missing.why}.")
        if missing.nearest is not None:
            click.echo(f"  Nearest of all: {_recipe(missing.nearest, names)}")
    if unknown:
        click.echo(f"\nLeft out, having no colour yet: {joined([part.part.name for part in unknown])}")

    if known:
        unsure = sum(
            recipe is not None and not recipe.within and recipe.difference <= basket.tolerance
            for recipe in basket.chosen_recipes
        )
        if unsure:
            some = f"{unsure} part{' gets a mixture' if unsure == 1 else 's get mixtures'}"
            click.echo(
                f"\n{some} that may well come out further off than {basket.tolerance:g}, as no prediction "
                "is sure (give or take):\nmix a test drop before you buy for it; a let-down in white in the "
                "list makes mixtures surer."
            )
        click.echo(f"\nWhat {'more money' if cheapest else 'one more pot'} buys")
        click.echo("  pots  parts within  worst   mean    price  of which")
        for step in basket.curve:
            click.echo(_step(step, total))
        if not all(step.proven for step in basket.curve):
            click.echo("* a good choice; the lists are too long to prove that there is no better one.")
        click.echo(
            "Within, worst and mean count the error that a mixture's prediction may have;\n"
            "worst and mean are of the nearest way to each part, straight or mixed."
        )
        click.echo()
        for alone in basket.ranges:
            straight = f", {alone.straight} without mixing" if alone.straight < alone.within else ""
            most = "" if alone.proven else "at most "
            pots = f", with {most}{alone.pots} pot{'s' if alone.pots > 1 else ''}" if alone.within else ""
            click.echo(f"With {alone.range} alone: {alone.within} of {total} parts{straight}{pots}")


def _list(ids: Sequence[str], swatches: SwatchList, names: dict[str, str]) -> None:
    by_id = {swatch.id: swatch for swatch in swatches.swatches}
    width = max(len(names[id]) for id in ids)
    ranges = max(len(by_id[id].range) for id in ids)
    for id in ids:
        price = "" if by_id[id].price is None else f"{by_id[id].price:8.2f}"
        click.echo(f"  {names[id]:{width}}  {by_id[id].range:{ranges}}{price}".rstrip())


def _recipe_line(recipe: PartRecipe | None, names: dict[str, str], tolerance: float) -> str:
    from palette.paints.choosing.notes import LooksOtherwise
    from palette.words import say

    if recipe is None:
        return "no paint"
    off = f"{recipe.difference:.1f} off"
    if len(recipe.drops) > 1:
        off += f", give or take {recipe.expected_error:.1f}"
    if not recipe.within:
        off += (
            f", beyond {tolerance:g}"
            if recipe.difference > tolerance
            else f", so not surely within {tolerance:g}"
        )
    look = f" (warning: {say(LooksOtherwise(recipe.look))})" if recipe.look else ""
    return f"{_recipe(recipe, names)}, {off}{look}"


def _recipe(recipe: PartRecipe, names: dict[str, str]) -> str:
    if len(recipe.drops) == 1:
        return names[recipe.drops[0][0]]
    return " + ".join(f"{count} {names[id]}" for id, count in recipe.drops)


def _open_by(part: PartColour, chosen: Chosen | None, names: dict[str, str]) -> str:
    """A warning where the colour itself is open by more than any paint is off."""
    if chosen is not None and chosen.guess is not None:
        guess = chosen.guess
        said = " (a guess: nobody knows the true colour, so this is the average over what it may have been"
        if guess.odds:
            id, probability = guess.odds[0]
            likeliest = f"{names[id]} is the likeliest ({_percent(probability)})"
            said += f". If it was one of the listed paints, {likeliest}"
        if guess.none is not None:
            said += f". The chance that none of them matches is {_percent(guess.none)}"
        return said + ")"
    wide = part.radius90 is not None and part.radius90 > 15
    return f" (the colour itself is sure to {part.radius90:.0f} only)" if wide else ""


def _percent(share: float) -> str:
    return "under 1 %" if 0 < share < 0.005 else f"{100 * share:.0f} %"


def _step(step: Purchase, total: int) -> str:
    worst, mean = (f"{value:.1f}" if value is not None else "–" for value in (step.worst, step.mean))
    price = "–" if step.price is None else f"{step.price:.2f}"
    within = f"{step.within} of {total}"
    proven = " " if step.proven else "*"
    figures = f"  {len(step.buy):4}{proven} {within:>12}  {worst:>5}  {mean:>5}  {price:>7}"
    return f"{figures}  {', '.join(step.buy)}".rstrip()
