"""kit.toml to a `Kit`: read, then checked as a whole, with every problem at once and its line."""

from __future__ import annotations

import math
import os
import re
import tomllib
from collections.abc import Container, Iterable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from palette.colour.notations import notations, parse_colour_table
from palette.colour.responses import names as response_names
from palette.colour.spectra import light, light_names
from palette.errors import InputError, Problem
from palette.files import read_text
from palette.kit.check import check
from palette.kit.lines import Path as Keys
from palette.kit.lines import index
from palette.kit.model import (
    FINISHES,
    KINDS,
    LEAST_SPREAD,
    MESH_UNITS,
    SCHEMA,
    STAGES,
    SUBJECTS,
    TONES,
    Anchor,
    Hint,
    Kit,
    KitFile,
    Part,
    PartSample,
    Polygon,
    Rect,
    Reference,
    Region,
    Spot,
    StatedColour,
    Than,
)
from palette.kit.pieces import toml
from palette.kit.tables import Source, Table, figure, listed, nearest_word

NAME = "kit.toml"

_RECT = "rect = [x, y, width, height]"
_POLYGON = "polygon = [[x, y], …], three corners or more"
_SPOT = "spot = [x, y, radius]"


class _EveryFile:
    def __contains__(self, path: object) -> bool:
        return True


EVERY_FILE = _EveryFile()  # who reads a kit with it looks for each file when it is needed

_NOWHERE: Region = Rect(0.0, 0.0, 1.0, 1.0)  # stands in for a region that is a problem already
_FARTHEST = 1e9  # pixels
_MOST_HINTS = 200  # of one part
_NO_COLOUR = StatedColour(neutral=True)  # likewise


def find(path: Path) -> Path:
    """The kit.toml meant by `path`: itself, or the one in that folder.

    Raises:
        InputError: there is none.
    """
    if path.is_dir():
        inner = path / NAME
        if not inner.exists():
            raise InputError(
                Problem(str(path), None, f"holds no {NAME}", f"start a kit there with: palette new {path}")
            )
        return inner
    return path


def read(path: Path, coming: Container[Path] = frozenset()) -> Kit:
    """Read a kit.toml, or the one in the folder given.

    Files it names are looked for from its own folder on, but for those `coming`. A key that looks like a slip
    for a known one is a problem; any other unknown key is the maker's own and becomes a warning.

    Raises:
        InputError: with every problem found, in the order of the file.
    """
    path = find(path)
    return of_text(read_text(path), path, coming)


def of_text(text: str, path: Path, coming: Container[Path] = frozenset()) -> Kit:
    """The kit of a text that stands, or is to stand, in `path`, with the files `coming`; see `read`.
    With `EVERY_FILE` no file is missed."""
    return _of_text(text, path) if coming is EVERY_FILE else _checked(text, path, coming)


@lru_cache(maxsize=8)
def _of_text(text: str, path: Path) -> Kit:
    return _checked(text, path, EVERY_FILE)


def _checked(text: str, path: Path, coming: Container[Path]) -> Kit:
    source, values = _parse(text, path)
    source.coming = coming
    kit = _kit(source, values)
    slips = [key for key in values if key != "part" and nearest_word(key, ("part",))]
    whole = not slips and len(kit.parts) == _count(values.get("part")) and all(part.id for part in kit.parts)
    source.problems.extend(check(kit, parts_known=whole))
    if source.problems:
        raise InputError.of(sorted(source.problems, key=lambda problem: problem.line or 0))
    return kit


def _count(tables: object) -> int:
    return len(tables) if isinstance(tables, list) else 0 if tables is None else -1


def known_keys() -> dict[str, tuple[str, ...]]:
    """Every key that is read of each table of a kit.toml: '' is the file itself, 'part.hint' a hint."""
    source = Source(Path(NAME), {})
    part: dict[str, object] = {"hint": [{}], "than": [{}]}
    reference: dict[str, object] = {"anchor": [{}], "sample": [{}]}
    _kit(source, {"kit": {"files": [{}]}, "part": [part], "reference": [reference]})
    return source.keys


