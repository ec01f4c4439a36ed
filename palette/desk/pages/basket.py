"""What to buy: the fewest paints for the kit's parts, and a card for measuring one's own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from flask import Flask, Response, abort, make_response, render_template, request

from palette.desk import shown
from palette.desk.bench import Bench, Desk, files, state
from palette.desk.pages import bench_of
from palette.desk.pages.guide import PAPERS
from palette.errors import InputError, Problem
from palette.kit.model import Kit

if TYPE_CHECKING:
    from palette.paints.brush import Way
    from palette.paints.mixing import Mix
    from palette.paints.swatches import SwatchList
    from palette.scheme.shopping import Shopping

MIXED = {2: "straight, or mixed of two paints", 1: "straight from the pot only"}
_DROPS = 12
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
    from palette.scheme.scaled import scale_rule
    from palette.scheme.shopping import to_buy

    scheme = bench.scheme(kit)
    shopping: Shopping = bench.works.ask(
        "basket",
        (state(*files(kit)), most, cheapest),
        lambda tell: to_buy(scheme, swatches, most, _DROPS, cheapest),
        "Finding the fewest paints",
    )
    by_id = {swatch.id: swatch for swatch in swatches.swatches}
    found = shopping.basket
    why = {missing.part: missing for missing in found.unreached}
    rows = []
    for i, (part, way) in enumerate(zip(shopping.parts, found.brush, strict=True)):
        shown_way = why[i].nearest if i in why else way
        guess = shopping.guesses.get(part.part.id)
        rows.append((part, guess, shown_way, _mixed(shown_way, swatches), why[i].why if i in why else ""))
    return {
        "found": found,
        "rows": rows,
        "buy": [by_id[id] for id in found.chosen.buy],
        "names": {id: swatch.name for id, swatch in by_id.items()},
        "likely": found.chosen.likely(found.tolerance),
        "unknown": [part.part for part in shopping.unknown],
        "rule": scale_rule(scheme),
    }


def _mixed(way: Way | None, swatches: SwatchList) -> Mix | None:
    """What comes of a way's drops."""
    from palette.paints.mixing import predicted

    return None if way is None else predicted(dict(way.drops), swatches)
