"""The desk's pages, one file a page: each asks the rooms below and fills a template."""

from __future__ import annotations

from typing import Any

from flask import abort, redirect, request, url_for
from werkzeug.wrappers import Response

from palette.desk.bench import LONG, Bench, Desk
from palette.kit.model import Kit, Part


def bench_of(desk: Desk, number: int) -> Bench:
    """The kit of that number on the desk; the answer is 404 where there is none."""
    if not 1 <= number <= len(desk.benches):
        abort(404)
    return desk.benches[number - 1]


def part_of(kit: Kit, id: str) -> Part:
    """The part of that id; 404 where the kit has none (any more)."""
    try:
        return kit.part(id)
    except KeyError:
        abort(404, f"The kit has no part {id!r} now.")


def patience() -> float | None:
    """How long a page waits for work: one that answers a form cannot come again by itself."""
    return LONG if request.method == "POST" else None


def go(page: str, **where: Any) -> Response:
    """To a page, by a fresh request: reloading it then repeats no change."""
    return redirect(url_for(page, **where), 303)
