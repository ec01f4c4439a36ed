"""Pictures in the colour spaces of the standards, against colour-science and Little CMS.

Sources: IEC 61966-2-1 (sRGB); SMPTE EG 432-1 with the sRGB curve (Display P3); Adobe RGB (1998),
version 2005-05; ISO 22028-2 (ROMM RGB); all as colour-science has them.
"""

from __future__ import annotations

import io

import colour
import numpy as np
import pytest
from PIL import Image, ImageCms

from palette.colour.spaces import linear_to_lab
from palette.evidence.pictures.decode import open_picture
from tests.evidence.pictures import icc

D50 = np.array([0.9642, 1.0, 0.8249])
SPACES = {
    "Display P3": [icc.parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)],
    "Adobe RGB (1998)": [icc.gamma(563 / 256)],
    "ROMM RGB": [icc.parametric(3, 1.8, 1.0, 0.0, 1 / 16, 1 / 32)],
}


def profile(name: str, version: int) -> bytes:
    """An ICC profile of one of colour-science's spaces, its colorants adapted to D50 as ICC.1 asks."""
    space = colour.RGB_COLOURSPACES[name]
    white = space.matrix_RGB_to_XYZ @ np.ones(3)
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, D50, "Bradford")
    describe = icc.text if version == 2 else icc.unicode
    return icc.matrix(adapt @ space.matrix_RGB_to_XYZ, SPACES[name], describe(name), version)


@pytest.mark.parametrize("version", [2, 4])
@pytest.mark.parametrize("name", SPACES)
def test_wide_gamut_colours_come_back_unclipped(tmp_path, name, version):
    levels = np.random.default_rng(7).integers(0, 256, (20, 20, 3)).astype(np.uint8)
    levels[0, :3] = [[255, 0, 0], [0, 255, 0], [0, 0, 255]]
    Image.fromarray(levels).save(tmp_path / "a.png", icc_profile=profile(name, version))
    picture = open_picture(tmp_path / "a.png")
    assert picture.profile == name
    space = colour.RGB_COLOURSPACES[name]
    xyz = space.cctf_decoding(levels / 255) @ space.matrix_RGB_to_XYZ.T
    white = space.matrix_RGB_to_XYZ @ np.ones(3)
    d65 = colour.xy_to_XYZ([0.3127, 0.3290])
    to_d65 = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, d65, "Bradford")
    want = colour.XYZ_to_Lab(xyz @ to_d65.T, [0.3127, 0.3290])
    difference = colour.delta_E(linear_to_lab(picture.linear()), want, method="CIE 2000")
    # the profile's 16-bit fractions and the five digits of the spaces' matrices
    assert difference.max() < 0.05


def test_a_matrix_profile_agrees_with_pillows_own_conversion(tmp_path):
    """Little CMS at 8 bits, from P3 to sRGB, for colours that sRGB has too."""
    levels = np.random.default_rng(8).integers(70, 180, (20, 20, 3)).astype(np.uint8)
    data = profile("Display P3", 4)
    image = Image.fromarray(levels)
    image.save(tmp_path / "a.png", icc_profile=data)
    srgb = ImageCms.createProfile("sRGB")
    converted = ImageCms.profileToProfile(
        image, ImageCms.ImageCmsProfile(io.BytesIO(data)), srgb, renderingIntent=1
    )
    want = np.asarray(converted) / 255
    got = colour.RGB_COLOURSPACES["sRGB"].cctf_encoding(open_picture(tmp_path / "a.png").linear())
    inside = (want > 0.01).all(-1) & (want < 0.99).all(-1)
    assert inside.mean() > 0.8
    np.testing.assert_allclose(got[inside], want[inside], atol=1.6 / 255)


def test_little_cms_own_srgb_profile_is_srgb(tmp_path):
    levels = np.random.default_rng(9).integers(0, 256, (20, 20, 3)).astype(np.uint8)
    data = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    Image.fromarray(levels).save(tmp_path / "a.png", icc_profile=data)
    Image.fromarray(levels).save(tmp_path / "b.png")
    with_profile, without = (open_picture(tmp_path / name).linear() for name in ("a.png", "b.png"))
    difference = colour.delta_E(linear_to_lab(with_profile), linear_to_lab(without), method="CIE 2000")
    assert difference.max() < 0.05
