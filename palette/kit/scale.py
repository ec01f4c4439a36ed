"""The scale of a kit, as a number."""

from __future__ import annotations

import re

_RATIO = re.compile(r"\s*1\s*[:/]\s*(\d+(?:[.,]\d+)?)\s*")


def scale_number(text: str) -> float | None:
    """'1:35' or '1/76.2' to 35.0 or 76.2; None for anything else, larger than life too."""
    match = _RATIO.fullmatch(text)
    number = float(match[1].replace(",", ".")) if match else 0.0
    return number if number >= 1 else None
