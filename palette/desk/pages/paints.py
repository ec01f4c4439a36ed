"""Paints: the nearest to a colour, and mixtures for it, from the kit's lists."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from flask import Flask, make_response, render_template, request
from werkzeug.wrappers import Response

from palette.desk import changes, shown, typed
from palette.desk.bench import Bench, Desk, state
from palette.desk.pages import Done, bench_of, go, takes_form
from palette.errors import InputError, Problem
from palette.kit.model import Kit
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.colour.spaces import Array
    from palette.swatches.mix import Mix

PAINTS, RECIPES = 8, 5
_MORE = 20  # recipes found in daylight, of which the best under the kit's light are shown
_LISTS = (".csv", ".txt", ".cgats")
MOST_PAINTS, MOST_DROPS = 4, 24


def register(app: Flask, desk: Desk) -> None:
    def page(bench: Bench, wrong: tuple[Problem, ...] = (), code: int = 200) -> Response:
        kit = bench.kit()
        text = request.args.get("colour", "").strip()
        every = bool(request.args.get("all"))
        most = request.args.get("paints", 3, type=int), request.args.get("drops", 12, type=int)
        problems: list[Problem] = list(wrong)
        swatches = SwatchList(())
        answer: dict[str, Any] = {}
        try:
            swatches = bench.swatches(kit)
            if text:
                answer = _answer(bench, kit, typed.typed(text, swatches), swatches, most, every)
        except InputError as error:
            problems += error.problems
        return make_response(
            render_template(
                "paints.html",
                kit=kit,
                swatches=swatches,
                ids=[(swatch.id, swatch.name) for swatch in swatches.swatches],
                names={swatch.id: swatch.name for swatch in swatches.swatches},
                paints={swatch.id: swatch for swatch in swatches.swatches},
                unnamed=_unnamed(kit),
                form=request.form,
                text=text,
                every=every,
                most=most,
                limits=(MOST_PAINTS, MOST_DROPS),
                answer=answer,
                chip=shown.chip,
                sentence=shown.sentence,
                problems=problems,
                help=typed.HELP,
            ),
            code,
        )

    @app.get("/kit/<int:number>/paints", endpoint="paints")
    def show(number: int) -> Response:
        return page(bench_of(desk, number))

    @takes_form(app, desk, "add-list", page)
    def add_list(bench: Bench, form: Any) -> Done:
        file = form.get("file", "").strip()
        if not file or "\0" in file:
            remedy = "put it into the kit's folder and type its path from there"
            raise InputError(Problem(None, None, "no list is given", remedy))
        SwatchList.read(bench.path.parent / file)
        with bench.changing:
            changes.add_list(bench.path, file)
        return f"Added {file} to the kit's lists.", go("paints", number=bench.number)


def _answer(
    bench: Bench, kit: Kit, colour: typed.Typed, swatches: SwatchList, most: tuple[int, int], every: bool
) -> dict[str, Any]:
    from dataclasses import replace

    from palette.desk.recipes import to_hand
    from palette.paints.choosing.under import mixes_under, paints_under
    from palette.paints.match import matched
    from palette.paints.mixing import mixes, shortfall, unsearched, usable
    from palette.swatches.asked import Asked

    lab = colour.lab
    assert lab is not None  # a colour looked for is never 'neutral'
    paints = swatches if every else usable(swatches)
    if not 1 <= most[0] <= MOST_PAINTS or not 1 <= most[1] <= MOST_DROPS:
        remedy = f"ask for 1 to {MOST_PAINTS} paints, and for 1 to {MOST_DROPS} drops"
        raise InputError(Problem(None, None, "a recipe of that size is not looked for", remedy))
    (match,) = matched([Asked(colour.text, lab)], None, PAINTS)
    match = replace(match, paints=paints_under(kit.light, lab, swatches, PAINTS))
    recipes: list[Mix] = []
    if len(paints):
        key = (tuple(lab.tolist()), most, paints.ids, state(*kit.swatches))
        recipes = bench.works.ask(
            "mixes", key, lambda tell: mixes(lab, paints, *most, _MORE), "Trying mixtures"
        )
    seen = mixes_under(kit.light, lab, recipes, paints, RECIPES)
    return {
        "match": match,
        "recipes": [(mix, _parting(lab, mix, kit.light)) for mix in seen],
        "short": shortfall(lab, recipes, paints, most[0]),
        "rest": unsearched(paints, most[0]),
        "left_out": len(swatches) - len(paints),
        "to_hand": to_hand(swatches),
    }


def _unnamed(kit: Kit) -> list[str]:
    """Lists in the kit's swatches folder that the kit does not name yet."""
    folder, named = kit.path.parent, {path.resolve() for path in kit.swatches}
    try:
        there = sorted(path for path in (folder / "swatches").iterdir() if path.suffix.lower() in _LISTS)
    except OSError:
        return []
    return [path.relative_to(folder).as_posix() for path in there if path.resolve() not in named]


def _parting(lab: Array, mix: Mix, light: str | float) -> str | None:
    """Whether a mixture and the colour part under another light."""
    from palette.paints.metamerism import parted, under_lights
    from palette.words import say

    parting = parted(under_lights(lab, mix.reflectance, light))
    return say(parting) if parting else None
