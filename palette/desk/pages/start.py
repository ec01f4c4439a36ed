"""The start: opening a kit that is there, or starting one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from flask import Flask, flash, make_response, render_template, request
from werkzeug.wrappers import Response

from palette.desk.bench import Desk
from palette.desk.pages import go
from palette.errors import InputError, Problem


def register(app: Flask, desk: Desk) -> None:
    def page(problems: Sequence[Problem] = (), path: str = "", code: int = 200) -> Response:
        near = [(str(p.parent.relative_to(desk.folder)), str(p)) for p in desk.near()]
        return make_response(render_template("start.html", near=near, problems=problems, path=path), code)

    @app.get("/", endpoint="start")
    def show() -> Response:
        return page()

    @app.post("/open", endpoint="open")
    def open_kit() -> Response:
        given = request.form.get("path", "").strip()
        try:
            return go("bench", number=desk.open(_path(given)).number)
        except InputError as error:
            return page(error.problems, given, 422)

    @app.post("/begin", endpoint="begin")
    def begin() -> Response:
        from palette.kit.start import start

        given = request.form.get("path", "").strip()
        try:
            made = start(desk.folder / _path(given).expanduser())
            flash(f"Started {made[0]}. It holds examples: replace them by what you know.")
            return go("bench", number=desk.open(made[0]).number)
        except InputError as error:
            return page(error.problems, given, 422)


def _path(given: str) -> Path:
    if not given or "\0" in given:
        remedy = "type the path of a kit.toml or of a folder"
        raise InputError(Problem(None, None, "no path is given", remedy))
    return Path(given)
