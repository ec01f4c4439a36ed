"""The guide: building it, opening it, and how the painted print compares."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from flask import Flask, Response, abort, flash, make_response, render_template, request, send_file
from werkzeug.wrappers import Response as AnyResponse

from palette.desk import shown
from palette.desk.bench import Bench, Desk, files
from palette.desk.pages import bench_of, go
from palette.desk.works import Tell, Working
from palette.errors import InputError, Problem
from palette.kit.model import Kit

WRITTEN = {
    "guide.pdf": "to paint from, printed",
    "dossier.pdf": "the evidence, printed",
    "guide.html": "to paint from, on a screen",
    "scheme.json": "the scheme, for programs",
}
PAPERS = {"a4": "A4", "letter": "US Letter"}
# guide.html brings its own style and pictures in it, and nothing else may run there.
_GUIDE_POLICY = (
    "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)


def register(app: Flask, desk: Desk) -> None:
    building: dict[int, tuple[int, str]] = {}  # bench number -> which build, on which paper
    failed: dict[int, Sequence[Problem]] = {}  # what went wrong with it, until a page has said so

    @app.get("/kit/<int:number>/guide", endpoint="guide")
    def show(number: int) -> AnyResponse:
        bench = bench_of(desk, number)
        kit = bench.kit()
        asked = building.pop(number, None)
        if asked is not None:
            try:
                _build(bench, kit, *asked)
                flash("The guide is written.")
            except Working:
                building[number] = asked
                raise
            except InputError as error:
                failed[number] = error.problems
        problems: Sequence[Problem] = ()
        check, why_not = None, ""
        if any(r.subject == "painted" and r.samples for r in kit.references):
            try:
                check = bench.check(kit)
            except InputError as error:
                problems = error.problems
        else:
            why_not = (
                "No reference shows the painted print yet. Paint a test print, photograph it with a grey card"
            )
        return make_response(
            render_template(
                "guide.html",
                kit=kit,
                written=_written(kit),
                papers=PAPERS,
                check=check,
                why_not=why_not,
                chip=shown.chip,
                problems=[*failed.pop(number, ()), *problems],
            )
        )

    @app.post("/kit/<int:number>/build", endpoint="build")
    def build(number: int) -> AnyResponse:
        bench = bench_of(desk, number)
        paper = request.form.get("paper", "a4")
        if paper not in PAPERS:
            abort(400, "There is no such paper.")
        bench.builds += 1
        building[number] = (bench.builds, paper)
        return go("guide", number=number)

    @app.get("/kit/<int:number>/out/<name>", endpoint="out")
    def out(number: int, name: str) -> AnyResponse:
        path = _out(bench_of(desk, number).kit()) / name
        if name not in WRITTEN or not path.is_file():
            abort(404, "The guide has not been built yet.")
        answer: Response = send_file(path.resolve(), as_attachment=bool(request.args.get("download")))
        if name == "guide.html":
            answer.headers["Content-Security-Policy"] = _GUIDE_POLICY
        elif name.endswith(".pdf"):  # a browser's own viewer needs what the pages of the desk do not
            answer.headers["Content-Security-Policy"] = "form-action 'none'"
        return answer


def _build(bench: Bench, kit: Kit, number: int, paper: str, patience: float | None = None) -> list[Path]:
    from palette.guide import build

    def compute(tell: Tell) -> list[Path]:
        return build(kit, _out(kit), paper, tell)

    return bench.works.ask("guide", number, compute, "Building the guide", patience)


def _out(kit: Kit) -> Path:
    return kit.path.parent / "out"


def _written(kit: Kit) -> list[tuple[str, str, str, bool]]:
    """Each file of the guide that is there: name, what it is for, when it was written, whether the kit has
    been changed since."""
    changed = 0.0
    for path in files(kit):
        try:
            changed = max(changed, path.stat().st_mtime)
        except OSError:
            continue
    written = []
    for name, what in WRITTEN.items():
        try:
            time = (_out(kit) / name).stat().st_mtime
        except OSError:
            continue
        written.append((name, what, f"{datetime.fromtimestamp(time):%d %B %Y, %H:%M}", time < changed))
    return written
