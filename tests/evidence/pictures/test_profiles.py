"""Colour profiles: each kind of curve and element, against the standard and against Little CMS."""

from __future__ import annotations

import imagecodecs
import numpy as np
import pytest

from palette.evidence.pictures.profiles import CodedPoints, encoding, read_profile
from palette.words import say
from tests.evidence.pictures import icc

LEVELS = np.random.default_rng(3).random((200, 1, 3))
P3 = np.array([[0.51512, 0.29198, 0.15710], [0.24120, 0.69225, 0.06657], [-0.00105, 0.04189, 0.78407]])
D50 = np.array([0.9642, 1.0, 0.8249])


def by_lcms(profile: bytes, levels: np.ndarray, space: str) -> np.ndarray:
    """XYZ D50 by Little CMS, media-relative, in double precision."""
    return imagecodecs.cms_transform(
        levels, profile, imagecodecs.cms_profile("xyz"), colorspace=space, outcolorspace="xyz",
        outdtype="float64", intent=1,
    ).reshape(-1, 3)  # fmt: skip


def to_xyz50(linear: np.ndarray) -> np.ndarray:
    """Linear light back to XYZ D50, by colour-science's matrices."""
    import colour

    d65 = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ @ np.ones(3)
    back = colour.adaptation.matrix_chromatic_adaptation_VonKries(d65, D50, "Bradford")
    return linear.reshape(-1, 3) @ (back @ colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ).T


CURVES = {
    "identity": icc.table([]),
    "gamma": icc.gamma(1.8),
    "table": icc.table(np.linspace(0, 1, 64) ** 2.1),
    "type 0": icc.parametric(0, 2.2),
    "type 1": icc.parametric(1, 2.4, 1.1, -0.1),
    "type 2": icc.parametric(2, 2.4, 0.9, 0.05, 0.02),
    "type 3": icc.parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045),
    "type 4": icc.parametric(4, 2.2, 0.9, 0.08, 0.3, 0.1, 0.02, 0.01),
}


@pytest.mark.parametrize("name", CURVES)
def test_matrix_profiles_agree_with_little_cms(name):
    profile = icc.matrix(P3, [CURVES[name], icc.gamma(2.0), CURVES["type 3"]])
    mine = read_profile(profile, "rgb").to_linear(LEVELS)
    # the white of colour-science's sRGB is rounded at four digits
    np.testing.assert_allclose(to_xyz50(mine), by_lcms(profile, LEVELS, "rgb"), atol=3e-4)


def test_integers_and_fractions_give_the_same_light():
    profile = read_profile(icc.matrix(P3, [CURVES["type 3"]]), "rgb")
    deep = np.rint(LEVELS * 65535).astype(np.uint16)
    np.testing.assert_allclose(profile.to_linear(deep), profile.to_linear(deep / 65535), atol=1e-6)


def test_wide_gamut_is_not_clipped_and_white_stays_neutral():
    profile = read_profile(icc.matrix(P3, [CURVES["type 3"]]), "rgb")
    green = profile.to_linear(np.array([[[0.0, 1.0, 0.0]]]))
    assert green[0, 0, 0] < -0.2 and green[0, 0, 1] > 1.0
    np.testing.assert_allclose(profile.to_linear(np.ones((1, 1, 3))), 1.0, atol=1e-3)


@pytest.mark.parametrize("pcs", [b"XYZ ", b"Lab "])
def test_grey_profiles_agree_with_little_cms(pcs):
    tags = {b"desc": icc.text("grey"), b"wtpt": icc.xyz(D50), b"kTRC": icc.gamma(1.75)}
    profile = icc.build(tags, space=b"GRAY", pcs=pcs, version=2)
    levels = LEVELS[..., :1]
    mine = read_profile(profile, "grey").to_linear(levels)
    assert (mine == mine[..., :1]).all()
    np.testing.assert_allclose(
        mine[..., 1].ravel(), by_lcms(profile, np.ascontiguousarray(levels[..., 0]), "gray")[:, 1], atol=1e-4
    )


def test_a_grey_picture_with_a_colour_profile_is_grey_by_its_curves():
    profile = read_profile(icc.matrix(P3, [icc.gamma(2.0)]), "grey")
    light = profile.to_linear(np.array([[[128]]], dtype=np.uint8))
    np.testing.assert_allclose(light, (128 / 255) ** 2, atol=1e-3)


