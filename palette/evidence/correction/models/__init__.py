"""Ways in which a picture may have been handled: one model a file, all tried, the evidence decides.

A module of this folder that defines `MODEL` is a model. To add one, add a file.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from palette.evidence.correction.model import Model


@cache
def models() -> tuple[Model, ...]:
    """Every model, in alphabetical order of its file."""
    modules = (import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__))
    return tuple(module.MODEL for module in modules if hasattr(module, "MODEL"))
