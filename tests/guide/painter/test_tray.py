"""What the guide puts on its tray is what the basket buys, or finds at home."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from palette.evidence.combine.model import PartColour, Scheme
from palette.guide.painter.assembly import Work, assemble
from palette.kit.model import Part
from palette.paints.choosing.choice import chosen_paints
from palette.paints.choosing.few import DROP, FEW_DROPS
from palette.paints.mixing import predicted
from palette.paints.needs import covering, tones
from palette.paints.shopping import to_buy
from palette.swatches.model import Swatch, SwatchList
from palette.words.catalogue import Words
from tests.guide.guide_made import made

WORDS = Words("en")


def some_kit(seed: int) -> tuple[Scheme, SwatchList, dict[str, float]]:
    """Ten paints, some owned, and eight parts that mixtures of them would suit: some take a drop or two, some
    a pot, and of some the size is unknown; the last is a guess."""
    rng = np.random.default_rng(seed)
    labs = np.column_stack([rng.uniform(15, 92, 10), rng.normal(0, 25, (10, 2))])
    paints = tuple(
        Swatch(f"P{i}", f"Paint {i}", lab, "lab", range="AB"[i % 2], owned=bool(rng.random() < 0.4))
        for i, lab in enumerate(labs)
    )
    swatches = SwatchList(paints)
    parts = []
    for i in range(8):
        a, b = rng.choice(swatches.ids, 2, replace=False)
        lab = predicted({a: 2, b: 1}, swatches).lab + rng.normal(0, 0.7, 3)
        area = None if rng.random() < 0.15 else float(rng.choice([0.5, 1.5, 4.0, 60.0]))
        part = Part(f"part-{i}", f"Part {i}", finish="matt", area_cm2=area)
        parts.append(PartColour(part, lab, np.eye(3), 2.0, "colour", False))
    guess = np.diag([9.0, 200.0, 200.0])
    parts[-1] = replace(parts[-1], basis="grey", covariance=guess, radius90=25.0)
    kit = replace(made(1)[0].kit, parts=tuple(colour.part for colour in parts))
    sizes = {p.id: p.area_cm2 for p in kit.parts if p.area_cm2 is not None}
    return Scheme(kit, tuple(parts)), swatches, sizes


@pytest.mark.parametrize("seed", range(4))
def test_the_tray_and_the_basket_name_the_same_paints(seed: int) -> None:
    """Fails where one of them mixes what the other takes straight, or leaves out a paint for a tone."""
    scheme, swatches, sizes = some_kit(seed)
    chosen = chosen_paints(scheme, swatches)
    cover = covering(swatches, chosen, sizes)
    work = Work(scheme, swatches, chosen, {}, tones(scheme, swatches, chosen, cover.parts), cover, sizes)
    guide = assemble(work, WORDS)
    tray = {row.paint.code for row in guide.tray}
    assert len(guide.tray) == len(tray)

    shopping = to_buy(scheme, swatches, 2, 12, False)
    basket = shopping.basket
    brush = {id for recipe in basket.chosen_recipes if recipe is not None for id, _ in recipe.drops}
    toned = {id for each in shopping.tones.values() for t in each if t.chosen for id, _ in t.chosen.recipe}
    assert tray == brush | toned
    assert set(basket.chosen.buy) == brush - set(basket.owned)
    assert set(shopping.tones_to_buy) == toned - brush - set(basket.owned)
    # and nobody is asked to mix fewer drops than can be counted
    of: dict[object, list[str]] = {}
    for part, recipe in zip(shopping.parts, basket.chosen_recipes, strict=True):
        assert recipe is not None and recipe.drops == chosen[part.part.id].recipe
        if len(recipe.drops) > 1:
            of.setdefault(recipe.drops, []).append(part.part.id)
    for its in of.values():
        if all(id in sizes for id in its):
            assert sum(cover.parts[id].millilitres or 0.0 for id in its) >= FEW_DROPS * DROP - 1e-9, its
