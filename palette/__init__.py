"""palette: from surviving pictures to a paint scheme with its uncertainty, and a guide to paint from.

The names below are the library's front door; each is imported when first used, so that a command
pays only for what it needs.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from palette.colour.difference import difference as difference
    from palette.errors import InputError as InputError
    from palette.kit.model import Kit as Kit
    from palette.paints.mixing import mixes as mixes
    from palette.paints.mixing import mixture as mixture
    from palette.paints.scheme import scheme as scheme
    from palette.swatches.model import SwatchList as SwatchList

__version__ = "0.1.0"

_HOME = {
    "difference": "palette.colour.difference",
    "InputError": "palette.errors",
    "SwatchList": "palette.swatches.model",
    "mixes": "palette.paints.mixing",
    "mixture": "palette.paints.mixing",
    "Kit": "palette.kit.model",
    "scheme": "palette.paints.scheme",
}

__all__ = ["InputError", "Kit", "SwatchList", "difference", "mixes", "mixture", "scheme"]


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'palette' has no attribute {name!r}")
