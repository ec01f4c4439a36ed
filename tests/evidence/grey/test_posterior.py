"""Levels to probabilities: bits, outliers, shared stocks, and anchors that contradict."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import entropy

from palette.colour.responses import Response, named
from palette.colour.spaces import srgb_encode
from palette.colour.spectra import FINE, light, observer, weights
from palette.evidence.grey import posterior
from palette.evidence.grey.picture import AnchorLevel, GreyPicture, Sensitivity
from palette.evidence.grey.surfaces import at_large, of_labs
from palette.evidence.grey.tone import Level
from palette.memory import MEMORY

LABS = np.array([[96.0, 0, 0], [51.0, 0, 0], [20.0, 0, 0], [51.0, 45, 30], [51.0, -35, 20], [35.0, 10, -40]])
SURFACES = of_labs(LABS)
EVERY = slice(None)


def level(lab: np.ndarray) -> Level:
    """Seen by an eye through the sRGB curve of IEC 61966-2-1: its luminance of CIE 15."""
    return Level(float(srgb_encode(np.array(((lab[0] + 16) / 116) ** 3))), 0.001)


def picture(name: str = "one", response: str | Response = "panchromatic", **how: object) -> GreyPicture:
    said = named(response) if isinstance(response, str) else response
    anchors = tuple(AnchorLevel(f"anchor {i + 1}", level(LABS[i]), LABS[i]) for i in range(3))
    plain = GreyPicture(name, Sensitivity.of(said, "D65"), anchors, {"door": (Level(0.45, 0.001),)}, 0.05)
    return replace(plain, **how)


def chances(*pictures: GreyPicture) -> np.ndarray:
    calibrated = [posterior.calibrate(v) for v in pictures]
    index = {
        one.picture.name: one.signals.index(one.picture.sensitivity.log_signals(SURFACES))
        for one in calibrated
    }
    rows = posterior.likelihood([(one, one.picture.levels["door"]) for one in calibrated], index, EVERY)
    mean = SURFACES.mean(rows)
    return mean / mean.sum()


def test_bits_are_the_divergence_from_equal_odds() -> None:
    # against scipy.stats.entropy, the Kullback-Leibler divergence in base 2
    p = np.random.default_rng(1).dirichlet(np.full(40, 0.2))
    p[3] = 0.0
    p /= p.sum()
    assert posterior.bits(p) == pytest.approx(entropy(p, np.full(40, 1 / 40), base=2))
    assert posterior.bits(np.full(8, 1 / 8)) == pytest.approx(0)
    assert posterior.bits(np.eye(8)[2]) == pytest.approx(3)


def test_a_level_finds_its_grey_and_rules_the_others_out() -> None:
    shown = picture(levels={"door": (level(LABS[1]),)})
    likely = chances(shown)
    assert likely[1] > 0.3
    assert likely[0] < 0.02 and likely[2] < 0.02


def test_mistrust_goes_as_far_as_saying_nothing() -> None:
    plain, doubted, nothing = (chances(picture(trust=t)) for t in (1.0, 0.5, 0.0))
    np.testing.assert_allclose(nothing, 1 / len(LABS))
    assert posterior.bits(plain) > posterior.bits(doubted) > 0.05


def test_no_picture_rules_out_altogether() -> None:
    # a white read as black: a shadow, a stain, a repaint
    assert chances(picture(levels={"door": (Level(0.1, 0.001),)})).min() > 1e-4


def test_pictures_multiply_and_a_second_stock_tells_hues_apart() -> None:
    # a red and a green of the same lightness: alike to the eye's own curve, not to a stock blind to red
    one = picture("pan", levels={"door": (Level(0.46, 0.001),)})
    two = picture("ortho", "orthochromatic", levels={"door": (Level(0.25, 0.001),)})
    both = chances(one, two)
    assert both[3] > 10 * both[4]
    assert both[3] > chances(one)[3]


def test_a_stock_shared_by_two_pictures_is_told_apart_from_two_stocks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # two pictures of one class are worth no more than two of different stocks, and are not one twice over
    twice = picture("one"), picture("two")
    monkeypatch.setattr(posterior, "SAME_STOCK", 0.0)
    apart = chances(*twice)
    MEMORY.clear()
    monkeypatch.setattr(posterior, "SAME_STOCK", 1.0)
    together = chances(*twice)
    monkeypatch.undo()
    MEMORY.clear()
    between = chances(*twice)
    assert np.abs(apart - together).max() > 0.002
    low, high = np.minimum(apart, together), np.maximum(apart, together)
    assert np.all(between > low - 0.01) and np.all(between < high + 0.01)


def test_the_part_itself_is_left_out_of_its_anchors() -> None:
    known = AnchorLevel("part 'door'", Level(0.45, 0.001), LABS[3], 1.0, "door")
    plain = picture()
    with_it = replace(plain, anchors=(*plain.anchors, known))
    axis = posterior.calibrate(plain).signals
    alone, without, whole = (
        one.curves.signal_density([Level(0.45, 0.001)], axis)
        for one in (
            posterior.calibrate(plain),
            posterior.calibrate(with_it, without="door"),
            posterior.calibrate(with_it),
        )
    )
    np.testing.assert_array_equal(alone, without)
    assert not np.allclose(alone, whole, rtol=0.01)


# as an eye sees, and as a plate does that sees the blue alone
TWO = Response(
    "two", "two", "made up", members=np.array([observer()[:, 1], np.exp(-0.5 * ((FINE - 450) / 25) ** 2)])
)
VIVID = of_labs(
    np.array([[51.0, 45, 30], [51, -35, 20], [35, 10, -40], [80, 0, 75], [40, 45, -30], [60, 35, 55]])
)


def _share(one: posterior.Calibrated) -> float:
    """Of the first member."""
    return float(np.exp(one.curves.log_weight[:, 0]).sum())


def _beside(member: int, anchors: int = 3, parts: int = 6) -> tuple[float, dict[tuple[str, str], float]]:
    """The first member's share where `member` made the picture: by its anchors, and as each part hears."""
    assert TWO.members is not None
    seen = weights(light("D65"), TWO.members[member])
    sensitivity = Sensitivity.of(TWO, "D65")
    known = tuple(AnchorLevel(f"anchor {i}", level(LABS[i]), LABS[i]) for i in range(anchors))
    signals = VIVID.reflectance[VIVID.start] @ seen
    levels = {str(i): (Level(float(srgb_encode(signals[i])), 0.001),) for i in range(parts)}
    one = posterior.calibrate(GreyPicture("one", sensitivity, known, levels, 0.02))
    both = np.concatenate([sensitivity.log_signals(VIVID), sensitivity.log_signals(at_large())])
    index = {"one": one.signals.index(both)}
    by_parts = posterior.together({"one": one}, {id: {"one": v} for id, v in levels.items()}, index, VIVID)
    return _share(one), {key: _share(likelihood) for key, likelihood in by_parts.items()}


@pytest.mark.parametrize("member", [0, 1])
def test_parts_of_unknown_paint_tell_one_another_of_the_stock(member: int) -> None:
    # greys look alike to both; six vivid colours of a list make six levels that only one of them explains
    by_anchors, by_parts = _beside(member)
    assert by_anchors == pytest.approx(0.5, abs=0.1)
    for share in by_parts.values():
        assert (share if member == 0 else 1 - share) > 0.8


def test_no_part_speaks_to_itself_nor_of_a_curve_that_nothing_calibrates() -> None:
    by_anchors, by_parts = _beside(0, parts=1)
    assert by_parts["one", "0"] == pytest.approx(by_anchors, abs=1e-4)
    assert _beside(0, anchors=1)[1] == {}


def test_greys_of_unknown_lightness_tell_less_than_known_ones_and_more_than_none() -> None:
    def bits(anchors: tuple[AnchorLevel, ...]) -> float:
        return posterior.bits(
            chances(picture(anchors=anchors, levels={"door": (level(LABS[1]),)}, darkest=0.1, lightest=0.9))
        )

    white, grey, black = picture().anchors
    unknown = (white, replace(grey, lab=None), replace(black, lab=None))
    assert bits((white, grey, black)) > bits(unknown) > 0
