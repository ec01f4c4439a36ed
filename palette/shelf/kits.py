"""One kit for the shelf: found, watched for changes, and made into its pages."""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from palette.errors import InputError, Problem
from palette.files import refuse_huge
from palette.shelf.filed import FOLDER

if TYPE_CHECKING:
    from palette.evidence.combine.model import Scheme
    from palette.guide.writing import Made
    from palette.kit.model import Kit

_SKIPPED = {"out", FOLDER, "node_modules", "__pycache__"}
_DEEPEST = 6  # folders below the one that is named


@dataclass(frozen=True)
class Built:
    """What came of one kit: its record, its files by name, and the files it was made from."""

    record: dict[str, Any]
    files: dict[str, bytes]
    inputs: dict[str, list[int] | None]


def kits_in(folders: Sequence[Path]) -> list[Path]:
    """The folders that hold a kit.toml, in each folder named or below it, each once.

    Raises:
        InputError: a folder is not there, or none holds a kit.
    """
    kits: dict[Path, None] = {}
    for folder in folders:
        if not folder.is_dir():
            raise InputError(Problem(str(folder), None, "there is no such folder", "check its name"))
        kits.update(dict.fromkeys(_below(folder.resolve(), _DEEPEST)))
    if not kits:
        named = ", ".join(map(str, folders))
        raise InputError(Problem(named, None, "holds no kit.toml", "name a folder with kits in it"))
    return list(kits)


def _below(folder: Path, deep: int) -> Iterator[Path]:
    """Links are not followed: they may lead in a circle, or out of what was named."""
    if (folder / "kit.toml").is_file():
        yield folder
        return
    if deep == 0:
        return
    try:
        inner = sorted(entry.path for entry in os.scandir(folder) if entry.is_dir(follow_symlinks=False))
    except OSError:
        return
    for path in map(Path, inner):
        if not path.name.startswith(".") and path.name not in _SKIPPED:
            yield from _below(path, deep - 1)


def stamp(path: str) -> list[int] | None:
    """What tells whether a file was written since: its size and the time of its last change; None where it is
    not there."""
    try:
        status = os.stat(path)
    except OSError:
        return None
    return [status.st_size, status.st_mtime_ns]


def unchanged(inputs: dict[str, list[int] | None]) -> bool:
    """Whether every file that a kit was made from is as it was."""
    return bool(inputs) and all(stamp(path) == was for path, was in inputs.items())


def build_kit(folder: Path) -> Built:
    """Make the pages of the kit in a folder.

    Raises:
        InputError: with all that is wrong with it.
    """
    from palette.guide.writing import Wanted, make
    from palette.kit.model import Kit

    kit = Kit.read(folder)
    paths = list(_inputs(kit))
    for path in paths:
        refuse_huge(Path(path))
    inputs = {path: stamp(path) for path in paths}
    record, files = _record(kit, make(kit, Wanted()))
    return Built(record, files, inputs)


def _inputs(kit: Kit) -> Iterator[str]:
    """Every file that the pages of a kit depend on."""
    yield str(kit.path)
    yield from (str(reference.file) for reference in kit.references)
    for reference in kit.references:
        yield from (str(path) for path in (reference.response, reference.filter) if isinstance(path, Path))
    yield from map(str, kit.swatches)
    yield from (str(part.mesh) for part in kit.parts if part.mesh is not None)
    yield str(kit.path.parent / "README.md")
    let_out = kit.path.parent / FOLDER
    yield str(let_out)
    yield from (str(path) for path in sorted(let_out.glob("*/*.json")))


def _record(kit: Kit, made: Made) -> tuple[dict[str, Any], dict[str, bytes]]:
    """What the shelf tells of a kit, and its files."""
    from palette.guide.painter import html
    from palette.guide.writing import scheme_file

    guide = made.guide
    files = {
        "index.html": html.render(guide).encode(),
        "scheme.json": scheme_file(made.scheme, Path("scheme.json")).encode(),
    }
    if guide.pictures and guide.views:
        raw = guide.pictures[guide.views[0].picture]
        files["picture.png" if raw[:4] == b"\x89PNG" else "picture.jpg"] = raw
    if (readme := own_file(kit, "README.md")) is not None:
        from palette.shelf.pages import about_page

        files["about.html"] = about_page(kit.title, readme).encode()
    targets = {target.number: target for target in guide.targets if target.role == "base"}
    parts = [
        {
            "name": row.name,
            "words": row.words,
            "hex": row.chip.hex,
            "codes": row.codes,
            "guess": bool(row.guess),
            "lab": list(targets[row.number].lab) if row.number in targets else None,
            "metallic": row.number in targets and targets[row.number].metallic,
        }
        for row in guide.bench
    ]
    paints = {
        pot.paint.code: [pot.paint.name, pot.paint.chip.hex]
        for step in guide.steps
        if step.chosen is not None
        for pot in step.chosen.pots
    }
    record = {
        "title": kit.title,
        "maker": kit.maker,
        "stage": kit.stage,
        "version": kit.version,
        "date": _date(kit),
        "scale": kit.scale,
        "licence": kit.licence,
        "tolerance": kit.tolerance,
        "since": _since(kit, made.scheme),
        "picture": next((name for name in files if name.startswith("picture.")), ""),
        "alt": guide.views[0].alt if guide.views else "",
        "about": "about.html" in files,
        "parts": parts,
        "paints": paints,
        "digest": hashlib.sha256(json.dumps([kit.version, parts]).encode()).hexdigest()[:32],
    }
    return record, files


def _since(kit: Kit, scheme: Scheme) -> list[Any] | None:
    """Of a settled kit whose colours are no longer those of the edition let out last: that edition's version,
    and how many parts changed."""
    from palette.guide.editions import changes, edition
    from palette.shelf.filed import edition_of, filed

    last = filed(kit)[-1:] if kit.stage == "settled" else []
    changed = changes(edition_of(last[0]), edition(scheme)) if last else ()
    return [last[0].version, len(changed)] if changed else None


def own_file(kit: Kit, name: str) -> Path | None:
    """A file that stands in the kit's folder; None where there is none, or only a link that leads out of it:
    what is published is the kit's own."""
    path = kit.path.parent / name
    return path if path.is_file() and path.resolve().parent == kit.path.parent.resolve() else None


def _date(kit: Kit) -> str:
    """The edition's date; where none is given, that of the kit's last change."""
    import datetime

    if kit.date is not None:
        return kit.date.isoformat()
    changed = kit.path.stat().st_mtime
    return datetime.datetime.fromtimestamp(changed, datetime.UTC).date().isoformat()


def slugs(folders: Sequence[Path], taken: dict[str, str]) -> dict[str, str]:
    """A short name for the address of each kit, by its folder; those `taken` before stay."""
    names = {folder: name for folder, name in taken.items() if Path(folder) in set(folders)}
    used = set(names.values())
    for folder in folders:
        if str(folder) in names:
            continue
        base = re.sub(r"[^a-z0-9]+", "-", folder.name.lower()).strip("-") or "kit"
        name, count = base, 1
        while name in used:
            count += 1
            name = f"{base}-{count}"
        names[str(folder)] = name
        used.add(name)
    return names
