"""The ways a colour can be written, one small file each; adding one touches no other file.

A notation is a module of this folder with

    ORDER: int      where it stands in lists and help
    NUMBERS: int    how many words it takes on a command line
    EXAMPLE: str    as a maker would type it on a command line
    HELP: str       one line
    to_lab(value: object) -> Array     CIELAB D65 (3,), or ValueError saying what is wrong

and its name is the module's: the key in a colour table (`{ hex = "#7f8a66" }`) and the option (`--hex`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from palette.colour.spaces import Array


@dataclass(frozen=True)
class Notation:
    name: str
    numbers: int
    example: str
    help: str
    module: Any

    def to_lab(self, value: object) -> Array:
        """CIELAB D65 (3,) of a value as TOML or a command line gives it.

        Raises:
            ValueError: the value is no colour in this notation.
        """
        lab: Array = self.module.to_lab(value)
        return lab


@cache
def notations() -> Mapping[str, Notation]:
    """Every notation by name, in their order."""
    modules = [(module.name, import_module(f"{__name__}.{module.name}")) for module in iter_modules(__path__)]
    modules.sort(key=lambda named: named[1].ORDER)
    return {name: Notation(name, m.NUMBERS, m.EXAMPLE, m.HELP, m) for name, m in modules}


def to_lab(notation: str, value: object) -> Array:
    """CIELAB D65 (3,) of a value in the notation of that name.

    Raises:
        ValueError: no such notation, or the value is no colour in it.
    """
    if notation not in notations():
        raise ValueError(f"{notation!r} is no notation for a colour; write {_known()}")
    return notations()[notation].to_lab(value)


def parse_colour_table(table: Mapping[str, object]) -> Array:
    """CIELAB D65 (3,) of a table such as `{ hex = "#7f8a66" }`, which names exactly one notation.

    Raises:
        ValueError: no notation, more than one, an unknown one, or no colour in it.
    """
    if len(table) != 1:
        raise ValueError(f"a colour is given by exactly one of {_known()}")
    ((name, value),) = table.items()
    return to_lab(name, value)


def munsell_to_lab(text: str) -> Array:
    """CIELAB D65 (3,) of a Munsell notation; ValueError where it is none."""
    return to_lab("munsell", text)


def _known() -> str:
    *most, last = notations()
    return f"{', '.join(most)} or {last}"