_QUOTED = re.compile(  # strings and remarks, and what runs on to the end without its closing quotes
    r'"""(?:\\.|[^\\])*?(?:"""|\Z)|\'\'\'.*?(?:\'\'\'|\Z)|"(?:\\.|[^"\\\n])*"?|\'[^\'\n]*\'?|\#[^\n]*',
    re.DOTALL,
)
_DEEPEST = 32  # joints of a key: each costs all before it
_DEEP = re.compile(rf"(?<![\w.-])[\w-]++(?:[ \t]*+\.[ \t]*+[\w-]++){{{_DEEPEST}}}")


def _parse(text: str, path: Path) -> tuple[Source, dict[str, Any]]:
    if (line := _deep_line(text)) is not None:
        raise InputError(Problem(str(path), line, "keys are nested too deeply", "is it the right file?"))
    try:
        values = dict(toml(text))
        source = Source(path, index(text).lines)
    except tomllib.TOMLDecodeError as error:
        raise InputError(_syntax(path, text, str(error))) from error
    except ValueError as error:  # Python's own limit to how long a number may be
        what = "holds a number of more digits than anything has"
        raise InputError(Problem(str(path), _longest_number(text), what, "write a shorter one")) from error
    except RecursionError as error:
        raise InputError(Problem(str(path), None, "is nested too deeply", "is it the right file?")) from error
    if long := [keys for keys, value in _numbers(values) if not -(2**63) <= value < 2**63]:
        for keys in long:
            name = [key for key in keys if isinstance(key, str)][-1]
            source.problem(keys, f"{name} holds a number too long for TOML", "write a shorter one")
        raise InputError.of(source.problems)
    schema = values.get("schema")
    if isinstance(schema, int) and not isinstance(schema, bool) and schema > SCHEMA:
        what = f"schema {schema} is newer than this palette reads ({SCHEMA})"
        source.problem(("schema",), what, "install a newer palette")
        raise InputError.of(source.problems)
    return source, values


def _deep_line(text: str) -> int | None:
    """The line of a key of so many joints that reading it would take all the memory."""
    if all(line.count(".") < _DEEPEST for line in text.split("\n")):
        return None
    bare = _QUOTED.sub(lambda quoted: "q" + "\n" * quoted[0].count("\n"), text)
    deep = _DEEP.search(bare)
    return None if deep is None else bare.count("\n", 0, deep.start()) + 1


def _numbers(values: dict[str, Any]) -> Iterator[tuple[Keys, int]]:
    """Every whole number of a document, and where it stands."""
    waiting: list[tuple[Keys, Any]] = [((), values)]
    while waiting:
        keys, value = waiting.pop()
        if isinstance(value, dict):
            waiting += [((*keys, key), inner) for key, inner in value.items()]
        elif isinstance(value, list):
            waiting += [((*keys, i), inner) for i, inner in enumerate(value)]
        elif isinstance(value, int):
            yield keys, value


def _longest_number(text: str) -> int:
    """The line of the longest run of digits."""
    longest = max(re.finditer(r"\d[\d_]*", text), key=lambda run: len(run[0]))
    return text.count("\n", 0, longest.start()) + 1


_SLIPS = (  # what a complaint and its line look like, and what to do about it
    ("[\u201c\u201d\u2018\u2019]", 'write straight quotes: "'),
    (r"unclosed array", "close the list above with ]"),
    (r"overwrite a value in \[", "begin every table of that kind with two brackets: [[…]]"),
    (r"overwrite|twice", "say each thing once"),
    ("unescaped", r"write / between folders, and \\ where a backslash is meant"),
    (r"illegal character|[Uu]nterminated", "close the quotes"),
    (r"expected '\]", "close the bracket"),
    (r" in [\w.-]+\s*=\s*\d+,\d", "write a decimal point, not a comma"),
    (r" in [\w.-]+\s*=\s*[+-]?(\.\d+|\d+\.)\s*(#|$)", "write a figure on both sides of the point, as in 0.5"),
    (r" in [\w.-]+\s*=\s*(True|False|TRUE|FALSE|yes|no)\b", "write true or false"),
    (r"invalid value in [\w.-]+\s*=\s*[^\W\d]", "put words between quotes"),
    (r"initial character for a key part in .*\{", "keep what is between { and } on one line"),
    (r"expected '=' .*:", "write = between a key and its value"),
)


