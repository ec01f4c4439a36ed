"""Shade, highlight, coats and quantities, as the guide says them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.model import Part
from palette.paints.choosing.chosen import choose
from palette.paints.choosing.proposals import paints_for
from palette.paints.needs import MOST, covering, tones
from palette.swatches.model import Swatch, SwatchList
from tests.guide.guide_made import made


def scheme_of(
    swatches: SwatchList, *parts: tuple[str, tuple[float, float, float]], finish: str = "matt"
) -> Scheme:
    kit = made(1)[0].kit
    colours = tuple(
        PartColour(
            Part(id, id, finish=finish),
            np.array(lab),
            np.eye(3),
            2.0,
            "colour",
            False,
            paints=paints_for(np.array(lab), swatches),
        )
        for id, lab in parts
    )
    return Scheme(replace(kit, parts=tuple(f.part for f in colours)), colours)


def paint(id: str, lab: tuple[float, float, float], **more: object) -> Swatch:
    return Swatch(id, id, np.array(lab), "lab", **more)  # type: ignore[arg-type]


def test_tones_are_matched_like_any_colour() -> None:
    """Fails where a tone takes the base's own paint, a retired one, or none where a mixture would do."""
    swatches = SwatchList(
        (
            paint("base", (50.0, 0.0, 0.0)),
            paint("dark", (38.0, -0.4, -1.4)),
            paint("gone", (62.0, 0.4, 1.4), retired=True),
            paint("white", (74.0, 0.0, 1.0)),
        )
    )
    scheme = scheme_of(swatches, ("roof", (50.0, 0.0, 0.0)))
    (given,) = tones(scheme, swatches, choose(scheme, swatches)).values()
    assert [tone.role for tone in given] == ["shade", "highlight"]
    shade, highlight = (tone.chosen for tone in given)
    assert shade is not None and shade.recipe == (("dark", 1),)
    assert highlight is not None and highlight.mix is not None and "white" in dict(highlight.recipe)


def test_tones_can_be_left_out() -> None:
    swatches = SwatchList((paint("a", (50.0, 0.0, 0.0)),))
    scheme = scheme_of(swatches, ("roof", (50.0, 0.0, 0.0)))
    none = replace(scheme, kit=replace(scheme.kit, shade=0.0, highlight=0.0))
    assert tones(none, swatches, choose(none, swatches)) == {}
    only = replace(scheme, kit=replace(scheme.kit, highlight=0.0, shade=15.0))
    (given,) = tones(only, swatches, choose(only, swatches)).values()
    assert [tone.role for tone in given] == ["shade"]
    assert tones(scheme_of(swatches, ("rail", (50.0, 0.0, 0.0)), finish="metallic"), swatches, {}) == {}


def test_a_tone_that_is_no_help_is_left_blank() -> None:
    """Fails where a paint far off, or the base's own, is named for a tone."""
    swatches = SwatchList((paint("base", (50.0, 0.0, 0.0)), paint("black", (12.0, 0.0, 0.0))))
    scheme = scheme_of(swatches, ("roof", (50.0, 0.0, 0.0)))
    (given,) = tones(scheme, swatches, choose(scheme, swatches)).values()
    assert given[1].role == "highlight" and given[1].chosen is None


def test_a_tone_is_mixed_though_the_prediction_is_unsure() -> None:
    """Fails where what a mixture may miss counts as distance: no tone of such paints would be near."""
    swatches = SwatchList((paint("white", (95.0, 0.0, 2.0)), paint("red", (40.0, 50.0, 30.0))))
    scheme = scheme_of(swatches, ("roof", (65.0, 30.0, 15.0)))
    (given,) = tones(scheme, swatches, choose(scheme, swatches)).values()
    assert all(tone.chosen is not None and tone.chosen.mix is not None for tone in given)


