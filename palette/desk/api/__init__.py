"""What the page asks the server for and tells it, as JSON: below /kit/N/api/, one module a matter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, TypeAlias

from flask import Flask, Response, abort, jsonify, request

from palette.desk import plain
from palette.desk.bench import Bench, Desk
from palette.desk.live import Clash
from palette.errors import InputError, Problem

Answer: TypeAlias = Callable[[Bench], Any]


def register(app: Flask, desk: Desk) -> None:
    """Add every address."""
    from palette.desk.api import changing, current, paints, pictures, printing, uploads

    for module in (current, changing, pictures, uploads, paints, printing):
        module.register(app, desk)


def address(app: Flask, desk: Desk, path: str, method: str = "GET") -> Callable[[Answer], Answer]:
    """Let a function answer `/kit/N/PATH`: its mapping goes out as JSON, a response as it is; what is wrong
    with the input as problems with status 422, a clash with status 409."""

    def register_(answer: Answer) -> Answer:
        @wraps(answer)
        def asked(number: int) -> Response:
            if not 1 <= number <= len(desk.benches):
                abort(404)
            try:
                content = answer(desk.benches[number - 1])
            except Clash as clash:
                what = "the kit has been changed since: " + ", ".join(clash.what)
                told = [Problem(None, None, what, "look at both, and repeat it if it is still right")]
                return answered({"problems": plain.problems(told), "clash": clash.plain()}, 409)
            except InputError as error:
                return answered({"problems": plain.problems(error.problems)}, 422)
            return content if isinstance(content, Response) else answered(content)

        endpoint = f"api:{method}:{path}"
        app.add_url_rule(f"/kit/<int:number>/{path}", endpoint, asked, methods=[method])
        return answer

    return register_


def is_one() -> bool:
    """Whether what is asked for is an address of this kind."""
    return (request.endpoint or "").startswith("api:")


def answered(content: Any, status: int = 200) -> Response:
    """An answer as JSON."""
    answer = jsonify(content)
    answer.status_code = status
    return answer


def body() -> Mapping[str, Any]:
    """The JSON object that was sent.

    Raises:
        InputError: there is none.
    """
    sent = request.get_json(silent=True)
    if not isinstance(sent, dict):
        raise InputError(Problem(None, None, "no JSON object was sent", "send one, with its content type"))
    return sent


def text(sent: Mapping[str, Any], key: str) -> str:
    """A text that was sent; '' where it is missing or none."""
    value = sent.get(key)
    return value if isinstance(value, str) else ""
