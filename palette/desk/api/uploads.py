"""Pictures into the kit: dropped, pasted, or from a folder of this machine."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from flask import Flask, request

from palette.desk import plain
from palette.desk.api import address, body, text
from palette.desk.api.changing import told
from palette.desk.bench import Bench, Desk
from palette.desk.edits import wrong
from palette.errors import InputError, Problem
from palette.evidence.pictures.adding import Incoming, bytes_of, pictures_in, placed_in, read

MOST_BYTES = 512 << 20
MOST_SHOWN = 500


def register(app: Flask, desk: Desk) -> None:
    @address(app, desk, "api/upload", "POST")
    def upload(bench: Bench) -> dict[str, Any]:
        sent = request.files.getlist("files")
        if not sent:
            raise wrong("no picture was sent", "drop a picture, or paste one")
        incoming: list[Incoming] = []
        problems: list[Problem] = []
        for one in sent:
            name = one.filename or "pasted.png"
            with tempfile.TemporaryDirectory(prefix="palette-") as folder:
                path = Path(folder) / f"picture{Path(name).suffix[:8]}"
                one.save(path)
                try:
                    incoming.append(read(name, path.read_bytes(), path))
                except InputError as error:
                    problems += [Problem(name, None, p.what, p.remedy) for p in error.problems]
        return _enter(bench, request.form.get("version", ""), incoming, problems, request.form.get("for", ""))

    @address(app, desk, "api/add", "POST")
    def add(bench: Bench) -> dict[str, Any]:
        sent = body()
        path = _path(bench, text(sent, "path"))
        incoming: list[Incoming] = []
        problems: list[Problem] = []
        paths = pictures_in(path) if path.is_dir() else [path]
        if not paths:
            raise wrong(f"{path} holds no picture", "name another folder")
        for one in paths:
            try:
                incoming.append(read(one.name, bytes_of(one), one))
            except InputError as error:
                problems += error.problems
        return _enter(bench, text(sent, "version"), incoming, problems, "")

    @address(app, desk, "api/folder")
    def folder(bench: Bench) -> dict[str, Any]:
        path = _path(bench, request.args.get("path", "") or str(Path.home()))
        if not path.is_dir():
            raise wrong(f"{path} is no folder", "name a folder")
        pictures = [{"name": p.name, "bytes": p.stat().st_size} for p in pictures_in(path)[:MOST_SHOWN]]
        try:
            with os.scandir(path) as entries:
                folders = sorted(e.name for e in entries if not e.name.startswith(".") and e.is_dir())
        except OSError as error:
            raise wrong(f"{path} cannot be read: {(error.strerror or '').lower()}", "name another") from error
        return {
            "path": str(path),
            "up": str(path.parent),
            "folders": folders[:MOST_SHOWN],
            "pictures": pictures,
        }


def _path(bench: Bench, given: str) -> Path:
    if not given.strip() or "\0" in given:
        raise wrong("no path is given", "type the path of a picture or of a folder")
    try:
        path = (bench.path.parent / Path(given.strip()).expanduser()).resolve()
        path.is_dir()  # says where a name is too long, or a folder closed
    except (OSError, RuntimeError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise wrong(
            f"that path cannot be used: {reason}", "type the path of a picture or a folder"
        ) from error
    return path


def _enter(
    bench: Bench, seen: str, incoming: Sequence[Incoming], problems: Sequence[Problem], instead: str
) -> dict[str, Any]:
    """Write pictures and their entries; those that were none are told of beside."""
    if not incoming:
        raise InputError.of(problems)
    now = bench.live.read()
    folder = bench.path.parent
    if instead and len(incoming) != 1:
        raise wrong("one picture is to take the place of another", "send just that one")
    placed = placed_in(folder, incoming, {r.id for r in now.kit.references})
    coming = {file: one.data for _, file, one, new in placed if new}
    named = [(id, file.relative_to(folder).as_posix(), one) for id, file, one, _ in placed]
    if instead:
        ops: list[dict[str, Any]] = [{"op": "reference.relink", "id": instead, "file": named[0][1]}]
        words, ids = f"Show where {instead} is now", [instead]
    else:
        entries = [{"id": id, "file": file, "values": dict(one.values)} for id, file, one in named]
        ops = [{"op": "reference.add", **entry} for entry in entries]
        ids = [id for id, _, _ in named]
        words = f"Add the picture {ids[0]}" if len(ids) == 1 else f"Add {len(ids)} pictures"
    done = bench.live.change(seen or now.version, ops, words, coming)
    added = [{"id": id, "file": file} for id, (_, file, _) in zip(ids, named, strict=True)]
    return told(bench, done) | {"added": added, "problems": plain.problems(problems)}