def _syntax(path: Path, text: str, message: str) -> Problem:
    place = re.search(r"\(at line (\d+), column (\d+)\)|\(at end of document\)", message)
    lines = text.replace("\r\n", "\n").split("\n")
    line = int(place[1]) if place and place[1] else len(lines)
    what = message[: place.start()].strip() if place else message
    what = what[:1].lower() + what[1:]
    shown = lines[line - 1].strip() if line <= len(lines) else ""
    if len(shown) > 60:
        shown = shown[:57] + "…"
    remedy = next((say for sign, say in _SLIPS if re.search(sign, f"{what} in {shown}")), "correct that line")
    return Problem(str(path), line, f"not valid TOML: {what}" + (f", in: {shown}" if shown else ""), remedy)


def _kit(source: Source, values: Mapping[str, object]) -> Kit:
    top = Table(source, (), values, "the file")
    schema = top.get("schema")
    if schema is None:
        what = "the file has no schema"
        source.problems.append(Problem(str(source.path), 1, what, f"begin it with: schema = {SCHEMA}"))
    elif schema is True or schema != SCHEMA or not isinstance(schema, int):
        top.problem("schema", f"schema is {schema!r}", f"write schema = {SCHEMA}")
    head = top.get("kit")
    if head is None:
        top.missing("[kit] table", 'add [kit] and, under it, title = "…"')
    elif not isinstance(head, dict):
        top.problem("kit", "kit is not a single table", "write [kit], with one bracket")
    table = Table(source, ("kit",), head if isinstance(head, dict) else {}, "[kit]")

    if isinstance(head, dict) and table.get("title") is None:
        table.missing("title", 'add title = "…"')
    title = table.phrase("title")
    if "title" in table.values and isinstance(table.values["title"], str) and not title:
        table.problem("title", "title is empty", "say what the kit is called")
    tolerance = table.positive("tolerance")
    kit_light = _light(table)
    shade, highlight = _tones(table)
    tone_hue = table.number("tone_hue", lambda v: 0 <= v <= 30, "a number from 0 to 30, such as 6")
    kit = Kit(
        path=source.path,
        title=title,
        maker=table.phrase("maker"),
        stage=table.choice("stage", STAGES),
        version=table.phrase("version"),
        date=table.day("date"),
        page=_page(table),
        scale=table.phrase("scale"),
        licence=table.phrase("licence"),
        swatches=tuple(table.file("swatches", text, keys) for text, keys in table.texts("swatches")),
        light="D65" if kit_light is None else kit_light,
        tolerance=3.0 if tolerance is None else tolerance,
        scale_effect=table.flag("scale_effect"),
        shade=12.0 if shade is None else shade,
        highlight=12.0 if highlight is None else highlight,
        tone_hue=6.0 if tone_hue is None else tone_hue,
        year=table.year("year"),
        repainted=_years(table),
        cover=table.phrase("cover"),
        files=tuple(_file(file) for file in table.tables("files", "kit.files")),
        parts=tuple(_part(part) for part in top.tables("part", "part")),
        references=tuple(_reference(reference) for reference in top.tables("reference", "reference")),
        lines={key: line for key in table.values if (line := table.line(key)) is not None},
        warnings=(),
    )
    table.close()
    top.close(elsewhere={key: "[kit]" for key in table.known})
    return Kit(**{**kit.__dict__, "warnings": tuple(source.warnings)})


def _tones(table: Table) -> tuple[float | None, float | None]:
    """How much darker a shade is, and how much lighter a highlight."""
    wanted = "a number from 0 (none) to 40, such as 12"
    shade, highlight = (table.number(key, lambda v: 0 <= v <= 40, wanted) for key in ("shade", "highlight"))
    return shade, highlight


