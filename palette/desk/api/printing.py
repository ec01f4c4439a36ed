"""The guide beside the work, and the check of the painted print."""

from __future__ import annotations

from typing import Any

from flask import Flask, Response, abort, make_response, request

from palette.desk import plain, printing
from palette.desk.api import address, body, text
from palette.desk.bench import LONG, Bench, Desk
from palette.desk.edits import wrong

PAPERS = ("a4", "letter")


def register(app: Flask, desk: Desk) -> None:
    @address(app, desk, "api/guide")
    def guide(bench: Bench) -> dict[str, Any]:
        from palette.desk.pages.guide import _written

        paper = _paper(request.args.get("paper", PAPERS[0]))
        now, scheming = bench.live.read(), bench.scheming
        known = scheming.made.get(f"guide {paper}")
        failed = scheming.made.get(f"failed guide {paper}", ())
        fresh = known is not None and known[0] == now.version
        if not fresh:
            scheming.once(f"guide {paper}", now.version, paper, now.kit)
        written = [
            {"name": name, "what": what, "when": when, "stale": stale}
            for name, what, when, stale in _written(now.kit)
        ]
        return {
            "status": "ready" if fresh else "failed" if failed else "working",
            "v": None if known is None else known[0],
            "stale": not fresh,
            "pages": 0 if known is None else printing.page_count(known[1]),
            "problems": plain.problems(failed),
            "written": written,
        }

    @address(app, desk, "guide-page")
    def page(bench: Bench) -> Response:
        known = bench.scheming.made.get(f"guide {_paper(request.args.get('paper', PAPERS[0]))}")
        v = request.args.get("v")
        if known is None or (v and v != known[0]):
            abort(404, "That page is not there any more.")
        scale = min(max(request.args.get("scale", 1.0, type=float), 0.25), 3.0)
        png = printing.page(known[1], request.args.get("n", 1, type=int), scale)
        if png is None:
            abort(404, "There is no such page.")
        answer = make_response(png)
        answer.mimetype = "image/png"
        if v:
            answer.headers["Cache-Control"] = "private, max-age=86400, immutable"
        return answer

    @address(app, desk, "api/guide/write", "POST")
    def write(bench: Bench) -> dict[str, Any]:
        from palette.desk.pages.guide import _build

        paper = _paper(text(body(), "paper") or PAPERS[0])
        bench.builds += 1
        paths = _build(bench, bench.kit(), bench.builds, paper, LONG)
        return {"written": [str(path) for path in paths]}

    @address(app, desk, "api/check")
    def check(bench: Bench) -> dict[str, Any]:
        now, scheming = bench.live.read(), bench.scheming
        if not any(r.subject == "painted" and r.samples for r in now.kit.references):
            why = "No picture shows the painted print yet: photograph it beside a grey card, and mark it."
            return {"status": "none", "why_not": why, "parts": [], "unseen": [], "notes": [], "problems": []}
        known = scheming.made.get("check")
        failed = scheming.made.get("failed check", ())
        fresh = known is not None and known[0] == now.version
        if not fresh:
            scheming.once("check", now.version, now.kit)
        checked = known[1] if known is not None else {"parts": [], "unseen": [], "notes": []}
        status = "ready" if fresh else "failed" if failed else "working"
        return {"status": status, "why_not": "", "problems": plain.problems(failed), **checked}


def _paper(given: str) -> str:
    if given not in PAPERS:
        raise wrong(f"there is no paper {given!r}", "choose a4 or letter")
    return given
