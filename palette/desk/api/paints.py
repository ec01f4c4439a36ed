"""Lists as tables, mixing by hand, recipes, and what a typed colour means."""

from __future__ import annotations

from typing import Any

import numpy as np
from flask import Flask, request

from palette.colour.spaces import Array
from palette.desk import listing, plain, recipes
from palette.desk.api import address, body, text
from palette.desk.bench import Bench, Desk
from palette.desk.edits import wrong
from palette.desk.typed import typed
from palette.memory import digest


def register(app: Flask, desk: Desk) -> None:
    @address(app, desk, "api/lists")
    def lists(bench: Bench) -> dict[str, Any]:
        now = bench.live.read()
        return {"lists": listing.tables(bench.path.parent, now.data)}

    @address(app, desk, "api/colour")
    def colour(bench: Bench) -> dict[str, Any]:
        meant = typed(request.args.get("text", ""), bench.live.swatches(), neutral=True)
        return {"text": meant.text, "table": meant.table, "colour": plain.colour(meant.lab)}

    @address(app, desk, "api/mix", "POST")
    def mix(bench: Bench) -> dict[str, Any]:
        sent = body()
        drops = sent.get("drops")
        if not isinstance(drops, dict) or not all(
            isinstance(n, int) and not isinstance(n, bool) and 0 < n <= 999 for n in drops.values()
        ):
            raise wrong("no drops are given", "name paints, each with a number of drops")
        if len(drops) > recipes.MOST_MIXED:
            raise wrong(f"{len(drops)} paints are too many for one mixture", "take fewer")
        target = sent.get("target")
        lab = _target(bench, target) if isinstance(target, dict) else None
        counted = {str(id): n for id, n in drops.items()}
        return recipes.mixed(counted, bench.live.swatches(), lab, bench.scheming.kit().light)

    @address(app, desk, "api/recipes")
    def best_recipes(bench: Bench) -> dict[str, Any]:
        asked = {key: request.args[key] for key in ("part", "colour") if request.args.get(key)}
        lab = _target(bench, asked)
        most = request.args.get("paints", 3, type=int), request.args.get("drops", 12, type=int)
        if not 1 <= most[0] <= recipes.MOST_PAINTS or not 1 <= most[1] <= recipes.MOST_DROPS:
            remedy = f"ask for 1 to {recipes.MOST_PAINTS} paints, and for 1 to {recipes.MOST_DROPS} drops"
            raise wrong("a recipe of that size is not looked for", remedy)
        every = bool(request.args.get("all"))
        swatches = bench.live.swatches()
        light = bench.scheming.kit().light
        key = digest(lab, swatches, most, every, light).hex()[:24]
        known = bench.scheming.made.get(f"recipes {key}")
        answer = {"key": key, "target": plain.colour(lab), "status": "ready" if known else "working"}
        if known is None:
            bench.scheming.once(f"recipes {key}", key, (lab, swatches, most, every, light))
            known = {"paints": recipes.nearest(lab, swatches, light), "recipes": [], "notes": []}
        return answer | known


def _target(bench: Bench, asked: dict[str, Any]) -> Array:
    """The colour that is meant, by a part or as typed."""
    if id := text(asked, "part"):
        row = bench.scheming.row(id)
        if row is None or row["colour"] is None:
            raise wrong(f"the colour of {id!r} is not known", "wait for it, or give a colour")
        return np.array(row["colour"]["lab"])
    meant = typed(text(asked, "colour"), bench.live.swatches())
    assert meant.lab is not None  # a colour looked for is never 'neutral'
    return meant.lab
