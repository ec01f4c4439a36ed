"""The desk's pages, one file a page: each asks the rooms below and fills a template."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

from flask import Flask, abort, flash, redirect, request, url_for
from werkzeug.wrappers import Response

from palette.desk.bench import LONG, Bench, Desk
from palette.errors import InputError
from palette.kit.model import Kit, Part

Done: TypeAlias = tuple[str, Response]  # what to say of it, and where to go on
Change: TypeAlias = Callable[[Bench, Any], Done]


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


def takes_form(
    app: Flask, desk: Desk, path: str, page: Callable[..., Response]
) -> Callable[[Change], Change]:
    """Let a function answer the form that is sent to a kit's `path`: it is given the bench and the form and
    changes the kit. What is wrong with the input is shown by `page(bench, problems, status)`."""

    def register(change: Change) -> Change:
        def answer(number: int) -> Response:
            bench = bench_of(desk, number)
            try:
                said, onwards = change(bench, request.form)
            except InputError as error:
                return page(bench, error.problems, 422)
            flash(said)
            return onwards

        app.add_url_rule(f"/kit/<int:number>/{path}", path.replace("-", "_"), answer, methods=["POST"])
        return change

    return register
