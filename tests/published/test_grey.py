"""Grey inference on measured surfaces that nothing has learnt from: true odds, and more than lightness tells.

The surfaces are colour-science's measured sets; the pictures are simulated in tests/benchmarks/grey.
"""

from dataclasses import replace

import pytest

from palette.colour.responses import named
from tests.benchmarks.grey.simulation import NEGATIVE_400, Case, Shot, curve, negative_and_print, run, sheet

CLASS = Case("class", [Shot(NEGATIVE_400, named("panchromatic"))], 0.05)


@pytest.mark.parametrize(
    "case",
    [
        CLASS,
        replace(CLASS, name="one anchor", anchors=1),
        replace(CLASS, name="no anchor", anchors=0),
        replace(CLASS, name="negative and print", curve=negative_and_print, anchors=5),
        Case("luma", [Shot(None, named("luma-601"), (0.299, 0.587, 0.114))], 0.05),
    ],
    ids=lambda case: case.name,
)
def test_sets_hold_what_they_say(case: Case) -> None:
    # 160 surfaces in 20 pictures: 12 points are two standard errors and more of what 90 % may read by chance
    marks = run(case, 20)
    assert marks.coverage(0.9) > 0.78
    assert marks.coverage(0.5) > 0.33
    assert marks.bits.mean() > -0.2


def test_a_known_curve_tells_more_than_lightness() -> None:
    # fails where spectra are not recovered, or the response is not used: lightness alone gives under 2 bits
    case = Case("given", [Shot(sheet(), curve(sheet()))], 0.02)
    assert run(case, 10).bits.mean() > run(case, 10, "lightness").bits.mean() + 1
