"""Lights by names that people know."""

from __future__ import annotations

import numpy as np
import pytest

from palette.colour.spectra import light, light_names, observer
from palette.words.catalogue import Words, languages
from palette.words.lights import light_name, under

ENGLISH = Words("en")


@pytest.mark.parametrize("language", languages())
def test_every_light_that_a_kit_may_name_has_words(language: str) -> None:
    words = Words(language)
    for named in (*light_names(), 1900, 2700.0, 3800, 5000, 6504):
        assert under(named, words)
        assert light_name(named) in under(named, words, exactly=True)


def test_lamps_of_the_home_are_called_what_they_are() -> None:
    said: dict[str | float, str] = {
        "D65": "in daylight",
        "A": "under a household bulb",
        "led-b1": "under a warm white LED lamp",
        "FL11": "under a fluorescent tube",
        "ISO 7589 Photographic Daylight": "in daylight (ISO 7589",
        1850: "by candlelight",
        2700: "under a warm white lamp (2700 K)",
        5000: "in daylight (5000 K)",
    }
    for named, words in said.items():
        assert under(named, ENGLISH).startswith(words)


def test_what_is_called_warm_is() -> None:
    """Warm white is below 3300 K and cool white above 5300 K in EN 12464-1 (from memory); the temperature is
    worked out here from the spectra, by Ohno's method in colour-science."""
    temperature = pytest.importorskip("colour.temperature")
    for named in light_names():
        words = under(named, ENGLISH)
        if not named.startswith(("LED", "FL")):
            continue
        x, y, z = light(named) @ observer()
        uv = np.array([4 * x, 6 * y]) / (x + 15 * y + 3 * z)
        kelvins = float(temperature.uv_to_CCT_Ohno2013(uv)[0])
        assert ("warm" in words) == (kelvins < 3300), (named, kelvins)
        if named.startswith("LED"):
            assert ("cool" in words) == (kelvins > 5300), (named, kelvins)
