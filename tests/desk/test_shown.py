"""What the desk's pages show of a colour."""

import numpy as np

from palette.desk.shown import chosen_paint
from palette.kit.model import Part
from palette.paints.choosing.chosen import Chosen, Guess
from palette.paints.mixing import Mix
from palette.swatches.model import Swatch

WALL = Part("wall", "Wall")


def paint(id: str, owned: bool | None) -> Swatch:
    return Swatch(id, id, np.array([50.0, 0.0, 0.0]), "lab", owned=owned)


def test_what_goes_on_the_brush_says_what_is_still_to_be_bought() -> None:
    """Fails where a pot to buy is passed over, or somebody who marked no paint is sent for all of them."""
    drops = (("a", 3), ("b", 1))
    mix = Mix(drops, np.array([52.0, 0.0, 0.0]), 1.9, 3.5, 1.0, np.full(31, 0.5))
    chosen = Chosen(drops, 1.9, False, mix)
    some = chosen_paint(WALL, chosen, {"a": paint("a", True), "b": paint("b", None)})
    assert some is not None and some.to_buy == ("b",) and some.lab is mix.lab
    assert (some.off, some.shows) == ("1.9 ± 3.5", "seen side by side")  # the words count the error in
    none = chosen_paint(WALL, chosen, {"a": paint("a", None), "b": paint("b", False)})
    assert none is not None and none.to_buy is None
    assert chosen_paint(WALL, None, {}) is None


def test_a_guess_says_how_far_it_is_off_on_average() -> None:
    """Fails where a guess is told as if it were a match."""
    guess = Chosen((("a", 1),), 9.2, False, guess=Guess(9.2, 0.1, (("a", 0.4),), 0.8))
    shown = chosen_paint(WALL, guess, {"a": paint("a", False)})
    assert shown is not None and (shown.off, shown.guess) == ("", "9 off on average")
