"""The nearest search equals brute force to the last bit, and its bound holds for every pair."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palette.colour.difference import difference
from palette.colour.nearest import _WEIGHT, _WEIGHT_WIDE, NearestIndex, _place, _reach

RNG = np.random.default_rng(11)


def _blue(n: int) -> np.ndarray:
    return RNG.normal([35, 25, -65], [15, 20, 25], (n, 3))


def _grey(n: int) -> np.ndarray:
    return RNG.normal([50, 0, 0], [25, 3, 3], (n, 3))


def _solid(n: int) -> np.ndarray:
    return RNG.uniform([0, -100, -100], [100, 100, 100], (n, 3))


SETS = {
    "solid": (_solid(300), _solid(1200)),
    "blues": (_blue(300), _blue(1200)),
    "near grey": (_grey(300), _grey(1200)),
    "opposite hues": (_solid(200), np.vstack([_solid(100), -_solid(500) * [0, 1, 1] + [50, 0, 0]])),
    "duplicates": (np.round(_solid(200) / 25) * 25, np.round(_solid(1500) / 25) * 25),
    "near duplicates": (_solid(200), np.repeat(_solid(100), 10, axis=0) + RNG.normal(0, 1e-7, (1000, 3))),
    "far out": (RNG.uniform(-3000, 3000, (100, 3)), RNG.uniform(-3000, 3000, (500, 3))),
    "absurd": (RNG.uniform(-1e7, 1e7, (20, 3)), RNG.uniform(-1e7, 1e7, (300, 3))),
    "all far away": (_solid(100), _solid(300) * 0.01 + [50, 200, -150]),
    "red-green stretch": (
        RNG.normal([50, 20, 0], [20, 8, 4], (300, 3)),
        RNG.normal([50, 22, 0], [20, 8, 4], (900, 3)),
    ),
}


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("count", [1, 5, 40])
def test_equals_brute_force_to_the_last_bit(name: str, count: int) -> None:
    queries, colours = SETS[name]
    table = difference(queries[:, None], colours[None])
    order = np.argsort(table, axis=1, kind="stable")[:, :count]
    index = NearestIndex(colours)
    index._compared = 10**9  # so that trees are asked, however few the colours
    indices, differences = index.query(queries, count)
    np.testing.assert_array_equal(indices, order)
    np.testing.assert_array_equal(differences, np.take_along_axis(table, order, axis=1))


@pytest.mark.parametrize("name", [name for name in SETS if name != "absurd"])
def test_no_pair_lies_beyond_the_bound(name: str) -> None:
    queries, colours = SETS[name]
    first = np.repeat(queries, 100, axis=0)
    second = colours[RNG.integers(0, len(colours), len(first))]
    up, across = _reach(first, difference(first, second))
    for weight in (_WEIGHT, _WEIGHT_WIDE):
        apart = np.linalg.norm(_place(first, weight) - _place(second, weight), axis=1)
        assert (apart <= np.maximum(up, weight * across)).all()


_lab = st.tuples(st.floats(-20, 120), st.floats(-150, 150), st.floats(-150, 150))


@settings(max_examples=300, deadline=None)
@given(_lab, _lab)
def test_no_pair_that_can_be_thought_of_lies_beyond_the_bound(
    one: tuple[float, ...], other: tuple[float, ...]
) -> None:
    first, second = np.array([one]), np.array([other])
    up, across = _reach(first, difference(first, second))
    apart = np.linalg.norm(_place(first, _WEIGHT) - _place(second, _WEIGHT), axis=1)
    assert apart[0] <= max(up[0], _WEIGHT * across[0])


def test_the_constants_of_the_bound_hold() -> None:
    t = np.linspace(-60, 60, 200_001)
    assert (0.015 * np.abs(t) * (t**2 + 40) / (t**2 + 20) ** 1.5).max() < 0.0164
    h = np.linspace(0, 360, 360_001)
    cos = [np.cos(np.radians(x)) for x in (h - 30, 2 * h, 3 * h + 6, 4 * h - 63)]
    # the slope is below 2.5 a radian, so between the points of the grid T rises by less than 5e-5
    assert (1 - 0.17 * cos[0] + 0.24 * cos[1] + 0.32 * cos[2] - 0.2 * cos[3]).max() < 1.573 - 5e-5


def test_shapes_ties_and_counts() -> None:
    index = NearestIndex(np.array([[50, 0, 0]] * 3 + [[60, 0, 0]]))
    indices, differences = index.query([50, 0, 0], 9)
    assert indices.tolist() == [0, 1, 2, 3] and differences.shape == (4,)
    assert index.query(np.zeros((2, 3)), 2)[0].shape == (2, 2)
    assert index.query(np.zeros((0, 3)), 2)[0].shape == (0, 2)
    with pytest.raises(ValueError, match="at least 1"):
        index.query([50, 0, 0], 0)
    with pytest.raises(ValueError, match="finite"):
        index.query([50, np.nan, 0])


def test_a_short_list_asked_for_a_colour_needs_no_tree() -> None:
    """Fails where `palette match` on a short list loads SciPy; and where the tree, planted once much is asked
    for, answers otherwise."""
    rng = np.random.default_rng(5)
    index = NearestIndex(rng.uniform((20, -60, -60), (95, 60, 60), (300, 3)))
    wanted = rng.uniform((20, -60, -60), (95, 60, 60), (2000, 3))
    few = index.query(wanted[:3])
    assert index._tree is None
    many = index.query(wanted)
    assert index._tree is not None
    assert (many[0][:3] == few[0]).all() and (many[1][:3] == few[1]).all()
