"""CIELAB itself, under D65 with the 2-degree observer."""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array

ORDER = 1
NUMBERS = 3
EXAMPLE = "--lab 52 10 -20"
HELP = "A colour in CIELAB (D65, 2-degree observer): L* from 0 to 100, a*, b*."


def to_lab(value: object) -> Array:
    if not isinstance(value, (list, tuple, np.ndarray)) or len(value) != 3:
        raise ValueError(f"{value!r} is no CIELAB colour; write three numbers, L*, a* and b*")
    try:
        if any(isinstance(number, (bool, str)) for number in value):
            raise TypeError
        lab = np.array([float(number) for number in value])
    except (TypeError, ValueError, OverflowError):
        raise ValueError(f"{value!r} is no CIELAB colour; write three numbers, L*, a* and b*") from None
    if not (np.all(np.isfinite(lab)) and 0 <= lab[0] <= 100 and np.all(np.abs(lab[1:]) <= 300)):
        raise ValueError(
            f"CIELAB {', '.join(f'{number:g}' for number in lab)} is no surface colour; "
            "give L* from 0 to 100, and a* and b* within 300 of zero"
        )
    return lab