def test_quantities_add_up() -> None:
    """By the rule: area × coats ÷ coverage; two parts of one paint share its pot."""
    swatches = SwatchList((paint("a", (30.0, 0.0, 0.0), opacity=1.0, coverage_cm2_per_ml=50.0),))
    scheme = scheme_of(
        swatches, ("roof", (30.0, 0.0, 0.0)), ("floor", (30.0, 0.0, 0.0)), ("door", (30.0, 0.0, 0.0))
    )
    covered = covering(swatches, choose(scheme, swatches), {"roof": 100.0, "floor": 25.0})
    assert [covered.parts[id].millilitres for id in ("roof", "floor", "door")] == [2.0, 0.5, None]
    assert covered.parts["roof"].stated


def test_an_undercoat_is_advised_where_it_saves_coats() -> None:
    """A weak yellow beside much black: primed dark, the yellow gets white under it."""
    swatches = SwatchList(
        (paint("yellow", (85.0, 5.0, 75.0), opacity=0.55), paint("green", (18.0, -15.0, 5.0), opacity=0.35))
    )
    scheme = scheme_of(swatches, ("line", (85.0, 5.0, 75.0)), ("body", (18.0, -15.0, 5.0)))
    covered = covering(swatches, choose(scheme, swatches), {"line": 2.0, "body": 100.0})
    assert covered.primer == "black" and covered.parts["body"].ground == "black"
    assert covered.parts["line"].ground == "white"


def test_a_paint_that_covers_nothing_gets_the_primer_that_shows_least() -> None:
    """Fails where all primers count alike once the most coats are not enough, or nothing is said of paint."""
    swatches = SwatchList((paint("yellow", (82.0, 5.0, 75.0), opacity=0.3),))
    scheme = scheme_of(swatches, ("line", (82.0, 5.0, 75.0)))
    covered = covering(swatches, choose(scheme, swatches), {"line": 100.0})
    said = covered.parts["line"]
    assert covered.primer == "white" and said.coats is None
    assert said.millilitres == pytest.approx(MOST) and said.ground == "white" and said.left > 1


def test_what_is_assumed_is_told() -> None:
    swatches = SwatchList((paint("a", (30.0, 0.0, 0.0)), paint("b", (90.0, 0.0, 0.0), opacity=0.05)))
    scheme = scheme_of(swatches, ("roof", (30.0, 0.0, 0.0)), ("trim", (90.0, 0.0, 0.0)))
    covered = covering(swatches, choose(scheme, swatches), {"roof": 10.0})
    assert not covered.parts["roof"].stated and covered.parts["trim"].stated
    assert covered.parts["trim"].coats is None


def test_a_few_drops_are_no_mixture() -> None:
    """Fails where a shade that takes less than a few drops is mixed, or one that takes many is not."""
    swatches = SwatchList((paint("white", (95.0, 0.0, 2.0)), paint("red", (40.0, 50.0, 30.0))))
    scheme = scheme_of(swatches, ("roof", (65.0, 30.0, 15.0)))
    chosen = choose(scheme, swatches)
    for area, mixed in ((4.0, False), (400.0, True)):
        cover = covering(swatches, chosen, {"roof": area})
        (given,) = tones(scheme, swatches, chosen, cover.parts).values()
        assert any(t.chosen is not None and t.chosen.mix is not None for t in given) == mixed


def test_metallic_paints_are_not_predicted() -> None:
    swatches = SwatchList((paint("steel", (55.0, 0.0, 0.0), finish="metallic"),))
    covered = covering(
        swatches, choose(scheme_of(swatches, ("rail", (55.0, 0.0, 0.0))), swatches), {"rail": 5.0}
    )
    assert covered.parts == {} and covered.primer == ""


def test_a_tone_takes_a_paint_of_the_tray_before_a_new_one() -> None:
    """Fails where every tone asks for a pot of its own though one that is open would do."""
    swatches = SwatchList(
        (
            paint("light", (62.0, 0.0, 0.0)),
            paint("dark", (48.0, 0.0, 0.0)),
            paint("between", (50.0, -0.4, -1.4)),
        )
    )
    scheme = scheme_of(swatches, ("roof", (62.0, 0.0, 0.0)), ("body", (48.0, 0.0, 0.0)))
    given = tones(scheme, swatches, choose(scheme, swatches))
    (shade,) = [tone for tone in given["roof"] if tone.role == "shade"]
    assert shade.chosen is not None and shade.chosen.recipe == (("dark", 1),)
