"""Who may see the desk and who may change something with it: this user's browser, and nobody's web page.

- The server listens on the loopback address only (`palette.desk.server`).
- The Host header must name that address: a foreign name that has been made to point here is refused.
- The address that is printed, and the one a browser is started with, hold a ticket each. A ticket is good
  for one use: it becomes a cookie and dies, so that what stands in the list of processes or in the browser's
  history opens nothing. Other users of this machine can reach the port, but have no ticket and no cookie.
- The cookie is HttpOnly and SameSite=Strict, named after the port, and goes only to addresses below this
  run's own path, which nobody can guess (`palette.desk.server`): browsers would send it to every other
  server on 127.0.0.1, whoever runs that. What remains: plain http cannot say `Secure` or `__Host-`, and who
  can read this user's memory or files can be this user.
- Every change is a POST with this run's token, in the form or in a header: a page elsewhere can send a form
  here, and the cookie is told not to go along, but it cannot know the token.
- What a browser says of where a request comes from is believed where it speaks against it: a foreign
  `Origin`, or a `Sec-Fetch-Site` of another site, is refused, whatever else is right.
- Nothing but this desk's own style, script and pictures is loaded, and no other page may frame it.
"""

from __future__ import annotations

from hmac import compare_digest

from flask import Flask, Response, make_response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from palette.desk.bench import Desk

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob: data:; "
    "connect-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
TOKEN_HEADER = "X-Desk-Token"
_READING = ("GET", "HEAD", "OPTIONS")
_OWN_SITE = (
    "same-origin",
    "none",
)  # what Sec-Fetch-Site says of this desk's pages, and of an address typed in
_REFUSED = {
    "host": "This desk answers on this machine only.",
    "ticket": "This address has been used, and was good for one use. The terminal shows a new one.",
    "key": "This page needs the whole address that palette desk printed: copy it from the terminal.",
    "site": "This desk answers its own pages only.",
    "token": "Nothing was changed: the form was not one of this desk's, or the desk has been started anew "
    "since. Open the page again and repeat it.",
}


def guard(app: Flask, desk: Desk) -> None:
    """Let `app` answer nobody but the user of `desk`."""

    @app.before_request
    def admit() -> AnyResponse | None:
        if request.headers.get("Host", "").lower() not in desk.hosts:
            return _refuse("host")
        known = _same(request.cookies.get(desk.cookie, ""), desk.key)
        given = request.args.get("ticket")
        if given is not None and request.method == "GET":
            taken = desk.tickets.take(given)
            if not (taken or known):
                return _refuse("ticket")
            rest = {name: value for name, value in request.args.items() if name != "ticket"}
            answer = redirect(_address(request.script_root, request.path, rest))
            if taken:
                path = f"{request.script_root}/"
                answer.set_cookie(desk.cookie, desk.key, path=path, httponly=True, samesite="Strict")
            return answer
        if _foreign():
            return _refuse("site")
        if not known:
            return _refuse("key")
        if request.method not in _READING:
            token = request.headers.get(TOKEN_HEADER)
            if not _same(request.form.get("token", "") if token is None else token, desk.token):
                return _refuse("token")
        return None

    @app.after_request
    def headers(response: Response) -> Response:
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers["X-Content-Type-Options"] = "nosniff"
        # not "no-referrer": a browser would then send the desk's own forms with "Origin: null"
        response.headers["Referrer-Policy"] = "same-origin"
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
        response.headers.setdefault("Cache-Control", "no-store")
        return response


def _foreign() -> bool:
    """Whether the browser says that another site's page, or another server's on this machine, asks."""
    origin = request.headers.get("Origin")
    if origin is not None and origin.lower() != f"http://{request.headers['Host'].lower()}":
        return True
    return request.headers.get("Sec-Fetch-Site", "none").lower() not in _OWN_SITE


def _same(given: str, secret: str) -> bool:
    return compare_digest(given.encode("utf-8", "replace"), secret.encode())


def _address(root: str, path: str, arguments: dict[str, str]) -> str:
    from urllib.parse import quote, urlencode

    # One slash only at the start: two would lead to another host.
    path = f"{root}/" + quote(path.lstrip("/\\"))
    return f"{path}?{urlencode(arguments)}" if arguments else path


def _refuse(why: str) -> AnyResponse:
    answer = make_response(_REFUSED[why] + "\n", 403)
    answer.mimetype = "text/plain"
    return answer
