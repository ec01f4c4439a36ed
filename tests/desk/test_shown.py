"""What the desk's pages show of a colour."""

import numpy as np

from palette.desk.shown import mixture
from palette.kit.model import Part
from palette.paints.mixing import Mix
from palette.scheme.model import PaintChoice, PartColour


def mix(difference: float, expected_error: float) -> Mix:
    drops = ((f"A{difference}", 3), ("B", 1))
    return Mix(drops, np.zeros(3), difference, expected_error, 1.0, np.full(31, 0.5))


def part(paint_off: float, *mixes: Mix) -> PartColour:
    paint = PaintChoice("P", "Paint", "", np.zeros(3), paint_off)
    return PartColour(
        Part("a", "A"), np.zeros(3), np.eye(3), 2.0, "colour", False, paints=(paint,), mixes=mixes
    )


def test_a_mixture_is_weighed_with_the_error_of_its_prediction() -> None:
    sure, bold = mix(2.0, 0.5), mix(0.3, 4.0)
    assert mixture(part(5.0, bold, sure)) is sure  # not the one predicted nearest
    assert mixture(part(3.0, bold)) is None  # 4.0 to expect is no gain on 3.0
    assert mixture(None) is None
