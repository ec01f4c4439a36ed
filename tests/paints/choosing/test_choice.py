"""What goes on the brush: the guide and the basket name one recipe."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

import swatches_demo
from palette.evidence.combine.model import Scheme
from palette.kit.model import StatedColour
from palette.paints.choosing.choice import chosen_paints
from palette.paints.choosing.notes import LooksOtherwise
from palette.paints.mixing import mixes as mixes_of
from palette.paints.mixing import predicted
from palette.paints.shopping import to_buy
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList
from palette.words import say
from tests.guide.guide_made import made

BENCH = Path(swatches_demo.__file__).parent / "swatches" / "bench.csv"


def painted(labs: np.ndarray, **more: object) -> Scheme:
    scheme = made(1)[0]
    first = replace(scheme.parts[0], covariance=np.eye(3), **more)
    parts = tuple(
        replace(first, part=replace(first.part, id=f"part-{i}", finish="matt"), lab=lab, radius90=2.0)
        for i, lab in enumerate(labs)
    )
    return replace(scheme, parts=parts)


def test_the_guide_and_the_basket_put_the_same_on_the_brush() -> None:
    """Fails where they choose by themselves: colours that can be mixed, colours out of reach, and guesses."""
    rng = np.random.default_rng(0)
    swatches = SwatchList.read(BENCH)
    able = [s.id for s in swatches.swatches if not s.retired and unmixable(s) is None]
    pairs = [rng.choice(able, 2, replace=False) for _ in range(5)]
    labs = [predicted({a: 2, b: 1}, swatches).lab + rng.normal(0, 0.7, 3) for a, b in pairs]
    known = painted(np.array([*labs, [60.0, 70.0, -60.0]]), basis="colour")
    guess = replace(known.parts[0], part=replace(known.parts[0].part, id="guess"), basis="grey",
                    covariance=np.diag([9.0, 200.0, 200.0]), radius90=25.0)  # fmt: skip
    scheme = replace(known, parts=(*known.parts, guess))
    named = chosen_paints(scheme, swatches)
    shopping = to_buy(scheme, swatches, 2, 12, False)
    assert {id: c.recipe for id, c in named.items()} == {id: c.recipe for id, c in shopping.chosen.items()}
    bought = {id for chosen in named.values() for id in chosen.to_buy}
    assert bought == set(shopping.basket.chosen.buy)  # no pot too many, none that is missing
    assert [c.guess is not None for c in named.values()] == [False] * 6 + [True]
    # and it is no worse than what each part would get by itself, but for what is hardly seen
    for part in known.parts:
        alone = chosen_paints(replace(scheme, parts=(part,)), swatches)[part.part.id]
        chosen = named[part.part.id]
        assert chosen.within or chosen.miss <= alone.miss + 2.0


def test_what_a_buyer_owns_changes_the_guide() -> None:
    """Fails where the guide does not follow the set that somebody has."""
    lab = np.array([[50.0, 0.0, 0.0]])
    paints = [Swatch(id, id, np.array(at), "lab") for id, at in (("a", (50.0, 1, 0)), ("b", (50.0, 0, 2.0)))]
    for owner in ("a", "b"):
        swatches = SwatchList(tuple(replace(s, owned=s.id == owner) for s in paints))
        chosen = chosen_paints(painted(lab, basis="colour"), swatches)["part-0"]
        assert chosen.recipe == ((owner, 1),) and chosen.owned and chosen.to_buy == ()


def test_a_metallic_paint_is_warned_of_unless_the_maker_decided_on_it() -> None:
    """Fails where a maker's own choice is said to be taken for want of others, or another's is not."""
    flakes = next(s for s in SwatchList.read(BENCH).swatches if unmixable(s) == "metallic")
    only = SwatchList((flakes,))
    for basis, colour in (("colour", None), ("decision", StatedColour(lab=(50, 0, 0)))):
        scheme = painted(flakes.lab[None] + 1.0, basis=basis)
        part = replace(scheme.parts[0], part=replace(scheme.parts[0].part, colour=colour))
        chosen = chosen_paints(replace(scheme, parts=(part,)), only)["part-0"]
        assert chosen.look == "metallic" and "metallic paint" in say(LooksOtherwise(chosen.look))
    decided = replace(part, part=replace(part.part, colour=StatedColour(swatch=flakes.id)), lab=flakes.lab)
    chosen = chosen_paints(replace(scheme, parts=(decided,)), only)["part-0"]
    assert chosen.look == ""


def test_paints_of_different_thinners_are_never_mixed() -> None:
    """Fails where an enamel goes into a water-based paint; one of an unknown thinner may go anywhere."""
    white, black = (95.0, 0.0, 0.0), (12.0, 0.0, 0.0)
    grey = np.array([[50.0, 0.0, 0.0]])
    for media, mixes in ((("water", "enamel"), False), (("water", "water"), True), (("water", ""), True)):
        swatches = SwatchList(
            tuple(
                Swatch(id, id, np.array(lab), "lab", medium=medium)
                for id, lab, medium in zip("WK", (white, black), media, strict=True)
            )
        )
        chosen = chosen_paints(painted(grey, basis="colour"), swatches)["part-0"]
        assert (len(chosen.recipe) > 1) == mixes, media
        assert any(len(mix.drops) > 1 for mix in mixes_of(grey[0], swatches)) == mixes
