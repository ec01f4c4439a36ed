"""What the desk changes in a kit.toml: each a few words in its text, the rest stays as its maker wrote it."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from hashlib import blake2b
from pathlib import Path
from typing import Any

from palette.errors import InputError, Problem
from palette.kit.model import Rect, Reference
from palette.kit.write import Draft

_LISTS = {("reference", "anchor"), ("reference", "sample"), ("part", "hint")}


def version(path: Path) -> str:
    """What a kit.toml says, in short: a page that counts its tables is good for this text only."""
    try:
        return blake2b(path.read_bytes(), digest_size=12).hexdigest()
    except OSError:
        return ""


def rectangle(texts: Mapping[str, str], reference: Reference) -> list[float | int]:
    """A rectangle typed or drawn on a reference's picture: left, top, width, height in pixels.

    Raises:
        InputError: no numbers, no area, no pixel of the picture in it, or the picture cannot be read.
    """
    from palette.evidence.pictures.decode import open_picture
    from palette.evidence.pictures.regions import pixels

    numbers: list[float | int] = []
    for name in ("left", "top", "width", "height"):
        try:
            value = float(texts.get(name, "").strip().replace(",", "."))
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            remedy = "draw a rectangle on the picture, or type left, top, width and height in pixels"
            raise InputError(Problem(None, None, "no place is marked", remedy))
        numbers.append(int(value) if value == int(value) else round(value, 2))
    x, y, width, height = numbers
    if width <= 0 or height <= 0:
        remedy = "draw it larger, or type a width and a height above 0"
        raise InputError(Problem(None, None, "the rectangle has no area", remedy))
    picture = open_picture(reference.file)
    if not pixels(Rect(x, y, width, height), picture.width, picture.height)[1].any():
        remedy = f"the picture is {picture.width} × {picture.height} pixels: mark a place in it"
        raise InputError(Problem(None, None, "the rectangle holds no pixel of the picture", remedy))
    return numbers


def add(path: Path, owner: str, id: str, array: str, values: Mapping[str, Any]) -> None:
    """Add a table to a part's or a reference's array: ('reference', 'slide', 'sample', {...}).

    Raises:
        InputError: the kit cannot be changed so, or not now; it is then as it was.
    """
    draft = Draft(path)
    draft.append((*_place(draft, owner, id), array), values)
    _save(draft)


def begin(path: Path, owner: str, values: Mapping[str, Any]) -> None:
    """Add a part or a reference; InputError as `add`."""
    draft = Draft(path)
    draft.append((owner,), values)
    _save(draft)


def take_out(path: Path, owner: str, id: str, array: str, number: int, seen: str) -> None:
    """Take the table of that number (from 0) out of an array, as it was numbered when the file was `seen`.

    Raises:
        InputError: as `add`; also where the file has been changed since.
    """
    if (owner, array) not in _LISTS:
        raise InputError(Problem(None, None, f"a {owner} has no {array}s", "open the page again"))
    draft = Draft(path)
    if version(draft.path) != seen:
        what = "has been changed since the page was shown; nothing was taken out"
        raise InputError(Problem(str(draft.path), None, what, "look at the page anew and repeat it"))
    try:
        draft.remove((*_place(draft, owner, id), array, number))
    except KeyError:
        what = f"{id!r} has no {array} {number + 1} in a table of its own"
        raise InputError(Problem(str(draft.path), None, what, "take it out in an editor")) from None
    _save(draft)


def decide(path: Path, part: str, colour: Mapping[str, Any] | None, why: str) -> None:
    """Set the maker's own colour for a part, with the reason; None takes both back.

    Raises:
        InputError: as `add`; also where there is a colour and no reason.
    """
    why = " ".join(why.split())
    if colour is not None and not why:
        remedy = "say in a few words what it rests on; the guide prints it"
        raise InputError(Problem(None, None, "a colour decided needs its reason", remedy))
    draft = Draft(path)
    place = _place(draft, "part", part)
    stated = draft.kit.part(part).colour
    if colour is not None:
        draft.set((*place, "colour"), dict(colour))
        draft.set((*place, "why"), why)
    else:
        for key in ("colour", "why"):
            try:
                draft.remove((*place, key))
            except KeyError:
                continue
    if stated is not None and not _has_colour(draft, part, colour is not None):
        what = f"the colour of {part!r} is written in a way that the desk does not change"
        raise InputError(Problem(str(draft.path), stated.line, what, "change it in an editor"))
    _save(draft)


def set_kit(path: Path, values: Mapping[str, Any]) -> None:
    """Set keys of the kit itself, such as its stage; a value that is '' already or still is left alone.

    Raises:
        InputError: as `add`.
    """
    draft = Draft(path)
    for key, value in values.items():
        if value != tomllib.loads(draft.text)["kit"].get(key, ""):
            draft.set(("kit", key), value)
    _save(draft)


def add_list(path: Path, file: str) -> None:
    """Name one more list of paints; InputError as `add`, also where it is named already."""
    draft = Draft(path)
    named = tomllib.loads(draft.text)["kit"].get("swatches", [])
    if file in named:
        raise InputError(Problem(None, None, f"{file} is one of the kit's lists already", "name another"))
    draft.set(("kit", "swatches"), [*named, file])
    _save(draft)


def _save(draft: Draft) -> None:
    """Save a draft. Its text was in order before, so that what is wrong with it now was asked for by a form;
    the lines of a text that nobody will see would only mislead."""
    try:
        draft.save()
    except InputError as error:
        own = str(draft.path)
        raise InputError(
            *(
                replace(problem, file=None, line=None)
                if problem.file == own and problem.line is not None
                else problem
                for problem in error.problems
            )
        ) from None


def _has_colour(draft: Draft, part: str, wanted: bool) -> bool:
    """Whether a decision has been changed as wanted: one in dotted keys or a table of its own is not."""
    try:
        return (draft.kit.part(part).colour is not None) == wanted
    except InputError:
        return False


def _place(draft: Draft, owner: str, id: str) -> tuple[Any, ...]:
    try:
        return draft.place(owner, id)
    except KeyError:
        what = f"has no {owner} {id!r} any more"
        raise InputError(Problem(str(draft.path), None, what, "look at the kit's page anew")) from None