def _page(table: Table) -> str:
    page = table.text("page")
    if page and not re.fullmatch(r"https?://[^\s/?#]+\S*", page):
        table.problem("page", f"page is {page!r}, which is no web address", 'write page = "https://…"')
        return ""
    return page


def _file(table: Table) -> KitFile:
    table.title = "a file of the kit"
    name = table.text("file")
    if table.get("file") is None:
        table.missing("file", 'add file = "meshes/…"')
    elif isinstance(table.values["file"], str) and not name:
        table.problem("file", "file is empty", 'write file = "meshes/…"')
    elif isinstance(name, str) and (os.path.isabs(name) or os.path.normpath(name).startswith("..")):
        what = f"file {name!r} lies outside the kit's folder"
        table.problem("file", what, "copy it into the folder: the kit is passed on whole")
        name = ""
    file = KitFile(table.file("file", name) if name else Path(), name, table.phrase("what"), table.line())
    table.close()
    return file


def _years(table: Table) -> tuple[int, ...]:
    value = table.get("repainted")
    years = value if isinstance(value, list) else [] if value is None else [value]
    for year in years:
        if isinstance(year, bool) or not isinstance(year, int) or not 1000 <= year <= 3000:
            table.problem("repainted", f"repainted holds {year!r}", "write a year such as 1968, or several")
            return ()
    return tuple(sorted(years))


def _light(table: Table) -> str | float | None:
    value = table.get("light")
    if value is None:
        return None
    named = value.strip() if isinstance(value, str) else figure(value)
    if named is None:
        table.wrong_type("light", value, "a light's name or kelvins", 'write light = "D55" or light = 3200')
        return None
    try:
        light(named)
    except ValueError as error:
        what = str(error)
        near = nearest_word(named, light_names()) if isinstance(named, str) else None
        if near:
            remedy = f"did you mean {near!r}?"
        elif isinstance(named, str) and named.rstrip("Kk ").replace(".", "", 1).isdigit():
            remedy = f"write kelvins as a number: light = {named.rstrip('Kk ')}"
        else:
            remedy = 'write a name such as "D65" or "ISO 7589 Studio Tungsten", or kelvins, 1000 to 25000'
        table.problem("light", what, remedy)
        return None
    return named


def _part(table: Table) -> Part:
    id = table.identifier()
    table.title = f"part {id!r}" if id else "a part"
    mesh = table.text("mesh")
    colour = table.get("colour")
    stated = None if colour is None else _colour(table, colour, anchor=False)
    why = table.phrase("why")
    finish = table.choice("finish", FINISHES)
    unit = table.choice("mesh_unit", MESH_UNITS) if table.get("mesh_unit") is not None else ""
    shade, highlight = _tones(table)
    if colour is not None and not why and finish != "lit":  # a lamp's light is no finding against others
        table.problem("colour", f"{table.title} has a colour of your own without a reason", 'add why = "…"')
    hints = table.tables("hint", "part.hint")
    if len(hints) > _MOST_HINTS:  # all are weighed against each other
        what = f"{table.title} has {len(hints)} hints, and {_MOST_HINTS} are the most that are weighed"
        table.problem("hint", what, "keep those that say something of their own")
        hints = []
    same_as = table.phrase("same_as")
    part = Part(
        id=id,
        name=table.phrase("name") or id,
        finish=finish,
        area_cm2=table.positive("area_cm2"),
        mesh=table.file("mesh", mesh) if mesh else None,
        mesh_unit=unit,
        after=tuple(text for text, _ in table.texts("after")),
        same_as=same_as or None,
        colour=stated,
        why=why,
        shade=shade,
        highlight=highlight,
        hints=tuple(_hint(hint) for hint in hints),
        thans=tuple(_than(than) for than in table.tables("than", "part.than")),
        line=table.line(),
    )
    table.close()
    return part


def _hint(table: Table) -> Hint:
    table.title = "a hint"
    if table.get("words") is None:
        table.missing("words", 'add words = "greyish green"')
    trust, line = table.share("trust", 0.5), table.line("words")
    hint = Hint(table.phrase("words"), table.phrase("source"), trust, line, table.text("quote"))
    if "words" in table.values and not hint.words and isinstance(table.values["words"], str):
        table.problem("words", "words is empty", 'write words = "greyish green"')
    table.close()
    return hint


