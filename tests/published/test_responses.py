"""Responses against what is published of them."""

import numpy as np

from palette.colour.lumas import luma_signal
from palette.colour.responses import named, names
from palette.colour.spaces import hex_to_lab
from palette.colour.spectra import FINE


def test_orthochromatic_is_blind_beyond_590() -> None:
    # Langford, Basic Photography, 7th ed.: red sensitivity ends at about 590 nm
    members = named("orthochromatic").members
    beyond = members[:, FINE >= 615].sum(axis=1) / members.sum(axis=1)
    assert beyond.max() < 0.01
    assert np.all(members[:, FINE == 550] > 0.05 * members.max(axis=1, keepdims=True))


def test_panchromatic_class_surrounds_the_data_sheet() -> None:
    # the maker's data sheet of a 250-speed negative, type 5222/7222, at four wavelengths
    members = named("panchromatic").members
    for nm, value in ((450, 0.8437), (510, 0.2746), (570, 0.3910), (620, 0.3263)):
        share = (members / members[:, FINE == 430])[:, nm == FINE]
        assert np.quantile(share, 0.1) < value < np.quantile(share, 0.9)


def test_lumas_weigh_encoded_levels() -> None:
    # ITU-R BT.601 and BT.709: pure sRGB red, green and blue have the luma of their own weight
    for name, weights in (("luma-601", (0.299, 0.587, 0.114)), ("luma-709", (0.2126, 0.7152, 0.0722))):
        primaries = np.array([hex_to_lab(h) for h in ("#ff0000", "#00ff00", "#0000ff")])
        signal = luma_signal(primaries, named(name).lumas[:1])[:, 0]
        decoded = [((w + 0.055) / 1.055) ** 2.4 for w in weights]  # IEC 61966-2-1
        np.testing.assert_allclose(signal, decoded, rtol=1e-3)


def test_every_name_says_where_it_is_from() -> None:
    assert set(names()) == {
        "panchromatic", "orthochromatic", "blue-sensitive", "camera-tube", "luma-601", "luma-709"
    }  # fmt: skip
    for name in names():
        assert named(name).provenance
        assert named(name).from_memory == (name in ("orthochromatic", "blue-sensitive", "camera-tube"))
