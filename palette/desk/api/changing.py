"""Changes, undoing and doing again."""

from __future__ import annotations

from typing import Any

from flask import Flask

from palette.desk import edits, state
from palette.desk.api import address, body, text
from palette.desk.api.current import lists, order, references, steps
from palette.desk.bench import Bench, Desk
from palette.desk.live import Done
from palette.errors import InputError, Problem


def register(app: Flask, desk: Desk) -> None:
    @address(app, desk, "api/change", "POST")
    def change(bench: Bench) -> dict[str, Any]:
        sent = body()
        ops = sent.get("ops")
        if not isinstance(ops, list) or not all(isinstance(op, dict) for op in ops):
            raise InputError(Problem(None, None, "no changes were sent", "send a list of them as ops"))
        return told(bench, bench.live.change(_version(sent), ops, text(sent, "words")))

    @address(app, desk, "api/undo", "POST")
    def undo(bench: Bench) -> dict[str, Any]:
        return _go(bench, True)

    @address(app, desk, "api/redo", "POST")
    def redo(bench: Bench) -> dict[str, Any]:
        return _go(bench, False)

    def _go(bench: Bench, back: bool) -> dict[str, Any]:
        seen, now = _version(body()), bench.live.read()
        step = bench.live.history.undo if back else bench.live.history.redo
        if seen != now.version and step is not None and step.by != "desk":
            what = "the kit has been changed in an editor since"
            raise InputError(Problem(None, None, what, f"look at it, and {'undo' if back else 'redo'} again"))
        return told(bench, bench.live.go(back))


def _version(sent: Any) -> str:
    seen = text(sent, "version")
    if not seen:
        raise InputError(Problem(None, None, "the change names no version", "send the one that was seen"))
    return seen


def told(bench: Bench, done: Done) -> dict[str, Any]:
    """What a change did, with what is another now."""
    before, after = done.before, done.after
    changed = state.changed(before.data, after.data) | {"lists": list(done.lists)}
    answer: dict[str, Any] = {
        "version": after.version,
        "before": before.version,
        "words": done.words,
        "changed": changed,
        "order": order(after),
        "removed": changed["removed"],
        "examples": edits.has_examples(dict(after.data)),
        **steps(bench.live),
    }
    if changed["kit"]:
        answer["kit"] = state.kit_values(after.data)
    if changed["parts"]:
        answer["parts"] = state.parts(after.data, after.kit, bench.live.swatches())
    if changed["references"]:
        answer["references"] = references(bench, after, changed["references"])
    if done.lists or changed["kit"]:
        answer["lists"] = lists(bench, after)
    marks = state.marks_changed(before.data, after.data, changed["references"])
    if 0 < len(marks) <= 4:
        answer["marks"] = [bench.pictures.mark(after.kit, *mark) for mark in marks]
    return answer
