"""DIN 6176 (DIN99) as colour-science has it, an independent implementation."""

import numpy as np

from palette.colour.adaptation import din99


def test_din99_is_that_of_colour_science() -> None:
    import colour

    lab = np.random.default_rng(6176).uniform([1, -90, -90], [99, 90, 90], (200, 3))
    theirs = np.array([colour.models.Lab_to_DIN99(one, method="DIN99") for one in lab])
    np.testing.assert_allclose(din99(lab), theirs, rtol=2e-5, atol=1e-3)  # theirs has 105.509 in full