def test_table_profiles_go_through_little_cms_unclipped():
    # CMYK to Lab: 5 points an ink; white paper where there is none. lut16 holds Lab as version 2 does.
    axis = np.linspace(0, 1, 5)
    c, m, y, k = np.meshgrid(axis, axis, axis, axis, indexing="ij")
    lightness = (1 - 0.45 * c) * (1 - 0.5 * m) * (1 - 0.1 * y) * (1 - 0.9 * k)
    a, b = -35 * c + 70 * m, -45 * c + 85 * y
    lab = np.stack([lightness, (a + 128) / 255, (b + 128) / 255], -1) * (65280 / 65535)
    tags = {b"desc": icc.text("four inks"), b"wtpt": icc.xyz(D50), b"A2B0": icc.lut16(lab)}
    profile = icc.build(tags, space=b"CMYK", pcs=b"Lab ", kind=b"prtr", version=2)
    inks = read_profile(profile, "inks")
    assert inks.name == "four inks"
    np.testing.assert_allclose(inks.to_linear(np.zeros((1, 1, 4), np.uint8)), 1.0, atol=2e-3)
    # half of cyan, at a grid point: Lab by the formula above
    import colour

    mine = to_xyz50(inks.to_linear(np.array([[[0.5, 0.0, 0.0, 0.0]]])))
    want = colour.Lab_to_XYZ([100 * (1 - 0.225), -17.5, -22.5], colour.XYZ_to_xy(D50))
    np.testing.assert_allclose(mine[0], want, atol=1e-3)
    yellow = inks.to_linear(np.array([[[0, 0, 255, 0]]], dtype=np.uint8))
    assert yellow[0, 0, 2] < 0.05  # a yellow stronger than sRGB's keeps its depth


@pytest.mark.parametrize("make", [icc.text, icc.unicode])
def test_names_of_both_versions(make):
    assert (
        read_profile(icc.matrix(P3, [icc.gamma(2.2)], make("Slide scanner 3")), "rgb").name
        == "Slide scanner 3"
    )


def damaged() -> dict[str, bytes]:
    whole = icc.matrix(P3, [CURVES["table"]])
    no_matrix = icc.build({b"desc": icc.text("x"), b"rTRC": icc.gamma(2.2)})
    flat = icc.matrix(np.ones((3, 3)) * 0.3, [icc.gamma(2.2)])
    no_curve = icc.matrix(P3, [b"curv\0\0\0\0"])
    odd_curve = icc.matrix(P3, [icc.parametric(9, 1.0)])
    return {
        "empty": b"", "noise": bytes(range(256)) * 2, "cut": whole[: len(whole) // 2], "no matrix": no_matrix,
        "flat": flat, "no curve": no_curve, "odd curve": odd_curve,
        "inks": icc.build({b"A2B0": b"mft2" + b"\0" * 100}, space=b"CMYK"),
        "bad table": icc.build({b"A2B0": b"mft2" + b"\0" * 100}, pcs=b"Lab "),
    }  # fmt: skip


@pytest.mark.parametrize("name", damaged())
def test_a_damaged_profile_is_a_value_error_and_srgb_with_a_note(name):
    data = damaged()[name]
    with pytest.raises(ValueError, match=r"\w"):
        read_profile(data, "rgb")
    used, notes = encoding("rgb", data)
    assert used.name == "sRGB (assumed)"
    assert len(notes) == (1 if data else 0) and all(map(say, notes))


def test_a_damaged_profile_never_raises_anything_else():
    whole = bytearray(icc.matrix(P3, [CURVES["table"], CURVES["type 4"]], icc.unicode("x")))
    rng = np.random.default_rng(1)
    for _ in range(300):
        broken = bytearray(whole)
        for at in rng.integers(128, 400, 4):
            broken[at] = rng.integers(256)
        used, _notes = encoding("rgb", bytes(broken))
        assert used.to_linear(LEVELS[:2]).shape == (2, 1, 3)


@pytest.mark.parametrize("primaries", [1, 4, 5, 6, 9, 12])
@pytest.mark.parametrize("transfer", [1, 4, 8, 13])
def test_coded_points_and_the_profile_written_for_them_agree(primaries, transfer):
    points = CodedPoints(primaries, transfer)
    profile = points.icc()
    direct = points.encoding().to_linear(LEVELS)
    np.testing.assert_allclose(read_profile(profile, "rgb").to_linear(LEVELS), direct, atol=1e-4)
    np.testing.assert_allclose(to_xyz50(direct), by_lcms(profile, LEVELS, "rgb"), atol=4e-4)
