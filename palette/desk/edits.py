"""What the desk changes in a kit, as small typed operations, each a few words in the text of kit.toml.

Every operation is made twice: in the text, by `Draft`, and in the plain data that the text means. In the end
both must say the same; what is written in a way that the desk does not change (dotted keys, say) is so found
out before anything is written.
"""

from __future__ import annotations

import copy
import datetime
import math
import re
import tomllib
import unicodedata
from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeAlias

from palette.desk.typed import typed
from palette.errors import InputError, Problem
from palette.kit.pieces import toml
from palette.kit.write import Draft
from palette.swatches.model import SwatchList

Op: TypeAlias = Mapping[str, Any]
Data: TypeAlias = Mapping[str, Any]

MOST_OPS = 2000
_LONGEST = 20_000  # characters of one text
_REGIONS = ("rect", "polygon", "spot")
_ARRAYS = ("sample", "anchor")


def wrong(what: str, remedy: str) -> InputError:
    """An input that is wrong, and no file is to blame."""
    return InputError(Problem(None, None, what, remedy))


class Sheet:
    """A kit.toml being changed by operations; nothing is written before the caller saves `draft`."""

    def __init__(
        self, draft: Draft, paints: Callable[[], SwatchList], coming: Container[Path] = frozenset()
    ) -> None:
        self.draft = draft
        self.coming = coming  # files that will be there when the change is
        self.data: dict[str, Any] = copy.deepcopy(dict(toml(draft.text)))
        self.paints = paints  # the kit's lists, where an operation names a swatch

    # -- the few ways in which a text is changed ------------------------------------------------

    def at(self, place: Sequence[Any]) -> Any:
        value: Any = self.data
        for key in place:
            value = value[key]
        return value

    def put(self, place: tuple[Any, ...], value: Any) -> None:
        """Give a key a value; None takes it out."""
        table = self.at(place[:-1])
        key = place[-1]
        if value is None:
            if key in table:
                del table[key]
                try:
                    self.draft.remove(place)
                except KeyError:  # it stands in an inline table
                    self.draft.set(place[:-1], table)
        elif key not in table or table[key] != value or type(table[key]) is not type(value):
            table[key] = value
            self.draft.set(place, value)

    def put_many(self, values: Sequence[tuple[tuple[Any, ...], Any]]) -> None:
        """Give keys their values, as `put` one by one, and at once where the text allows it."""
        meant = [(place, value) for place, value in values if self._is_other(place, value)]
        try:
            self.draft.set_many(meant)
        except KeyError:
            for place, value in meant:
                self.put(place, value)
            return
        for place, value in meant:
            table = self.at(place[:-1])
            if value is None:
                del table[place[-1]]
            else:
                table[place[-1]] = value

    def _is_other(self, place: tuple[Any, ...], value: Any) -> bool:
        known = self.at(place[:-1]).get(place[-1])
        return known is not value and (known != value or type(known) is not type(value))

    def append(self, array: tuple[Any, ...], values: Mapping[str, Any]) -> int:
        """Add a table to an array of tables; returns its number."""
        tables = self.at(array[:-1]).setdefault(array[-1], [])
        tables.append(copy.deepcopy(dict(values)))
        self.draft.append(array, values)
        return len(tables) - 1

    def drop(self, array: tuple[Any, ...], index: int) -> None:
        """Take a table out of an array."""
        tables = self.at(array)
        del tables[index]
        try:
            self.draft.remove((*array, index))
        except KeyError:  # the array is written on one line
            self.draft.set(array, tables)
        if not tables:
            del self.at(array[:-1])[array[-1]]
            if array in _values(self.draft):
                self.draft.remove(array)

    def move(self, array: tuple[Any, ...], index: int, to: int) -> None:
        tables = self.at(array)
        if not 0 <= to < len(tables):
            raise wrong(f"there is no place {to + 1}", f"give one from 1 to {len(tables)}")
        tables.insert(to, tables.pop(index))
        self.draft.move(array, index, to)

    def close(self) -> None:
        """Make sure that the text says what was asked for.

        Raises:
            InputError: it does not, since something is written in a way that is not changed here.
        """
        try:
            now: Mapping[str, Any] = toml(self.draft.text)
        except tomllib.TOMLDecodeError:
            now = {}
        if _bare(now) != _bare(self.data):
            what = "what is to be changed is written there in a way that the desk does not change"
            raise InputError(Problem(str(self.draft.path), None, what, "change it in an editor"))

    # -- what stands where ----------------------------------------------------------------------

    def part(self, id: Any) -> int:
        return _find(self.data, "part", id)

    def reference(self, id: Any) -> int:
        return _find(self.data, "reference", id)

    def name(self, part: Any) -> str:
        for table in self.data.get("part", []):
            if table.get("id") == part:
                return str(table.get("name") or part)
        return str(part)


