"""What to buy: the fewest paints for the kit's parts, and a card for measuring one's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import comb
from typing import TYPE_CHECKING, Any

from flask import Flask, Response, abort, make_response, render_template, request

from palette.colour.spaces import Array
from palette.desk import shown
from palette.desk.bench import Bench, Desk, files, state
from palette.desk.pages import bench_of
from palette.desk.pages.guide import PAPERS
from palette.errors import InputError, Problem
from palette.kit.model import Kit
from palette.swatches.kinds import unmixable

if TYPE_CHECKING:
    from palette.paints.choosing.rank import PartRecipe
    from palette.paints.shopping import Shopping
    from palette.swatches.model import Swatch, SwatchList

MIXED = {
    2: "straight, or mixed of two paints",
    3: "straight, or mixed of two or three (takes longer)",
    1: "straight from the pot only",
}
_DROPS = 12
_MOST_THREES = 3 * 10**7  # sets of three, part by part, for which a page may be kept waiting
_OPEN = 15.0  # CIEDE2000 from which a colour is too open to buy paint for without a word


def register(app: Flask, desk: Desk) -> None:
    @app.get("/kit/<int:number>/basket", endpoint="basket")
    def show(number: int) -> Response:
        bench = bench_of(desk, number)
        kit = bench.kit()
        cheapest = bool(request.args.get("cheapest"))
        most = request.args.get("paints", 2, type=int)
        if most not in MIXED:
            abort(400, "Mixtures of that many paints are not looked for here.")
        problems: Sequence[Problem] = ()
        answer: dict[str, Any] = {}
        priced = False
        try:
            swatches = bench.swatches(kit)
            priced = any(swatch.price is not None and not swatch.retired for swatch in swatches.swatches)
            if swatches.swatches:
                answer = _answer(bench, kit, swatches, most, cheapest and priced)
        except InputError as error:
            problems = error.problems
        return make_response(
            render_template(
                "basket.html",
                kit=kit,
                answer=answer,
                most=most,
                choices=MIXED,
                priced=priced,
                cheapest=cheapest and priced,
                papers=PAPERS,
                wide=_OPEN,
                problems=problems,
                chip=shown.chip,
            )
        )

    @app.get("/kit/<int:number>/card.pdf", endpoint="card")
    def card(number: int) -> Response:
        from palette.guide.card import render
        from palette.paints.card.layout import PER_SHEET

        bench_of(desk, number)
        paper = request.args.get("paper", "a4")
        if paper not in PAPERS:
            abort(400, "There is no such paper.")
        answer = make_response(render(PER_SHEET, paper))
        answer.headers["Content-Type"] = "application/pdf"
        answer.headers["Content-Disposition"] = f'inline; filename="card-{paper}.pdf"'
        answer.headers["Content-Security-Policy"] = "form-action 'none'"  # as for the guide's PDF
        return answer


def _answer(bench: Bench, kit: Kit, swatches: SwatchList, most: int, cheapest: bool) -> dict[str, Any]:
    from palette.paints.choosing.notes import LooksOtherwise
    from palette.paints.scaled import scale_rule
    from palette.paints.shopping import to_buy
    from palette.words import say

    scheme = bench.scheme(kit)
    if most > 2:
        _in_time(kit, swatches)
    shopping: Shopping = bench.aside.ask(
        "basket",
        (state(*files(kit)), most, cheapest),
        lambda tell: to_buy(scheme, swatches, most, _DROPS, cheapest, tell),
        "Finding the fewest paints",
    )
    by_id = {swatch.id: swatch for swatch in swatches.swatches}
    basket = shopping.basket
    why = {missing.part: missing for missing in basket.unreached}
    rows = []
    for i, (part, recipe) in enumerate(zip(shopping.parts, basket.chosen_recipes, strict=True)):
        shown_recipe = why[i].nearest if i in why else recipe
        chosen = shopping.chosen.get(part.part.id)
        guess = None if chosen is None else chosen.guess
        rows.append(
            (
                part,
                guess,
                shown_recipe,
                _comes_of(shown_recipe, swatches, by_id),
                say(LooksOtherwise(shown_recipe.look)) if shown_recipe and shown_recipe.look else "",
                why[i].why if i in why else "",
                shopping.alone[i],
            )
        )
    return {
        "basket": basket,
        "rows": rows,
        "buy": [by_id[id] for id in basket.chosen.buy],
        "toned": [by_id[id] for id in shopping.tones_to_buy],
        "names": {id: swatch.name for id, swatch in by_id.items()},
        "unknown": [part.part for part in shopping.unknown],
        "rule": scale_rule(scheme),
    }


def _in_time(kit: Kit, swatches: SwatchList) -> None:
    """InputError where mixtures of three would keep a page waiting for many minutes."""
    paints = sum(not swatch.retired and unmixable(swatch) is None for swatch in swatches.swatches)
    if comb(paints, 3) * len(kit.parts) > _MOST_THREES:
        what = f"mixtures of three of {paints} paints for {len(kit.parts)} parts take many minutes"
        remedy = "mix two here, or ask palette basket --max-paints 3 in a terminal"
        raise InputError(Problem(None, None, what, remedy))


def _comes_of(recipe: PartRecipe | None, swatches: SwatchList, by_id: Mapping[str, Swatch]) -> Array | None:
    """The colour, (3,) CIELAB, that comes of a way's drops."""
    from palette.paints.mixing import mixture

    if recipe is None:
        return None
    return by_id[recipe.drops[0][0]].lab if len(recipe.drops) == 1 else mixture(dict(recipe.drops), swatches)
