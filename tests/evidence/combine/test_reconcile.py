"""Sources that agree, disagree, and lie."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.uncertain import radius90
from palette.evidence.combine.reconcile import (
    ANY_COVARIANCE,
    ANY_LAB,
    Observation,
    reconcile,
    scatter_odds,
)

HERE = np.array([45.0, 20.0, 10.0])


def observation(lab, spread=1.5, right=0.98, common=0.0) -> Observation:
    return Observation(np.array(lab, dtype=float), spread**2 * np.eye(3), right, (common,) * 3)


def test_one_source_is_taken_at_its_word():
    estimate = reconcile([observation(HERE, right=1.0)])
    np.testing.assert_allclose(estimate.lab, HERE, atol=1e-9)
    assert estimate.radius90 == pytest.approx(radius90(HERE, 2.25 * np.eye(3)), rel=0.01)
    np.testing.assert_allclose(estimate.covariance, 2.25 * np.eye(3), rtol=0.15, atol=0.15)
    assert estimate.weights == pytest.approx((1.0,)) and not estimate.conflict


def test_agreement_is_the_mean_by_precision():
    # the variance of a precision-weighted mean: 1 / (1 / 1 + 1 / 4) (any text on least squares)
    estimate = reconcile([observation([50, 0, 0], 1.0), observation([51, 0, 0], 2.0)])
    np.testing.assert_allclose(estimate.lab, [50.2, 0, 0], atol=0.02)
    assert estimate.weights == pytest.approx((0.8, 0.2), abs=0.01)
    assert estimate.radius90 == pytest.approx(radius90(estimate.lab, 0.8 * np.eye(3)), rel=0.03)
    assert not estimate.conflict


@pytest.mark.parametrize("place", [0, 1, 2])
def test_one_odd_source_in_three_neither_drags_nor_vanishes(place):
    labs = list(HERE + np.array([[0.5, 0, 0], [0, 0.8, -0.3], [0.2, -0.4, 0.6]]))
    labs[place] = HERE + np.array([8, -25, 12])
    estimate = reconcile([observation(lab) for lab in labs])
    assert difference(estimate.lab, HERE) < 1.0
    assert 0 < estimate.weights[place] < 0.01 and estimate.right[place] < 0.01
    assert estimate.conflict and estimate.odds < 1e-6


def test_two_that_disagree_are_both_within_the_radius():
    one, other = HERE, HERE + np.array([6.0, -14.0, 8.0])
    estimate = reconcile([observation(one), observation(other)])
    assert estimate.conflict
    # the colour is one that somebody reports, not one between
    assert min(difference(estimate.lab, one), difference(estimate.lab, other)) < 0.2
    assert max(difference(estimate.lab, one), difference(estimate.lab, other)) < estimate.radius90


def test_trust_decides_between_two():
    other = HERE + np.array([6.0, -14.0, 8.0])
    estimate = reconcile([observation(HERE, right=0.5), observation(other, right=0.98)])
    assert difference(estimate.lab, other) < 0.2
    assert estimate.weights[1] > 0.9 > 0.1 > estimate.weights[0]
    # equal trust leaves far more open
    assert estimate.radius90 < 0.5 * reconcile([observation(HERE), observation(other)]).radius90


def test_little_trust_leaves_any_colour_open():
    estimate = reconcile([observation(HERE, right=0.5)])
    np.testing.assert_allclose(estimate.lab, HERE, atol=1e-9)
    assert estimate.radius90 > 20


def test_what_pictures_have_in_common_does_not_average_out():
    # the variance of a mean of n readings with correlation r: (1 + (n - 1) r) / n
    estimate = reconcile([observation(HERE, 2.0, 1.0, common=0.4) for _ in range(5)])
    expected = (1 + 4 * 0.4) / 5 * 4.0 * np.eye(3)
    assert estimate.radius90 == pytest.approx(radius90(HERE, expected), rel=0.02)


def test_what_pictures_have_in_common_does_not_set_them_apart():
    # fails when errors that cancel in a difference count in it: readings that err by four together and by one
    # alone cannot be 9 apart, while independent ones of that width can
    labs = [HERE, HERE + np.array([0, 0.5, 0]), HERE + np.array([0, 9, 0])]
    alone = reconcile([observation(lab, np.sqrt(17.0)) for lab in labs])
    alike = reconcile([observation(lab, np.sqrt(17.0), common=16 / 17) for lab in labs])
    assert alone.right[2] > 0.5 > 0.05 > alike.right[2]


def test_the_odds_of_scatter_are_chi_squared():
    # Cochran's Q, by simulation: its chance is uniform when all are right
    rng = np.random.default_rng(3)
    covariances = np.array([np.diag([1.0, 4.0, 9.0]), 2 * np.eye(3), np.diag([9.0, 1.0, 1.0])])
    odds = [
        scatter_odds([rng.multivariate_normal(HERE, c) for c in covariances], covariances)
        for _ in range(2000)
    ]
    assert np.quantile(odds, [0.01, 0.1, 0.5, 0.9]) == pytest.approx([0.01, 0.1, 0.5, 0.9], abs=0.03)
    assert scatter_odds([HERE], [np.eye(3)]) == 1.0


@pytest.mark.parametrize("count,right", [(1, 0.98), (2, 0.9), (3, 0.75), (4, 0.9)])
def test_the_radius_holds_nine_truths_in_ten(count, right):
    # a world as the model has it: some sources are strangers, all have widths of their own
    rng = np.random.default_rng(count)
    inside = []
    for _ in range(120):
        truth = rng.multivariate_normal(ANY_LAB, ANY_COVARIANCE)
        observations = []
        for _ in range(count):
            root = rng.normal(0, 1.2, (3, 3))
            covariance = root @ root.T + 0.3 * np.eye(3)
            centre = truth if rng.random() < right else rng.multivariate_normal(ANY_LAB, ANY_COVARIANCE)
            lab = rng.multivariate_normal(centre, covariance)
            observations.append(Observation(lab, covariance, right))
        estimate = reconcile(observations)
        inside.append(difference(estimate.lab, truth) <= estimate.radius90)
    assert 0.85 <= np.mean(inside) <= 0.955


def test_many_sources_are_weighed_as_few_are():
    rng = np.random.default_rng(1)
    labs = [HERE + rng.normal(0, 1.5, 3) for _ in range(40)]
    for i in range(0, 40, 5):
        labs[i] = rng.multivariate_normal(ANY_LAB, ANY_COVARIANCE)
    estimate = reconcile([observation(lab, right=0.9) for lab in labs])
    assert difference(estimate.lab, HERE) < 1.0
    strangers = [estimate.right[i] for i in range(0, 40, 5)]
    assert max(strangers) < 0.05 and np.median(estimate.right) > 0.95