def _values(draft: Draft) -> Any:
    from palette.kit.lines import index

    return index(draft.text).values


def _bare(value: Any) -> Any:
    """Data without empty lists of tables, which say nothing; whole numbers are the same with a point."""
    if isinstance(value, dict):
        return {key: _bare(v) for key, v in value.items() if not (isinstance(v, list) and not v)}
    return [_bare(v) for v in value] if isinstance(value, list) else value


def _find(data: Data, kind: str, id: Any) -> int:
    for i, table in enumerate(data.get(kind, [])):
        if table.get("id") == id:
            return i
    raise wrong(f"the kit has no {kind} {id!r} now", "look at the kit anew")


def apply(sheet: Sheet, ops: Sequence[Op]) -> str:
    """Make every operation; returns what was done, in words.

    Raises:
        InputError: one of them cannot be made.
    """
    if not ops:
        raise wrong("nothing is asked for", "name at least one change")
    if len(ops) > MOST_OPS:
        raise wrong(f"{len(ops)} changes are asked for at once", f"send at most {MOST_OPS} at a time")
    said = [_one(sheet, op) for op in ops]
    sheet.close()
    first = said[0]
    return first if len(said) == 1 else f"{first}, and {len(said) - 1} more"


def _one(sheet: Sheet, op: Op) -> str:
    name = op.get("op")
    make = _OPS.get(name) if isinstance(name, str) else None
    if make is None:
        raise wrong(f"there is no change called {name!r}", "see what the desk offers")
    try:
        return make(sheet, op)
    except (KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
        what = f"the change {name!r} lacks something, or names what is not there ({error})"
        raise wrong(what, "look at the kit anew and repeat it") from None


# -- values -------------------------------------------------------------------------------------


def _clean(value: Any, key: str = "") -> Any:
    """A value as JSON has it, ready for TOML."""
    if isinstance(value, str):
        if len(value) > _LONGEST:
            raise wrong(f"a text of {len(value)} characters is too long", f"keep it below {_LONGEST}")
        if key == "date":
            try:
                return datetime.date.fromisoformat(value)
            except ValueError:
                raise wrong(f"{value!r} is no date", "write it as 2024-05-31") from None
        return value
    if isinstance(value, bool) or (isinstance(value, int) and abs(value) < 1 << 53):
        return value
    if isinstance(value, float) and math.isfinite(value):
        return int(value) if value == int(value) and abs(value) < 1 << 53 else value
    if isinstance(value, list):
        return [_clean(v) for v in value]
    if isinstance(value, dict):
        return {str(k): _clean(v) for k, v in value.items()}
    raise wrong(f"{value!r} cannot be written into a kit", "give a text, a number, true or false, or a list")


def _region(given: Any) -> dict[str, Any]:
    if not isinstance(given, Mapping) or len(given) != 1 or next(iter(given)) not in _REGIONS:
        raise wrong("no place is marked", "draw a rectangle, a polygon or a spot on the picture")
    ((key, numbers),) = given.items()
    return {key: _rounded(numbers)}


def _rounded(value: Any) -> Any:
    if isinstance(value, list):
        return [_rounded(v) for v in value]
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise wrong(f"{value!r} is no place in a picture", "give pixels as numbers")
    return int(value) if value == int(value) else round(float(value), 2)


def _colour(sheet: Sheet, given: Any, neutral: bool) -> dict[str, Any]:
    """A colour as kit.toml says it, from how it was typed or as a table."""
    if isinstance(given, Mapping):
        table: dict[str, Any] = _clean(dict(given))
        return table
    return typed(str(given or ""), sheet.paints(), neutral).table


def new_id(text: str, taken: Sequence[str], otherwise: str) -> str:
    """A short name made from words: 'Waist panels' → 'waist-panels', with a number where it is taken."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    base = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or otherwise
    id, number = base, 2
    while id in taken:
        id, number = f"{base}-{number}", number + 1
    return id


def _ids(data: Data, kind: str) -> list[str]:
    return [table.get("id", "") for table in data.get(kind, [])]


# -- marks --------------------------------------------------------------------------------------


def _array(op: Op) -> str:
    array = op.get("array", "sample")
    if array not in _ARRAYS:
        raise wrong(f"a reference has no {array!r}", "mark a sample or an anchor")
    return str(array)


def _mark_values(sheet: Sheet, op: Op, array: str) -> dict[str, Any]:
    """What an operation says of a mark, None where a key is to go."""
    values: dict[str, Any] = {}
    if "region" in op:
        values = dict.fromkeys(_REGIONS) | _region(op["region"])
    if "part" in op:
        sheet.part(op["part"])
        values["part"] = op["part"]
    if op.get("colour") is not None:
        values["colour"] = _colour(sheet, op["colour"], neutral=True)
    for key in ("spread", "surface"):
        if key in op:
            values[key] = None if op[key] in (None, "") else _clean(op[key])
    allowed = {"part"} if array == "sample" else {"colour", "spread", "surface"}
    odd = values.keys() - allowed - set(_REGIONS)
    if odd:
        raise wrong(f"a mark of this kind has no {min(odd)}", "leave it out")
    return values


def _mark_add(sheet: Sheet, op: Op) -> str:
    array, i = _array(op), sheet.reference(op["ref"])
    values = {key: value for key, value in _mark_values(sheet, op, array).items() if value is not None}
    if not any(key in values for key in _REGIONS):
        raise wrong("no place is marked", "draw a rectangle, a polygon or a spot on the picture")
    if array == "sample" and "part" not in values:
        raise wrong("no part is chosen", "choose the part that is seen there")
    if array == "anchor" and "colour" not in values:
        raise wrong("no colour is given", "say which colour the surface has")
    order = ("part", *_REGIONS, "colour", "spread", "surface")
    sheet.append(("reference", i, array), {key: values[key] for key in order if key in values})
    what = sheet.name(op["part"]) if array == "sample" else "a known colour"
    return f"Mark {what} on {op['ref']}"


def _mark_set(sheet: Sheet, op: Op) -> str:
    array, i, index = _array(op), sheet.reference(op["ref"]), int(op["index"])
    place = ("reference", i, array, index)
    sheet.at(place)
    values = _mark_values(sheet, op, array)
    for key in sorted(values, key=lambda key: values[key] is None):  # a table is never without a region
        sheet.put((*place, key), values[key])
    return f"Change a mark on {op['ref']}"


def _mark_remove(sheet: Sheet, op: Op) -> str:
    array, i, index = _array(op), sheet.reference(op["ref"]), int(op["index"])
    sheet.at(("reference", i, array, index))
    sheet.drop(("reference", i, array), index)
    return f"Take a mark off {op['ref']}"


# -- parts --------------------------------------------------------------------------------------


def _part_add(sheet: Sheet, op: Op) -> str:
    name = " ".join(str(op.get("name") or op.get("id") or "").split())
    if not name:
        raise wrong("the part has no name", "say what it is called")
    id = str(op.get("id") or "").strip() or new_id(name, _ids(sheet.data, "part"), "part")
    values = {"id": id, "name": name, **_clean(dict(op.get("values") or {}))}
    values.setdefault("finish", _clean(op.get("finish") or "matt"))
    at = sheet.append(("part",), values)
    if op.get("at") is not None and int(op["at"]) != at:
        sheet.move(("part",), at, int(op["at"]))
    return f"Add the part {name}"


def _part_set(sheet: Sheet, op: Op) -> str:
    i = sheet.part(op["id"])
    for key, value in op["values"].items():
        if key in ("id", "hint", "than", "colour", "why"):
            raise wrong(f"{key} is not set this way", "rename, hint, compare or decide")
        if key == "mesh" and value:
            _is_there(sheet, str(value))
        sheet.put(("part", i, key), None if value in (None, "") else _clean(value))
    return f"Change {sheet.name(op['id'])}"


def _named(data: Data, part: Any) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Every place that names a part, with the place in a list where it stands in one."""
    for i, table in enumerate(data.get("part", [])):
        if part in table.get("after", []):
            yield ("part", i, "after"), [id for id in table["after"] if id != part]
        if table.get("same_as") == part:
            yield ("part", i, "same_as"), None
        for k, than in enumerate(table.get("than", [])):
            if than.get("lighter") == part:
                yield ("part", i, "than", k), "lighter"
    for i, table in enumerate(data.get("reference", [])):
        for k, sample in enumerate(table.get("sample", [])):
            if sample.get("part") == part:
                yield ("reference", i, "sample", k), "part"
        for k, anchor in enumerate(table.get("anchor", [])):
            colour = anchor.get("colour")
            if isinstance(colour, dict) and colour.get("part") == part:
                yield ("reference", i, "anchor", k), "colour"


def _part_rename(sheet: Sheet, op: Op) -> str:
    old, new = op["id"], str(op["to"]).strip()
    i = sheet.part(old)
    if not new or not new.isprintable():
        raise wrong("the part has no id", "give it a short name of its own")
    for place, key in list(_named(sheet.data, old)):
        if place[-1] == "after":
            after = [new if id == old else id for id in sheet.at(place)]
            sheet.put(place, after)
        elif place[-1] == "same_as":
            sheet.put(place, new)
        else:
            sheet.put((*place, key), {"part": new} if key == "colour" else new)
    sheet.put(("part", i, "id"), new)
    return f"Call {old} {new}"


def _part_remove(sheet: Sheet, op: Op) -> str:
    name = sheet.name(op["id"])
    i = sheet.part(op["id"])
    for place, rest in reversed(list(_named(sheet.data, op["id"]))):
        if isinstance(place[-1], int):
            sheet.drop(place[:-1], place[-1])
        else:
            sheet.put(place, rest or None)
    sheet.drop(("part",), i)
    return f"Take out the part {name}"


def _part_move(sheet: Sheet, op: Op) -> str:
    sheet.move(("part",), sheet.part(op["id"]), int(op["to"]))
    return f"Move {sheet.name(op['id'])}"


def _decide(sheet: Sheet, op: Op) -> str:
    i, why = sheet.part(op["id"]), " ".join(str(op.get("why") or "").split())
    if not why:
        raise wrong(
            "a colour decided needs its reason", "say in a few words what it rests on; the guide prints it"
        )
    sheet.put(("part", i, "colour"), _colour(sheet, op["colour"], neutral=False))
    sheet.put(("part", i, "why"), _clean(why))
    return f"Decide the colour of {sheet.name(op['id'])}"


def _undecide(sheet: Sheet, op: Op) -> str:
    i = sheet.part(op["id"])
    for key in ("colour", "why"):
        sheet.put(("part", i, key), None)
    return f"Take back the decision on {sheet.name(op['id'])}"


def _hint_values(op: Op) -> dict[str, Any]:
    values = dict(op.get("values") or {key: op[key] for key in ("words", "source", "trust") if key in op})
    return {
        k: None if v in (None, "") else _clean(" ".join(v.split()) if isinstance(v, str) else v)
        for k, v in values.items()
    }


def _hint_add(sheet: Sheet, op: Op) -> str:
    values = {key: value for key, value in _hint_values(op).items() if value is not None}
    if "words" not in values:
        raise wrong("the hint has no words", "write a colour, as in dull green")
    sheet.append(("part", sheet.part(op["id"]), "hint"), values)
    return f"Note what was said of {sheet.name(op['id'])}"


def _hint_set(sheet: Sheet, op: Op) -> str:
    place = ("part", sheet.part(op["id"]), "hint", int(op["index"]))
    for key, value in _hint_values(op).items():
        sheet.put((*place, key), value)
    return f"Change what was said of {sheet.name(op['id'])}"


def _than_add(sheet: Sheet, op: Op) -> str:
    sheet.part(op["lighter"])
    sheet.append(("part", sheet.part(op["id"]), "than"), {"lighter": op["lighter"]})
    return f"Note that {sheet.name(op['id'])} is lighter than {sheet.name(op['lighter'])}"


def _inner_remove(array: str, words: str) -> Callable[[Sheet, Op], str]:
    def remove(sheet: Sheet, op: Op) -> str:
        place = ("part", sheet.part(op["id"]), array)
        sheet.at((*place, int(op["index"])))
        sheet.drop(place, int(op["index"]))
        return f"{words} {sheet.name(op['id'])}"

    return remove


# -- references ---------------------------------------------------------------------------------


def _reference_add(sheet: Sheet, op: Op) -> str:
    file = str(op.get("file") or "").strip()
    if not file or "\0" in file:
        raise wrong("no file is given", "put it into the kit's folder and name it from there")
    _is_there(sheet, file)
    id = str(op.get("id") or "").strip() or new_id(Path(file).stem, _ids(sheet.data, "reference"), "picture")
    values = {k: v for k, v in dict(op.get("values") or {}).items() if v not in (None, "")}
    sheet.append(("reference",), {"id": id, "file": file, **_clean(values)})
    return f"Add the picture {id}"


def _reference_set(sheet: Sheet, op: Op) -> str:
    ids = op["ids"] if "ids" in op else [op["id"]]
    values = []
    for id in ids:
        i = sheet.reference(id)
        for key, value in op["values"].items():
            if key in ("id", "file", "anchor", "sample"):
                raise wrong(f"{key} is not set this way", "rename, relink or mark")
            values.append((("reference", i, key), None if value in (None, "") else _clean(value)))
    sheet.put_many(list(dict(values).items()))
    return f"Change {ids[0] if len(ids) == 1 else f'{len(ids)} pictures'}"


def _reference_rename(sheet: Sheet, op: Op) -> str:
    i, new = sheet.reference(op["id"]), str(op["to"]).strip()
    if not new or not new.isprintable():
        raise wrong("the picture has no id", "give it a short name of its own")
    if sheet.data.get("kit", {}).get("cover") == op["id"]:
        sheet.put(("kit", "cover"), new)
    sheet.put(("reference", i, "id"), new)
    return f"Call {op['id']} {new}"


def _reference_move(sheet: Sheet, op: Op) -> str:
    sheet.move(("reference",), sheet.reference(op["id"]), int(op["to"]))
    return f"Move {op['id']}"


def _reference_remove(sheet: Sheet, op: Op) -> str:
    ids = op["ids"] if "ids" in op else [op["id"]]
    for id in ids:
        i = sheet.reference(id)
        if sheet.data.get("kit", {}).get("cover") == id:
            sheet.put(("kit", "cover"), None)
        sheet.drop(("reference",), i)
    return f"Take out {ids[0] if len(ids) == 1 else f'{len(ids)} pictures'}"


def _is_there(sheet: Sheet, file: str) -> None:
    """InputError where a file that the kit is to name is not there."""
    path = sheet.draft.path.parent / file
    try:
        there = path.is_file()
    except (OSError, ValueError):
        there = False
    if not there and path not in sheet.coming:
        raise wrong(f"{file!r} is not there", "name a file, from the kit's own folder on")


def _relink(sheet: Sheet, op: Op) -> str:
    file = str(op.get("file") or "").strip()
    if not file or "\0" in file:
        raise wrong("no file is given", "name the picture from the kit's folder")
    _is_there(sheet, file)
    sheet.put(("reference", sheet.reference(op["id"]), "file"), file)
    return f"Show where {op['id']} is now"


# -- the kit ------------------------------------------------------------------------------------


def _kit_set(sheet: Sheet, op: Op) -> str:
    for key, value in op["values"].items():
        if key == "swatches":
            raise wrong("lists are not set this way", "add, remove or move a list")
        sheet.put(("kit", key), None if value in (None, "") else _clean(value, key))
    return f"Change the kit's {', '.join(op['values'])}"


def _lists(sheet: Sheet) -> list[str]:
    named = sheet.data.get("kit", {}).get("swatches", [])
    return [named] if isinstance(named, str) else list(named)


def _list_add(sheet: Sheet, op: Op) -> str:
    file, named = str(op.get("file") or "").strip(), _lists(sheet)
    if not file or "\0" in file:
        raise wrong("no list is given", "put it into the kit's folder and name it from there")
    if file in named:
        raise wrong(f"{file} is one of the kit's lists already", "name another")
    SwatchList.read(sheet.draft.path.parent / file)
    sheet.put(("kit", "swatches"), [*named, file])
    return f"Add the list {file}"


def _list_remove(sheet: Sheet, op: Op) -> str:
    named = _lists(sheet)
    if op["file"] not in named:
        raise wrong(f"{op['file']} is none of the kit's lists", "look at the kit anew")
    sheet.put(("kit", "swatches"), [file for file in named if file != op["file"]] or None)
    return f"Take out the list {op['file']}"


def _list_move(sheet: Sheet, op: Op) -> str:
    named = [file for file in _lists(sheet) if file != op["file"]]
    named.insert(int(op["to"]), op["file"])
    sheet.put(("kit", "swatches"), named)
    return f"Move the list {op['file']}"


def examples() -> list[dict[str, Any]]:
    """The parts that `palette new` puts into a kit to show how they are written."""
    from importlib.resources import files

    text = files("palette.kit").joinpath("start.toml").read_text("utf-8")
    parts: list[dict[str, Any]] = tomllib.loads(text).get("part", [])
    return parts


def _examples_clear(sheet: Sheet, op: Op) -> str:
    known = examples()
    for table in [part for part in sheet.data.get("part", []) if part in known]:
        if not any(table["id"] == id for id in _marked(sheet.data)):
            _part_remove(sheet, {"id": table["id"]})
    return "Clear the examples"


def _marked(data: Data) -> set[str]:
    return {s.get("part", "") for r in data.get("reference", []) for s in r.get("sample", [])}


def has_examples(data: Data) -> bool:
    """Whether a kit still holds all parts that `palette new` put there, and nothing is said of them: one
    alone may be the maker's own that happens to be like it."""
    parts, marked = data.get("part", []), _marked(data)
    return all(part in parts and part["id"] not in marked for part in examples())


_OPS: dict[str, Callable[[Sheet, Op], str]] = {
    "mark.add": _mark_add,
    "mark.set": _mark_set,
    "mark.remove": _mark_remove,
    "part.add": _part_add,
    "part.set": _part_set,
    "part.rename": _part_rename,
    "part.move": _part_move,
    "part.remove": _part_remove,
    "part.decide": _decide,
    "part.undecide": _undecide,
    "part.hint.add": _hint_add,
    "part.hint.set": _hint_set,
    "part.hint.remove": _inner_remove("hint", "Take out what was said of"),
    "part.than.add": _than_add,
    "part.than.remove": _inner_remove("than", "Take out a comparison of"),
    "reference.add": _reference_add,
    "reference.set": _reference_set,
    "reference.rename": _reference_rename,
    "reference.move": _reference_move,
    "reference.remove": _reference_remove,
    "reference.relink": _relink,
    "kit.set": _kit_set,
    "list.add": _list_add,
    "list.remove": _list_remove,
    "list.move": _list_move,
    "examples.clear": _examples_clear,
}
NAMES = tuple(_OPS)


# -- changes made on an old version ---------------------------------------------------------------


def carried_over(op: Op, seen: Data, now: Data) -> Op | None:
    """The same operation for the kit as it stands `now`, where nothing it touches has changed since it was
    `seen`; None where something has."""
    name = str(op.get("op", ""))
    try:
        if (name.endswith((".add", ".move")) and name != "list.add") or name == "examples.clear":
            return op
        array = _indexed(op, name)
        if array is not None:
            then, there = _tables(seen, array), _tables(now, array)
            table = then[int(op["index"])]
            # Of several that are alike the one that is as many-th as before.
            alike = [i for i, other in enumerate(there) if other == table]
            rank = sum(other == table for other in then[: int(op["index"])])
            return {**op, "index": alike[rank]} if rank < len(alike) else None
        return op if _touched(op, name, seen) == _touched(op, name, now) else None
    except (KeyError, IndexError, TypeError, InputError):
        return None


def _indexed(op: Op, name: str) -> tuple[str, Any, str] | None:
    if name in ("mark.set", "mark.remove"):
        return "reference", op["ref"], _array(op)
    if name in ("part.hint.set", "part.hint.remove", "part.than.remove"):
        return "part", op["id"], name.split(".")[1]
    return None


def _tables(data: Data, array: tuple[str, Any, str]) -> list[Any]:
    kind, id, inner = array
    tables: list[Any] = data[kind][_find(data, kind, id)].get(inner, [])
    return tables


def _touched(op: Op, name: str, data: Data) -> Any:
    """What an operation looks at or replaces."""
    kind = name.split(".")[0]
    if kind in ("part", "reference"):
        tables = [data[kind][_find(data, kind, id)] for id in (op["ids"] if "ids" in op else [op["id"]])]
        keys = (
            op["values"] if name.endswith(".set") else ("colour", "why") if name.endswith("decide") else None
        )
        if name == "reference.relink":
            keys = ("file",)
        if name.endswith(".rename"):
            keys = ("id",)
        return tables if keys is None else [[table.get(key) for key in keys] for table in tables]
    if kind == "list":
        return data.get("kit", {}).get("swatches")
    return [data.get("kit", {}).get(key) for key in op["values"]]
