"""Editions that were let out, filed under `editions/` beside a kit.

One folder an edition, named after its version: `scheme.json` as it went out, and `edition.json`, which says
when, as which number, and the digest of both.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from palette.errors import InputError, Problem
from palette.files import Change, change_together, read_text
from palette.guide.editions import Edition, read_edition
from palette.kit.model import Kit

FOLDER = "editions"


@dataclass(frozen=True)
class Filed:
    """An edition that was let out."""

    number: int  # 1 is the first
    version: str
    stage: str
    date: str  # ISO 8601
    scheme: Path  # its scheme.json
    sha256: str  # of that


def filed(kit: Kit) -> list[Filed]:
    """The kit's editions, the first one first.

    Raises:
        InputError: with a problem for every edition that cannot be read, or was changed since.
    """
    editions: list[Filed] = []
    problems: list[Problem] = []
    for path in sorted((kit.path.parent / FOLDER).glob("*/edition.json")):
        try:
            editions.append(_read(path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError.of(problems)
    return sorted(editions, key=lambda one: one.number)


@contextmanager
def filing(kit: Kit, scheme: str, bundle: str) -> Iterator[Filed]:
    """File what is let out within; where that fails, the editions are as they were.

    `scheme` is the text of its scheme.json, `bundle` the name of its file. An edition of the same version
    takes the place of the one before. Killed before the bundle is there, letting it out again does both.
    """
    known = filed(kit)
    same = next((one for one in known if one.version == kit.version), None)
    number = same.number if same else max((one.number for one in known), default=0) + 1
    folder = same.scheme.parent if same else kit.path.parent / FOLDER / _slug(kit.version, number)
    date = kit.date or (datetime.date.fromisoformat(same.date) if same else datetime.date.today())
    digest = hashlib.sha256(scheme.encode()).hexdigest()
    entry = {
        "schema": 1,
        "number": number,
        "version": kit.version,
        "stage": kit.stage,
        "date": date.isoformat(),
        "bundle": bundle,
        "sha256": digest,
    }
    texts = {"scheme.json": scheme, "edition.json": json.dumps(entry, ensure_ascii=False, indent=1) + "\n"}
    before = {name: _bytes(folder / name) for name in texts}
    changes = [Change(folder / name, text) for name, text in texts.items()]
    change_together(changes, kit.path.parent, folders=[folder])
    try:
        yield Filed(number, kit.version, kit.stage, date.isoformat(), folder / "scheme.json", digest)
    except BaseException:
        change_together([Change(folder / name, raw) for name, raw in before.items()], kit.path.parent)
        with suppress(OSError):
            folder.rmdir()
            folder.parent.rmdir()
        raise


def _bytes(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def edition_of(one: Filed) -> Edition:
    """The colours of an edition.

    Raises:
        InputError: its scheme.json is not what was filed.
    """
    text = read_text(one.scheme)
    if hashlib.sha256(text.encode()).hexdigest() != one.sha256:
        what = "was changed since it was filed"
        raise InputError(Problem(str(one.scheme), None, what, "put back what was let out"))
    edition = read_edition(one.scheme)
    if edition is None:
        raise InputError(Problem(str(one.scheme), None, "is no scheme", "put back what was let out"))
    return edition


def find(kit: Kit, version: str) -> Filed:
    """The edition of a version.

    Raises:
        InputError: there is none.
    """
    editions = filed(kit)
    for one in editions:
        if one.version == version:
            return one
    known = ", ".join(one.version for one in editions)
    remedy = f"there is {known}" if known else "let one out with palette release"
    raise InputError(Problem(str(kit.path), None, f"no edition {version!r} was let out", remedy))


def _read(path: Path) -> Filed:
    try:
        entry: Any = json.loads(read_text(path))
        return Filed(
            int(entry["number"]),
            str(entry["version"]),
            str(entry["stage"]),
            datetime.date.fromisoformat(str(entry["date"])).isoformat(),
            path.with_name("scheme.json"),
            str(entry["sha256"]),
        )
    except (ValueError, KeyError, TypeError) as error:
        what = "is no edition that palette filed"
        raise InputError(Problem(str(path), None, what, "put it back, or take its folder away")) from error


def _slug(version: str, number: int) -> str:
    """A folder's name from a version."""
    return re.sub(r"[^\w.-]+", "-", version).strip("-.") or str(number)
