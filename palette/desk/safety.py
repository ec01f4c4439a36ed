"""Who may see the desk and who may change something with it: this user's browser, and nobody's web page.

- The server listens on the loopback address only (`palette.desk.server`).
- The Host header must name that address: a foreign name that has been made to point here is refused.
- Every page needs this run's key, from the address printed or the cookie it leaves: other users of this
  machine can reach the port, but do not know the key.
- Every change is a POST with this run's token in the form: a page elsewhere can send a form here, and
  the cookie is told not to go along, but it cannot know the token.
- Nothing but this desk's own style, script and pictures is loaded, and no page may frame it.
"""

from __future__ import annotations

from hmac import compare_digest

from flask import Flask, Response, make_response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from palette.desk.bench import Desk

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
_REFUSED = {
    "host": "This desk answers on this machine only.",
    "key": "This page needs the whole address that palette desk printed: copy it from the terminal.",
    "token": "Nothing was changed: the form was not one of this desk's, or the desk has been started anew "
    "since. Open the page again and repeat it.",
}


def guard(app: Flask, desk: Desk) -> None:
    """Let `app` answer nobody but the user of `desk`."""

    @app.before_request
    def admit() -> AnyResponse | None:
        if request.headers.get("Host", "").lower() not in desk.hosts:
            return _refuse("host")
        given = request.args.get("key")
        if given is not None and request.method == "GET" and _same(given, desk.key):
            rest = {name: value for name, value in request.args.items() if name != "key"}
            answer = redirect(_address(request.path, rest))
            answer.set_cookie(desk.cookie, desk.key, httponly=True, samesite="Strict")
            return answer
        if not _same(request.cookies.get(desk.cookie, ""), desk.key):
            return _refuse("key")
        if request.method not in ("GET", "HEAD", "OPTIONS") and not _same(
            request.form.get("token", ""), desk.token
        ):
            return _refuse("token")
        return None

    @app.after_request
    def headers(response: Response) -> Response:
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        response.headers["Cache-Control"] = "no-store"
        return response


def _same(given: str, secret: str) -> bool:
    return compare_digest(given.encode("utf-8", "replace"), secret.encode())


def _address(path: str, arguments: dict[str, str]) -> str:
    from urllib.parse import quote, urlencode

    # One slash only at the start: two would lead to another host.
    path = "/" + quote(path.lstrip("/\\"))
    return f"{path}?{urlencode(arguments)}" if arguments else path


def _refuse(why: str) -> AnyResponse:
    answer = make_response(_REFUSED[why] + "\n", 403)
    answer.mimetype = "text/plain"
    return answer
