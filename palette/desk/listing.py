"""Lists of paints as a table on the page: what stands in them, and changes of single cells and rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from palette.desk.edits import Op, wrong
from palette.errors import InputError
from palette.swatches.writing import ListDraft


def apply(
    folder: Path, data: Mapping[str, Any], ops: Sequence[Op]
) -> tuple[str, dict[Path, tuple[bytes, bytes]]]:
    """Make changes of lists; returns what was done in words, and each file before and after.

    Raises:
        InputError: one cannot be made, or a list would have problems that it has not now.
    """
    from palette.desk.live import edits_lists

    named = edits_lists(data)
    drafts: dict[Path, ListDraft] = {}
    said = []
    for op in ops:
        if op.get("list") not in named:
            raise wrong(f"{op.get('list')!r} is none of the kit's lists", "look at the kit anew")
        path = (folder / str(op["list"])).resolve()
        if path not in drafts:
            drafts[path] = ListDraft(path)
        said.append(_one(drafts[path], op))
    changed = {path: (draft.read, draft.raw) for path, draft in drafts.items() if draft.raw != draft.read}
    for path, (before, after) in changed.items():
        _check(path, before, after)
    return (said[0] if len(said) == 1 else f"{said[0]}, and {len(said) - 1} more"), changed


def _one(draft: ListDraft, op: Op) -> str:
    name, ids = op.get("op"), [str(id) for id in op.get("ids", [op.get("id")])]
    if name == "swatch.add":
        row = {str(k): _cell(v) for k, v in dict(op["row"]).items()}
        id = row.get("id", "").strip()
        if not id or not row.get("name", "").strip():
            raise wrong("a paint needs an id and a name", "fill in both")
        if id in draft.ids:
            raise wrong(f"a paint has the id {id!r} already", "give each paint an id of its own")
        draft.add(row)
        return f"Add the paint {id}"
    if name == "swatch.set":
        for column, value in dict(op["row"]).items():
            draft.set(ids[0], str(column), _cell(value))
        return f"Change the paint {ids[0]}"
    if name == "swatch.mark":
        for id in ids:
            for column in ("owned", "retired"):
                if column in op:
                    draft.set(id, column, "yes" if op[column] else "no")
        return f"Mark {ids[0] if len(ids) == 1 else f'{len(ids)} paints'}"
    if name == "swatch.remove":
        for id in ids:
            draft.remove(id)
        return f"Take out {ids[0] if len(ids) == 1 else f'{len(ids)} paints'}"
    raise wrong(f"there is no change called {name!r}", "see what the desk offers")


def _cell(value: Any) -> str:
    text = "" if value is None else str(value).strip()
    if len(text) > 10_000 or "\0" in text:
        raise wrong("a cell is too long, or holds what no text holds", "write less into it")
    return text


def _check(path: Path, before: bytes, after: bytes) -> None:
    """InputError where a list reads worse than it did."""
    from palette.swatches.reading import problems_of

    known = {p.what for p in problems_of(path, before)}
    new = [p for p in problems_of(path, after) if p.what not in known]
    if new:
        raise InputError.of(new)


def tables(folder: Path, data: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The kit's lists as they stand: every cell as written, the colour of each paint, and its place among the
    paints of all of them."""
    from palette.desk.live import edits_lists

    read = [_table(folder, file) for file in edits_lists(data)]
    rows = [row for one in read for row in one["rows"]]
    places = _places([row["colour"] and row["colour"]["lab"] for row in rows])
    for row, place in zip(rows, places, strict=True):
        row["place"] = place
    return read


def _table(folder: Path, file: str) -> dict[str, Any]:
    """One list; its problems where it cannot be read."""
    from palette.desk import plain
    from palette.desk.history import version
    from palette.files import read_bytes
    from palette.swatches.reading import load, read_table

    path = folder / file
    empty: dict[str, Any] = {"file": file, "version": None, "columns": [], "rows": []}
    try:
        raw = read_bytes(path)
        content = read_table(path)
    except InputError as error:
        return {**empty, "problems": plain.problems(error.problems)}
    lists, problems = load([path])
    if not lists:
        return {**empty, "problems": plain.problems(problems)}
    (columns,) = lists
    rows = [
        {
            "line": line,
            "id": columns.ids[i],
            "cells": dict(zip(content.columns, cells, strict=False)),
            "colour": plain.colour(columns.lab[i]) if columns.measured[i] else None,
            "owned": columns.yes_no["owned"][i],
            "retired": columns.yes_no["retired"][i] is True,
        }
        for i, (cells, line) in enumerate(zip(content.rows, content.lines, strict=True))
    ]
    return {
        "file": file,
        "version": version(raw),
        "columns": list(content.columns),
        "rows": rows,
        "problems": plain.problems(problems),
    }


def _places(labs: Sequence[Any]) -> list[int]:
    """An order for the eye: greys from light to dark, then hue by hue around the circle, each from light to
    dark; paints without a colour last."""
    import math

    def key(i: int) -> tuple[float, ...]:
        lab = labs[i]
        if lab is None:
            return (2, 0, 0)
        chroma, hue = math.hypot(lab[1], lab[2]), math.degrees(math.atan2(lab[2], lab[1])) % 360
        return (0, 0, -lab[0]) if chroma < 6 else (1, math.floor((hue + 15) % 360 / 30), -lab[0])

    places = [0] * len(labs)
    for place, i in enumerate(sorted(range(len(labs)), key=key)):
        places[i] = place
    return places
