"""Pictures into a kit: copied into its folder of references, each with an entry in its record."""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from palette.errors import InputError, Problem
from palette.files import Change, again_if_changed, change_together
from palette.kit.write import Draft

FOLDER = "references"  # where a kit's pictures stand, beside its kit.toml
ENDINGS = (
    ".jpg",
    ".jpeg",
    ".png",
    ".tif",
    ".tiff",
    ".webp",
    ".heic",
    ".heif",
    ".avif",
    ".bmp",
    ".gif",
    ".jp2",
)
_MOST_BYTES = 1 << 30
_DATE_TAKEN = 0x9003  # Exif DateTimeOriginal: when the light fell, not when it was scanned or saved
_EXIF = 0x8769


@dataclass(frozen=True)
class Incoming:
    """A picture that is to come into a kit: its name there, its bytes, and what its entry says."""

    name: str
    data: bytes
    values: Mapping[str, Any]
    width: int
    height: int


@dataclass(frozen=True)
class Added:
    """A picture as it now stands in the kit."""

    id: str
    file: Path
    width: int
    height: int
    year: int | None
    tone: str


def add(kit: Path, pictures: Sequence[Path]) -> list[Added]:
    """Copy pictures into a kit, each with an entry; all of them or, where anything is wrong, none.

    The year is read from the file where it says when it was taken; a picture without colour is entered in
    grey.

    Raises:
        InputError: with every problem of the kit and of the pictures.
    """
    incoming: list[Incoming] = []
    problems: list[Problem] = []
    for path in pictures:
        try:
            incoming.append(read(path.name, bytes_of(path), path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError.of(problems)

    def enter() -> list[Added]:
        draft = Draft(kit)
        folder = draft.path.parent
        placed = placed_in(folder, incoming, {r.id for r in draft.kit.references})
        changes = [Change(file, one.data, None) for _, file, one, new in placed if new]
        for id, file, one, _ in placed:
            entry = {"id": id, "file": file.relative_to(folder).as_posix(), **one.values}
            draft.append(("reference",), entry)
        coming = frozenset(change.path for change in changes)
        change_together([*changes, draft.change(coming)], folder)
        return [
            Added(id, file, one.width, one.height, one.values.get("year"), one.values.get("tone", "colour"))
            for id, file, one, _ in placed
        ]

    return again_if_changed(enter)


def bytes_of(path: Path) -> bytes:
    """A picture file's bytes; InputError where it cannot be read, or is too large."""
    from palette.evidence.pictures.decode import open_picture

    open_picture(path)  # its problems are said better there
    if path.stat().st_size > _MOST_BYTES:
        raise InputError(
            Problem(str(path), None, f"is larger than {_MOST_BYTES >> 30} GB", "save it smaller")
        )
    return path.read_bytes()


def read(name: str, data: bytes, path: Path) -> Incoming:
    """A picture's bytes, which stand in `path` for now, and what its entry is to say.

    Raises:
        InputError: they are no picture.
    """
    from palette.evidence.pictures.decode import open_picture
    from palette.evidence.pictures.toning import NO_COLOUR, boldness

    picture = open_picture(path)
    values: dict[str, Any] = {"kind": "photograph"}
    small = picture.reduced(1 << 16)
    if picture.grey or boldness(small) < NO_COLOUR:
        values["tone"] = "grey"
    if year := _year(data):
        values["year"] = year
    return Incoming(safe_name(name), data, values, picture.width, picture.height)


def safe_name(name: str) -> str:
    """A file's name that every system takes: no folder, no sign with a meaning, not hidden."""
    bare = unicodedata.normalize("NFC", name.replace("\\", "/").rsplit("/", 1)[-1])
    bare = "".join(c for c in bare if c.isprintable() and c not in '<>:"|?*/').strip(" .")
    stem, dot, ending = bare.rpartition(".")
    return f"{stem[:80]}{dot}{ending}" if stem else bare[:80] or "picture"


def placed_in(
    folder: Path, pictures: Iterable[Incoming], ids: Collection[str]
) -> list[tuple[str, Path, Incoming, bool]]:
    """For each picture its id, its file in the kit's folder, and whether that is to be written: one that
    holds the very picture already is taken as it is, and no other is overwritten."""
    taken_ids, taken_files = set(ids), dict[Path, bytes]()
    out = []
    for one in pictures:
        stem, _, ending = one.name.rpartition(".")
        stem, ending = (stem, f".{ending}") if stem else (one.name, "")
        number = 1
        while True:
            file = folder / FOLDER / (one.name if number == 1 else f"{stem}-{number}{ending}")
            known = taken_files.get(file)
            if known is None and not file.exists() and not file.is_symlink():
                new = True
                break
            if known == one.data or (known is None and _holds(file, one.data)):
                new = False
                break
            number += 1
        taken_files[file] = one.data
        id = _id(stem, taken_ids)
        taken_ids.add(id)
        out.append((id, file, one, new))
    return out


def _holds(file: Path, data: bytes) -> bool:
    try:
        return file.is_file() and file.stat().st_size == len(data) and file.read_bytes() == data
    except OSError:
        return False


def _id(stem: str, taken: Collection[str]) -> str:
    plain = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    base = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "picture"
    id, number = base, 2
    while id in taken:
        id, number = f"{base}-{number}", number + 1
    return id


def _year(data: bytes) -> int | None:
    """The year a picture was taken in, where its Exif says so."""
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data)) as image:
            said = str(image.getexif().get_ifd(_EXIF).get(_DATE_TAKEN, ""))
    except Exception:  # a format that Pillow does not know, or a damaged tag: there is no date
        return None
    year = re.match(r"(\d{4}):\d\d:\d\d", said)
    return int(year[1]) if year and 1826 <= int(year[1]) <= 3000 else None


def pictures_in(folder: Path) -> list[Path]:
    """The pictures of a folder by their endings, in order of their names.

    Raises:
        InputError: it cannot be listed.
    """
    try:
        return sorted(path for path in folder.iterdir() if path.suffix.lower() in ENDINGS and path.is_file())
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(
            Problem(str(folder), None, f"cannot be looked into: {reason}", "name another")
        ) from None
