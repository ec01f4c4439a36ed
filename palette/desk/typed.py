"""A colour as it is typed: in any notation, or as the id of a paint."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from palette.colour.notations import Notation, notations
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.kit.tables import nearest_word
from palette.swatches.model import SwatchList

HELP = "#7f8a66, 5GY 4/3, three numbers L* a* b*, or the id of a paint"
_LONGEST = 200  # characters; no notation and no sensible id needs more
_SIGNS = {"#": "hex", "/": "munsell"}  # which notation was meant when none understands it


@dataclass(frozen=True)
class Typed:
    """A colour, and how kit.toml says it."""

    lab: Array | None  # (3,); None for a grey of unknown lightness
    table: dict[str, Any]
    text: str


def typed(text: str, swatches: SwatchList, neutral: bool = False) -> Typed:
    """The colour that a text means; a notation's name may stand before it. `neutral` lets the word
    'neutral' be a grey of unknown lightness.

    Raises:
        InputError: it means none.
    """
    text = " ".join(text.split())
    if not text:
        raise InputError(Problem(None, None, "no colour is given", f"write {HELP}"))
    if len(text) > _LONGEST:
        what = f"{text[:20]!r} … is no colour: it has {len(text)} characters"
        raise InputError(Problem(None, None, what, f"write {HELP}"))
    if neutral and text.lower() == "neutral":
        return Typed(None, {"neutral": True}, text)
    first, _, rest = text.partition(" ")
    id = rest if first.lower() == "swatch" and rest else text
    for swatch in swatches.swatches:
        if swatch.id == id:
            return Typed(swatch.lab, {"swatch": id}, text)
    named = notations().get(first.lower())
    if named is not None and rest:
        try:
            return _by(named, rest)
        except ValueError as error:
            raise InputError(Problem(None, None, str(error))) from None
    failed: dict[str, str] = {}
    for notation in notations().values():
        try:
            return _by(notation, text)
        except ValueError as error:
            failed[notation.name] = str(error)
    for sign, name in _SIGNS.items():
        if sign in text and name in failed:
            raise InputError(Problem(None, None, failed[name]))
    if len(_words(text)) == 3:
        raise InputError(Problem(None, None, failed.get("lab", f"{text!r} is no colour")))
    near = nearest_word(id, swatches.ids)
    remedy = f"did you mean {near!r}? Or write {HELP}" if near else f"write {HELP}"
    raise InputError(Problem(None, None, f"{text!r} is no colour and no paint of the kit's lists", remedy))


def _by(notation: Notation, text: str) -> Typed:
    value: Any = text
    if notation.numbers > 1:
        try:
            value = [float(word) for word in _words(text)]
        except ValueError:
            raise ValueError(
                f"{text!r} is no {notation.name} colour; write {notation.numbers} numbers"
            ) from None
    lab = notation.to_lab(value)
    return Typed(lab, {notation.name: value}, text)


def _words(text: str) -> list[str]:
    return [word for word in re.split(r"[\s,;]+", text.replace("−", "-")) if word]
