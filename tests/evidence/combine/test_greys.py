"""What grey adds to a colour that pictures in colour reported."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from palette.evidence.combine.greys import grey_evidence, grey_observation
from palette.evidence.combine.model import PartColour, Scheme
from palette.evidence.combine.notes import CopyOf, OneAnswer
from palette.evidence.combine.reconcile import ANY_COVARIANCE, ANY_LAB, Observation, reconcile
from palette.evidence.grey.answer import GreyPart, GreyReading
from palette.kit.model import Kit, Part, Reference
from palette.report.scheme import scheme_text

KIT = Kit(Path("kit.toml"), "x", references=(Reference("plate", Path("plate.png"), tone="grey"),))
READING = GreyReading("plate", 0.4, "panchromatic")


def grey(lab, covariance) -> GreyPart:
    none = np.zeros((0, 3))
    return GreyPart("w", (READING,), (0, 100), 0.0, (), none, np.asarray(lab, dtype=float), covariance)


def narrowed(lightness: float, spread: float) -> GreyPart:
    """The prior of surfaces at large after a reading of lightness alone: conditioning of a Gaussian."""
    gain = ANY_COVARIANCE[:, 0] / (ANY_COVARIANCE[0, 0] + spread**2)
    return grey(ANY_LAB + gain * (lightness - ANY_LAB[0]), ANY_COVARIANCE - np.outer(gain, ANY_COVARIANCE[0]))


def test_a_reading_of_lightness_is_given_back_without_the_prior():
    observed = grey_observation(narrowed(35.0, 4.0), KIT)
    assert observed.lab[0] == pytest.approx(35.0, abs=0.2)
    assert observed.covariance[0, 0] == pytest.approx(16.0, rel=0.15)


def test_grey_that_says_nothing_moves_nothing():
    # fails when the prior's mean, not evidence, pulls a strong colour towards neutral
    colour = Observation(np.array([30.0, 55.0, 35.0]), 9 * np.eye(3), 0.98)
    estimate = reconcile([colour, grey_observation(grey(ANY_LAB, ANY_COVARIANCE), KIT)])
    assert np.linalg.norm(estimate.lab - colour.lab) < 1.0
    assert estimate.weights[1] < 0.05 and not estimate.conflict


def test_grey_that_agrees_lifts_a_doubted_colour():
    doubted = Observation(np.array([36.0, 1.0, 0.0]), 4 * np.eye(3), 0.5)
    alone = reconcile([doubted])
    estimate = reconcile([doubted, grey_observation(narrowed(35.0, 4.0), KIT)])
    assert estimate.right[0] > 0.7 and estimate.radius90 < alone.radius90
    contradicted = reconcile([doubted, grey_observation(narrowed(80.0, 3.0), KIT)])
    assert contradicted.conflict and contradicted.right[0] < 0.2


def test_several_grey_pictures_that_each_contradict_a_colour_outweigh_it():
    # fails when they count as one: a wrong mark in the colour picture is then as good as both of them
    colour = Observation(np.array([41.0, -20.0, 8.0]), 4 * np.eye(3), 0.98)
    kit = replace(KIT, references=(*KIT.references, Reference("press", Path("press.png"), tone="grey")))
    part = replace(narrowed(88.0, 4.0), readings=(READING, GreyReading("press", 0.7, "panchromatic")))
    one = reconcile([colour, grey_observation(part, kit, ("plate",))])
    both = reconcile([colour, grey_observation(part, kit, ("plate", "press"))])
    assert one.right[0] == pytest.approx(0.5, abs=0.1)
    assert both.right[0] < 0.05 and both.right[1] > 0.9


def test_grey_sources_share_one_weight():
    part = grey([40, 0, 0], np.eye(3))
    assert [e.weight for e in grey_evidence(part, 0.6)] == [0.6]
    both = replace(part, readings=(READING, GreyReading("press", 0.5, "panchromatic")))
    evidence = grey_evidence(both, 0.6)
    assert [e.weight for e in evidence] == [0.3, 0.3]
    assert all(e.notes == (OneAnswer(("plate", "press")),) for e in evidence)
    copy = replace(part, readings=(READING, GreyReading("press", 0.5, "panchromatic", copy_of="plate")))
    assert [e.weight for e in grey_evidence(copy, 0.6)] == [0.6, 0.0]
    assert grey_evidence(copy, 0.6)[1].notes == (CopyOf("plate"),)
    # fails when each is listed by itself, as if it said it alone
    waist = PartColour(Part("waist", "Waist"), part.lab, part.covariance, 9.0, "grey", False, tuple(evidence))
    lines = [
        line
        for line in scheme_text(Scheme(replace(KIT, parts=(waist.part,)), (waist,))).splitlines()
        if "plate" in line
    ]
    (line,) = lines
    assert line == "  Waist  plate and press together"
