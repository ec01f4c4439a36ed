"""How a picture weighed the spectrum: one response a file, found by their names.

A module of this folder that defines `RESPONSE` is a response; its name with underscores as hyphens is
what kit.toml says. To add one, add a file. A named response stands for a class of stocks, so it is a
set of members drawn around a central curve, and whoever uses it integrates over them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from palette.colour.spaces import Array


@dataclass(frozen=True)
class Response:
    """A class of spectral responses, or of lumas.

    Exactly one of `members` and `lumas` is set. `members` (m, 471) are sensitivities at 360…830 nm in
    steps of 1, linear, relative, to equal energy; `lumas` (m, 4) are the weights of encoded red, green
    and blue, and how saturated the picture is (1 = as the surfaces are).
    """

    name: str
    title: str  # for people
    provenance: str
    from_memory: bool = False
    members: Array | None = None
    lumas: Array | None = None
    is_class: bool = True  # False: one known curve

    @property
    def count(self) -> int:
        table = self.members if self.members is not None else self.lumas
        assert table is not None
        return len(table)


@cache
def names() -> tuple[str, ...]:
    """The named responses, in alphabetical order."""
    return tuple(
        sorted(m.name.replace("_", "-") for m in iter_modules(__path__) if not m.name.startswith("_"))
    )


@cache
def named(name: str) -> Response:
    """The response of a name.

    Raises:
        KeyError: no such response.
    """
    if name not in names():
        raise KeyError(name)
    response: Response = import_module(f"{__name__}.{name.replace('-', '_')}").RESPONSE
    return response
