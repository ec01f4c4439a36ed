"""The desk as a web application: its pages, its errors, and what every template knows."""

from __future__ import annotations

import os
import sys
from importlib.metadata import version as version_of
from typing import Any

from flask import Flask, Response, make_response, render_template, request
from jinja2 import StrictUndefined
from werkzeug.exceptions import HTTPException

from palette.desk import api, plain, safety, shown
from palette.desk.api.uploads import MOST_BYTES
from palette.desk.bench import Desk
from palette.desk.pages import basket, bench, guide, kit, paints, part, reference, start
from palette.desk.wording import said
from palette.desk.works import Working
from palette.errors import InputError, Problem
from palette.guide.compiled import compiled
from palette.guide.html import soft

LARGEST_FORM = 1 << 20  # bytes


def make_app(desk: Desk) -> Flask:
    """The application of a desk that knows its port (`Desk.listen`)."""
    app = Flask(__name__)
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_FORM
    # What a form did is told to the browser that sent it, by a cookie that is gone with the next page.
    app.secret_key = desk.key
    app.config.update(SESSION_COOKIE_NAME=f"{desk.cookie}-told", SESSION_COOKIE_SAMESITE="Strict")
    app.jinja_env.bytecode_cache = compiled()
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters.update(
        soft=lambda text: soft(said(text)),
        said=said,
        n=shown.number,
        shows=shown.shows,
        troubles=shown.troubles,
    )

    @app.before_request
    def room() -> None:
        if request.endpoint == "api:POST:api/upload":
            request.max_content_length = MOST_BYTES

    safety.guard(app, desk)

    for page in (start, bench, kit, reference, part, paints, basket, guide):
        page.register(app, desk)
    api.register(app, desk)

    @app.context_processor
    def known() -> dict[str, Any]:
        number = (request.view_args or {}).get("number")
        bench = desk.benches[number - 1] if number and number <= len(desk.benches) else None
        return {"desk": desk, "bench": bench, "token": desk.token, "palette_version": version_of("palette")}

    @app.errorhandler(Working)
    def working(work: Working) -> Response:
        return make_response(render_template("working.html", work=work))

    @app.errorhandler(InputError)
    def wrong(error: InputError) -> Response:
        """An input is wrong, which is the user's to put right: the desk stays up and says so."""
        page = render_template("problems.html", problems=error.problems)
        return make_response(page, 422 if request.method == "POST" else 200)

    @app.errorhandler(HTTPException)
    def refused(error: HTTPException) -> Response:
        words = {
            404: "There is no such page on this desk.",
            405: "That address takes a form only, and the form was not sent with it.",
            413: "That is too much for a form.",
        }
        if api.is_one():
            problem = Problem(None, None, error.description or error.name)
            return api.answered({"problems": plain.problems([problem])}, error.code or 500)
        own = error.description if error.description != type(error).description else None
        text = own or words.get(error.code or 0, error.description or error.name)
        return make_response(render_template("nothing.html", text=text), error.code or 500)

    @app.errorhandler(Exception)
    def fault(error: Exception) -> Response:
        if os.environ.get("PALETTE_TRACEBACK"):
            raise error
        what = " ".join(f"{type(error).__name__}: {error}".split())
        if isinstance(error, OSError):
            problem = Problem(
                error.filename, None, (error.strerror or str(error)).lower(), "make sure it may be used"
            )
        else:
            remedy = "PALETTE_TRACEBACK=1 shows where, please report it"
            problem = Problem(None, None, f"a fault in palette itself ({what})", remedy)
        print(f"error: {problem}", file=sys.stderr)
        if api.is_one():
            return api.answered({"problems": plain.problems([problem])}, 500)
        return make_response(render_template("problems.html", problems=[problem]), 500)

    return app
