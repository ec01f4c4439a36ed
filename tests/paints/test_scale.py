"""Colours for small scales. The shares are common practice, no source."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette import InputError
from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.read import of_text
from palette.kit.scale import scale_number
from palette.paints.scale import lightened, rule, share
from palette.paints.scaled import as_painted, scale_rule
from palette.swatches.model import SwatchList


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("1:35", 35.0),
        (" 1 / 76.2 ", 76.2),
        ("1:43,5", 43.5),
        ("", None),
        ("small", None),
        ("1:0", None),
        ("35", None),
        ("2:1", None),
    ],
)
def test_scales_as_they_are_written(text: str, number: float | None) -> None:
    assert scale_number(text) == number


def test_shares_are_those_of_the_trade() -> None:
    """Common practice, no source: a twentieth at 1:24, a tenth at 1:48, a seventh at 1:72."""
    assert [share(n) for n in (24, 48, 72)] == pytest.approx([0.05, 0.10, 0.15], abs=0.01)
    assert share(700) == 0.3 and share(1) < 0.01


def test_colours_get_lighter_and_greyer_and_white_a_little_darker() -> None:
    red, white = lightened([[35.0, 45.0, 25.0], [97.0, 0.0, 2.0]], 72)
    assert red[0] > 35 and np.hypot(*red[1:]) < np.hypot(45, 25)
    assert red[2] / red[1] == pytest.approx(25 / 45)  # of the same hue
    assert 93 < white[0] < 97


KIT = """schema = 1
[kit]
title = "Van"
{}
[[part]]
id = "body"
colour = {{ lab = [30.0, 30.0, 10.0] }}
why = "seen"
"""


def painted(head: str) -> tuple[Scheme, Scheme]:
    kit = of_text(KIT.format(head), Path("kit.toml"))
    part = PartColour(kit.parts[0], np.array([30.0, 30.0, 10.0]), np.eye(3), 2.0, "colour", False)
    scheme = Scheme(kit, (part,))
    return scheme, as_painted(scheme, SwatchList(()))


def test_it_is_off_unless_asked_for() -> None:
    scheme, same = painted('scale = "1:72"')
    assert same is scheme and scale_rule(scheme) == ""


def test_the_scheme_is_painted_lighter_where_asked_for() -> None:
    """Fails where the uncertainty does not shrink with the colours, or the rule is not said."""
    scheme, changed = painted('scale = "1:72"\nscale_effect = true')
    np.testing.assert_allclose(changed.parts[0].lab, lightened([30.0, 30.0, 10.0], 72))
    np.testing.assert_allclose(changed.parts[0].covariance, (1 - share(72)) ** 2 * np.eye(3))
    assert changed.parts[0].radius90 != scheme.parts[0].radius90
    assert scale_rule(scheme) == rule(72.0) and "Common practice, no source" in rule(72.0)


@pytest.mark.parametrize("scale", ['scale = "tiny"\n', ""])
def test_a_scale_that_is_no_number_is_a_problem_only_where_it_is_needed(scale: str) -> None:
    with pytest.raises(InputError, match=r"kit.toml:\d: scale_effect needs a scale"):
        of_text(KIT.format(f"{scale}scale_effect = true"), Path("kit.toml"))
    of_text(KIT.format(scale), Path("kit.toml"))


def test_tones_are_set_in_the_kit() -> None:
    kit = of_text(KIT.format("shade = 8\nhighlight = 0\ntone_hue = 3.5"), Path("kit.toml"))
    assert (kit.shade, kit.highlight, kit.tone_hue) == (8.0, 0.0, 3.5)
    with pytest.raises(InputError, match="shade is -3"):
        of_text(KIT.format("shade = -3"), Path("kit.toml"))
