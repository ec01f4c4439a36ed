"""A static site over many kits: only what changed is made again."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from palette.files import change_together, check_folder, inside, make_folder, undo_stopped
from palette.files.changes import Change
from palette.shelf import pages
from palette.shelf.affected import Affected, affected
from palette.shelf.kits import Built, build_kit, kits_in, slugs, unchanged
from palette.shelf.many import ask

STATE = "shelf-state.json"
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Shelved:
    """One kit of the shelf: whether its pages were made now, and what is wrong with it."""

    folder: str
    title: str
    built: bool
    problem: str


@dataclass(frozen=True)
class Shelf:
    kits: tuple[Shelved, ...]
    affected: tuple[Affected, ...] = ()


def shelf(
    folders: Sequence[Path],
    out: Path,
    jobs: int = -1,
    lists: tuple[Path, Path] | None = None,
    address: str = "",
    progress: Progress | None = None,
) -> Shelf:
    """Build the site over the kits in `folders` into `out`, with so many `jobs` side by side (-1: as many as
    there are cores), or with whatever workers `palette.jobs.workers` has chosen.

    `lists` are an old and a new list of paints: parts that what became of it touches are marked. `address` is
    where the site will stand, for the feed. A kit that cannot be read keeps the pages it had.

    Raises:
        InputError: no kit is found, or the site cannot be written.
    """
    kits = kits_in(folders)
    undo_stopped(out)
    check_folder(out)
    state = _state(out)
    before: dict[str, Any] = state["kits"] if state["code"] == _code() else {}
    names = slugs(kits, {folder: one["slug"] for folder, one in state["kits"].items()})
    todo = [folder for folder in kits if not _stands(before.get(str(folder)), out, names[str(folder)])]
    make_folder(out)
    kept = {folder: one for folder, one in state["kits"].items() if folder in names}
    problems: dict[str, str] = {}
    for done, one in enumerate(ask(build_kit, todo, jobs), 1):
        if one.answer is None:
            problems[one.kit] = one.problem
        else:
            kept[one.kit] = _place(one.answer, out, names[one.kit])
            if done % 20 == 0:  # what is done so far stands, should this be stopped
                _save(out, kept)
        if progress is not None:
            progress(done, len(todo))
    hit = affected({folder: one["record"] for folder, one in kept.items()}, *lists) if lists else []
    _front(out, kits, kept, hit, address)
    _save(out, kept)
    _clear(out, state["kits"], kept)
    made = {str(folder) for folder in todo}
    return Shelf(
        tuple(
            Shelved(
                str(folder),
                kept[str(folder)]["record"]["title"] if str(folder) in kept else "",
                str(folder) in made and str(folder) not in problems,
                problems.get(str(folder), ""),
            )
            for folder in kits
        ),
        tuple(hit),
    )


def _stands(one: dict[str, Any] | None, out: Path, slug: str) -> bool:
    """Whether a kit's pages are those of the kit as it is."""
    return (
        one is not None
        and one["slug"] == slug
        and unchanged(one["inputs"])
        and (out / "kits" / slug / "index.html").is_file()
    )


def _place(one: Built, out: Path, slug: str) -> dict[str, Any]:
    """Write a kit's pages, all or none."""
    folder = out / "kits" / slug
    inside(folder, out)
    make_folder(folder, out)
    change_together([Change(folder / name, raw) for name, raw in one.files.items()], out)
    return {"slug": slug, "inputs": one.inputs, "record": one.record}


def _front(
    out: Path, kits: Sequence[Path], kept: dict[str, Any], hit: Sequence[Affected], address: str
) -> None:
    """The pages that tell of all kits."""
    marks: dict[str, list[Affected]] = {}
    for one in hit:
        marks.setdefault(one.folder, []).append(one)
    listed = [
        {**kept[folder]["record"], "slug": kept[folder]["slug"], "affected": marks.get(folder, [])}
        for folder in map(str, kits)
        if folder in kept
    ]
    listed.sort(key=lambda kit: (kit["date"], kit["title"]), reverse=True)
    texts = pages.front(listed, address)
    same = {name: text for name, text in texts.items() if not _holds(out / name, text)}
    if same:
        change_together([Change(out / name, text) for name, text in same.items()], out)


def _holds(path: Path, text: str) -> bool:
    try:
        return path.read_bytes() == text.encode()
    except OSError:
        return False


def _state(out: Path) -> dict[str, Any]:
    """What an earlier run left, or nothing where there was none."""
    empty: dict[str, Any] = {"code": "", "kits": {}}
    try:
        state = json.loads((out / STATE).read_text("utf-8"))
        return state if isinstance(state["kits"], dict) and isinstance(state["code"], str) else empty
    except (OSError, ValueError, KeyError, TypeError):
        return empty


def _save(out: Path, kept: dict[str, Any]) -> None:
    kits = dict(sorted(kept.items()))
    text = json.dumps({"schema": 1, "code": _code(), "kits": kits}, ensure_ascii=False)
    if not _holds(out / STATE, text):
        change_together([Change(out / STATE, text)], out)


def _clear(out: Path, before: dict[str, Any], kept: dict[str, Any]) -> None:
    """Take away the pages of kits that are gone."""
    stays = {one["slug"] for one in kept.values()}
    for one in before.values():
        folder = out / "kits" / str(one["slug"])
        if one["slug"] not in stays and folder.parent == out / "kits" and folder.is_dir():
            shutil.rmtree(folder, ignore_errors=True)


@cache
def _code() -> str:
    """What tells one palette from another: its own files."""
    import hashlib

    root = Path(__file__).parents[1]
    digest = hashlib.blake2b(digest_size=16)
    for path in sorted(_sources(root)):
        status = path.stat()
        digest.update(f"{path.relative_to(root)} {status.st_size} {status.st_mtime_ns}\n".encode())
    return digest.hexdigest()


def _sources(root: Path) -> Iterator[Path]:
    kinds = (".py", ".typ", ".html", ".js", ".css", ".ftl", ".csv", ".npz")
    return (path for path in root.rglob("*") if path.suffix in kinds)
