"""What goes on the brush: the guide and the basket name one recipe."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

import swatches_demo
from palette.kit.model import Part, StatedColour
from palette.paints.basket import basket
from palette.paints.choosing.brush import brush, warning
from palette.paints.choosing.chosen import Chosen
from palette.paints.choosing.proposals import mixes_for, paints_for
from palette.paints.mixing import predicted
from palette.swatches.kinds import unmixable
from palette.swatches.model import SwatchList
from tests.guide.guide_made import made

BENCH = Path(swatches_demo.__file__).parent / "swatches" / "bench.csv"


def test_the_guide_and_the_basket_put_the_same_on_the_brush() -> None:
    """Fails where the basket mixes although a paint to hand is a match straight, or weighs mixtures of the
    same pots otherwise than the guide. What the guide would buy and the basket need not, and what no
    prediction can promise, is left aside."""
    rng = np.random.default_rng(0)
    swatches = SwatchList.read(BENCH)
    able = [s.id for s in swatches.swatches if not s.retired and unmixable(s) is None]
    pairs = [rng.choice(able, 2, replace=False) for _ in range(7)]
    labs = np.array([predicted({a: 2, b: 1}, swatches).lab for a, b in pairs]) + rng.normal(0, 0.7, (7, 3))
    scheme = made(1)[0]
    parts = tuple(
        replace(
            scheme.parts[0],
            part=replace(scheme.parts[0].part, id=f"part-{i}", finish="matt"),
            lab=lab,
            basis="colour",
            radius90=2.0,
            paints=paints_for(lab, swatches),
            mixes=mixes_for(lab, swatches),
        )
        for i, lab in enumerate(labs)
    )
    scheme = replace(scheme, parts=parts)
    chosen = brush(scheme, swatches)
    bought = basket(labs, swatches, scheme.kit.tolerance)
    at_hand = {*bought.owned, *bought.chosen.buy}
    compared = 0
    for part, way in zip(parts, bought.brush, strict=True):
        named = chosen[part.part.id]
        if named.miss <= scheme.kit.tolerance and at_hand.issuperset(id for id, _ in named.recipe):
            assert way is not None and dict(way.drops) == dict(named.recipe)
            compared += 1
    assert compared >= 4


def test_a_metallic_paint_is_warned_of_unless_the_maker_decided_on_it() -> None:
    """Fails where a maker's own choice is said to be taken for want of others, or another's is not."""
    paints = {s.id: s for s in SwatchList.read(BENCH).swatches}
    flakes = next(id for id, swatch in paints.items() if unmixable(swatch) == "metallic")
    chosen = Chosen(((flakes, 1),), 0.0, False)
    assert "metallic paint" in warning(Part("rail", "Rail"), chosen, paints)
    assert "metallic paint" in warning(
        Part("rail", "Rail", colour=StatedColour(lab=(50, 0, 0))), chosen, paints
    )
    assert warning(Part("rail", "Rail", colour=StatedColour(swatch=flakes)), chosen, paints) == ""