def _than(table: Table) -> Than:
    table.title = "a comparison"
    than = Than(table.identifier("lighter"), table.line("lighter"))
    table.close()
    return than


def _reference(table: Table) -> Reference:
    id = table.identifier()
    table.title = f"reference {id!r}" if id else "a reference"
    name = table.text("file")
    if table.get("file") is None:
        table.missing("file", 'add file = "references/…"')
    elif isinstance(table.values["file"], str) and not name:
        table.problem("file", "file is empty", 'write file = "references/…"')
    file = table.file("file", name) if name else Path()
    response = table.text("response") or "panchromatic"
    known = list(response_names())
    filter_name = table.text("filter")
    spread = table.number("uneven", lambda v: 0 <= v <= 5, "a number from 0 to 5, such as 0.1")
    reference = Reference(
        id=id,
        file=file,
        kind=table.choice("kind", KINDS),
        tone=table.choice("tone", TONES),
        subject=table.choice("subject", SUBJECTS),
        light=_light(table),
        response=response if response in known else _response(table, response, known),
        filter=table.file("filter", filter_name) if filter_name else None,
        uneven=0.10 if spread is None else spread,
        year=table.year("year"),
        credit=table.phrase("credit"),
        licence=table.phrase("licence"),
        print=table.flag("print", True),
        video=table.phrase("video"),
        time=table.phrase("time"),
        trust=table.share("trust", 1.0),
        anchors=tuple(_anchor(anchor) for anchor in table.tables("anchor", "reference.anchor")),
        samples=tuple(_sample(sample) for sample in table.tables("sample", "reference.sample")),
        line=table.line(),
    )
    if reference.tone == "colour":
        for key in ("response", "filter"):
            if table.get(key) is not None:
                what = f"{table.title}: {key} is kept but not read, since it tells of grey pictures only"
                remedy = 'write tone = "grey", or take it out'
                table.source.warnings.append(Problem(str(table.source.path), table.line(key), what, remedy))
    table.close()
    return reference


def _response(table: Table, text: str, known: list[str]) -> Path:
    if text.lower().endswith(".csv") or "/" in text or os.path.isfile(table.source.path.parent / text):
        return table.file("response", text)
    near = nearest_word(text, known)
    remedy = f"did you mean {near!r}?" if near else f"write {', '.join(known)}, or the path of a CSV"
    table.problem("response", f"response {text!r} is not known", remedy)
    return Path(text)


def _anchor(table: Table) -> Anchor:
    table.title = "an anchor"
    region = _region(table)
    colour = table.get("colour")
    if colour is None:
        table.missing("colour", 'add colour = { munsell = "N 9/" }, or { neutral = true }')
    spread = table.number("spread", lambda v: 0 <= v <= 100, "a CIEDE2000 radius from 0 to 100")
    anchor = Anchor(
        region=region,
        colour=_NO_COLOUR if colour is None else _colour(table, colour, anchor=True),
        spread=1.0 if spread is None else max(spread, LEAST_SPREAD),
        surface=table.phrase("surface"),
        line=table.line(),
    )
    table.close()
    return anchor


def _sample(table: Table) -> PartSample:
    table.title = "a sample"
    sample = PartSample(table.identifier("part"), _region(table), table.line("part"), table.flag("turned"))
    table.close()
    return sample


