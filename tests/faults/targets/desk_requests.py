"""Requests to the desk's API: the answer is JSON and no fault, and the kit stays readable."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any
from unittest.mock import patch

from palette.desk.edits import NAMES
from palette.desk.scheming import Scheming
from palette.kit.model import Kit
from tests.desk.desk_made import HOST, Browser, browser, small_kit

TRIES = 6
SEEDS = (757070214126,)  # a path whose name is too long
_WORDS = ["waist", "roof", "a", "b", "", "nowhere", "\x00", "é" * 300, "../../etc/passwd"]
_ODD = [7, -1, 1e308, None, True]
_KEYS = (
    "ref", "id", "ids", "index", "to", "region", "part", "colour", "array", "values", "file", "words", "why",
    "name", "lighter", "list", "row", "owned", "spread", "at",
)  # fmt: skip
_INNER = ("name", "finish", "year", "trust", "hex", "munsell", "part", "\n")


def _value(rng: random.Random, depth: int = 2) -> Any:
    kind = rng.randrange(8 if depth else 5)
    if kind < 4:
        return rng.choice([*_WORDS, *_ODD])
    if kind == 4:
        return rng.uniform(-50, 400)
    if kind == 5:
        return [_value(rng, depth - 1) for _ in range(rng.randrange(5))]
    if kind == 6:
        numbers = [rng.uniform(-5, 300) for _ in range(rng.randrange(5))]
        return {rng.choice(["rect", "spot", "polygon"]): numbers}
    return {rng.choice(_INNER): _value(rng, depth - 1)}


def check(rng: random.Random, folder: Path) -> None:
    """A change either is made or is refused with its problems; the kit can be read after either."""
    small_kit(folder)
    made = browser(folder)
    with patch.object(Scheming, "ask", lambda *_: None):  # no scheme is worked out beside it
        made.desk.open(folder)
        _asked(made, rng, folder)
    made.desk.close()


def _asked(made: Browser, rng: random.Random, folder: Path) -> None:
    sent = {"Host": HOST, "X-Desk-Token": made.desk.token}
    for _ in range(12):
        version = made.client.get("/kit/1/api/state", headers=sent).get_json()["version"]
        op = {key: _value(rng) for key in rng.sample(_KEYS, rng.randrange(6))}
        op["op"] = rng.choice([*NAMES, "swatch.set", "swatch.add", "nothing"])
        path = rng.choice(["change", "change", "change", "undo", "mix", "read", "add"])
        body = {"version": rng.choice([version, version, "old", None]), "ops": [op]}
        body |= {"drops": _value(rng), "region": _value(rng), "path": _value(rng), "ref": "a"}
        raw = json.dumps(body)
        answer = made.client.post(
            f"/kit/1/api/{path}", headers=sent, data=raw, content_type="application/json"
        )
        assert answer.is_json and answer.status_code in (200, 404, 409, 422), (op, answer.status_code)
        assert answer.status_code == 200 or answer.get_json()["problems"], op
        Kit.read(folder)
