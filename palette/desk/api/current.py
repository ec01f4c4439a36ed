"""The kit as it stands, and what happens to it."""

from __future__ import annotations

from typing import Any

from flask import Flask, Response, request

from palette.desk import edits, plain, state
from palette.desk.api import address
from palette.desk.bench import Bench, Desk
from palette.desk.history import Step
from palette.desk.live import Live, Reading, edits_lists


def register(app: Flask, desk: Desk) -> None:
    @address(app, desk, "api/state")
    def whole(bench: Bench) -> dict[str, Any]:
        bench.live.watch()
        now = bench.live.read()
        bench.scheming.start()
        swatches = bench.live.swatches()
        return {
            "version": now.version,
            "problems": plain.problems(bench.live.problems),
            "path": str(bench.path),
            "kit": state.kit_values(now.data),
            "parts": state.parts(now.data, now.kit, swatches),
            "references": references(bench, now, None),
            "lists": lists(bench, now),
            "examples": edits.has_examples(dict(now.data)),
            **steps(bench.live),
            "options": state.options(),
        }

    @address(app, desk, "api/rows")
    def rows(bench: Bench) -> dict[str, Any]:
        bench.live.watch()
        return bench.scheming.rows()

    @address(app, desk, "api/history")
    def history(bench: Bench) -> dict[str, Any]:
        bench.live.read()
        every, at = bench.live.history.steps()
        rows = [
            {"words": step.words, "time": step.time, "by": step.by, "at": i == at - 1, "done": i < at}
            for i, step in enumerate(every)
        ]
        return {"steps": rows[::-1]}

    @address(app, desk, "api/events")
    def events(bench: Bench) -> Response:
        bench.live.watch()
        bench.live.read()
        stream = bench.live.hub.listen({"version": bench.live.read().version})
        answer = Response(stream, mimetype="text/event-stream")
        answer.headers["X-Accel-Buffering"] = "no"
        gone = request.environ.get("waitress.client_disconnected")
        if gone is not None:
            answer.call_on_close(lambda: None)
        return answer


def references(bench: Bench, now: Reading, only: list[str] | None) -> list[dict[str, Any]]:
    """The references, or some of them, with what is known of their files."""
    swatches = bench.live.swatches()
    listed = []
    for table, reference in zip(now.data.get("reference", []), now.kit.references, strict=True):
        if only is None or reference.id in only:
            listed.append(state.reference(table, bench.pictures.of(reference), swatches))
    return listed


def lists(bench: Bench, now: Reading) -> list[dict[str, Any]]:
    """The lists of paints, each with its problems."""
    return [
        {"file": file, **bench.pictures.of_list(bench.path.parent / file)} for file in edits_lists(now.data)
    ]


def steps(live: Live) -> dict[str, Any]:
    """What would be undone and done again."""
    return {"undo": _step(live.history.undo), "redo": _step(live.history.redo)}


def _step(step: Step | None) -> dict[str, Any] | None:
    return None if step is None else {"words": step.words, "by": step.by, "time": step.time}


def order(now: Reading) -> list[str]:
    """The ids of the references."""
    return [reference.id for reference in now.kit.references]