def _region(table: Table) -> Region:
    given = [key for key in ("rect", "polygon", "spot") if table.get(key) is not None]
    if len(given) != 1:
        what = f"has {' and '.join(given)}" if given else "marks no region"
        remedy = f"give one of {_RECT}, {_POLYGON}, {_SPOT}"
        table.problem(given[1] if given else None, f"{table.title} {what}", remedy)
        return _NOWHERE
    key, value = given[0], table.values[given[0]]
    if any(abs(number) > _FARTHEST for number in _figures(value)):
        table.problem(key, f"{key} lies farther out than any picture", "give it in pixels of the picture")
        return _NOWHERE
    if key == "rect":
        numbers = table.numbers(key, value, 4, _RECT)
        if numbers is not None and (numbers[2] <= 0 or numbers[3] <= 0):
            table.problem(key, "rect has no area", "give it a width and a height above 0")
            numbers = None
        return _NOWHERE if numbers is None else Rect(*numbers)
    if key == "spot":
        numbers = table.numbers(key, value, 3, _SPOT)
        if numbers is not None and numbers[2] <= 0:
            table.problem(key, "spot has no area", "give it a radius above 0")
            numbers = None
        return _NOWHERE if numbers is None else Spot(*numbers)
    if not isinstance(value, list) or len(value) < 3:
        table.problem(key, "polygon is not three corners or more", f"write {_POLYGON}")
        return _NOWHERE
    points = []
    for corner in value:
        pair = table.numbers(key, corner, 2, _POLYGON)
        if pair is None:
            return _NOWHERE
        points.append((pair[0], pair[1]))
    if _on_one_line(points):
        table.problem(key, "polygon has no area", "give it corners that do not all lie on one line")
        return _NOWHERE
    return Polygon(tuple(points))


def _figures(value: object) -> Iterator[float]:
    """The finite numbers of a list, and of the lists in it."""
    for item in value if isinstance(value, list) else ():
        for inner in item if isinstance(item, list) else (item,):
            number = figure(inner)
            if number is not None and math.isfinite(number):
                yield number


def _on_one_line(points: Iterable[tuple[float, float]]) -> bool:
    (x0, y0), *rest = points
    far_x, far_y = max(((x - x0, y - y0) for x, y in rest), key=lambda d: d[0] * d[0] + d[1] * d[1])
    return all(abs(far_x * (y - y0) - far_y * (x - x0)) <= 1e-12 * (far_x**2 + far_y**2) for x, y in rest)


def _colour(table: Table, value: object, anchor: bool) -> StatedColour:
    """A colour table; a part of another reference and an unknown grey only where it is an anchor's."""
    line = table.line("colour")
    forms = [*notations(), "swatch"] + (["part", "neutral"] if anchor else [])
    if not isinstance(value, dict):
        remedy = f'write colour = {{ hex = "#7f8a66" }}, or another of {listed(forms)}'
        table.wrong_type("colour", value, "a table", remedy)
        return _NO_COLOUR
    known = [key for key in value if key in forms]
    slips = [key for key in value if key not in forms]
    for key in slips:
        near = nearest_word(key, forms)
        if near is None and key == "part":
            remedy = 'write same_as = "…" where two parts are one paint'
        else:
            remedy = f"did you mean {near!r}?" if near else f"write one of {listed(forms)}"
        table.problem("colour", f"a colour has no {key!r}", remedy)
    if len(known) != 1:
        if not slips:
            what = f"a colour is given by {' and '.join(known)}" if known else "a colour is empty"
            table.problem("colour", what, f"write exactly one of {listed(forms)}")
        return _NO_COLOUR
    if slips:
        return _NO_COLOUR
    (key,) = known
    given = value[key]
    words = f"{key} {', '.join(f'{v}' for v in given) if isinstance(given, list) else given}"
    if key == "neutral":
        if given is not True:
            table.problem("colour", "neutral must be true", "write { neutral = true }, or state the colour")
        return StatedColour(neutral=True, words="neutral", line=line)
    if key in ("swatch", "part"):
        if not isinstance(given, str) or not given.strip():
            table.problem("colour", f"{key} must be an id", f'write {{ {key} = "…" }}')
            return _NO_COLOUR
        id = given.strip()
        return StatedColour(
            swatch=id if key == "swatch" else None, part=id if key == "part" else None, words=words, line=line
        )
    try:
        lab = parse_colour_table({key: given})
    except ValueError as error:
        what, _, remedy = str(error).partition("; ")
        table.problem("colour", what, remedy)
        return _NO_COLOUR
    return StatedColour(lab=(float(lab[0]), float(lab[1]), float(lab[2])), words=words, line=line)
