"""What a grey level says about a colour: responses, tone curves, and the posterior over paints."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from palette.evidence.grey.answer import GreyAnswer as GreyAnswer
    from palette.evidence.grey.answer import GreyPart as GreyPart
    from palette.evidence.grey.inference import infer as infer

__all__ = ["GreyAnswer", "GreyPart", "infer"]

_HOME = {
    "GreyAnswer": "palette.evidence.grey.answer",
    "GreyPart": "palette.evidence.grey.answer",
    "infer": "palette.evidence.grey.inference",
}


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'palette.evidence.grey' has no attribute {name!r}")
