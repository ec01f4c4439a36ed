"""A desk with a small kit on it, and a browser that has been let in."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass
from pathlib import Path

from flask.testing import FlaskClient

from palette.desk.app import make_app
from palette.desk.bench import Desk
from tests.evidence.combine.kits import ANCHORS, BROWN, RED, part, picture, reference, write

PORT = 8123
HOST = f"127.0.0.1:{PORT}"


@dataclass
class Browser:
    desk: Desk
    client: FlaskClient

    def get(self, page: str, /, host: str = HOST, **query: object):
        """The page, once its work is done."""
        for _ in range(600):
            answer = self.client.get(page, headers={"Host": host}, query_string=query or None)
            if b'http-equiv="refresh"' not in answer.data:
                return answer
            time.sleep(0.2)
        raise AssertionError(f"{page} never came")

    def post(self, page: str, /, host: str = HOST, **form: object):
        form.setdefault("token", self.desk.token)
        return self.client.post(page, headers={"Host": host}, data=form)


OPENED: list[Desk] = []  # closed after the tests of a file: each watches its kits in a thread


def browser(folder: Path, *, admitted: bool = True) -> Browser:
    desk = Desk(folder)
    OPENED.append(desk)
    desk.listen(PORT)
    client = make_app(desk).test_client()
    if admitted:
        client.set_cookie(desk.cookie, desk.key, domain="127.0.0.1")
    return Browser(desk, client)


def small_kit(folder: Path) -> Path:
    """Two parts, two pictures that disagree about the first, and paints."""
    picture(folder / "a.png", [*ANCHORS, RED])
    picture(folder / "b.png", [*ANCHORS, BROWN])
    blocks = [part("waist", 'name = "Waist panels"   # a remark'), part("roof")]
    return write(folder, *blocks, reference("a", {6: "waist"}), reference("b", {6: "waist"}))


def text(answer) -> str:
    """What a page says, without its tags, on one line."""
    bare = re.sub(r"<(script|style).*?</\1>|<wbr>", "", answer.get_data(as_text=True), flags=re.S)
    return " ".join(re.sub(r"<[^>]+>", " ", bare).split())
