"""CIELAB, XYZ and sRGB, as arrays (…, 3).

Inside palette there is one white, D65, and one observer, CIE 1931 2-degree. XYZ is scaled so that
Y of the white is 1.

Sources: CIE 15:2018 (CIELAB); IEC 61966-2-1:1999 (sRGB).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

DAYLIGHT = "D65"  # the light of that white: under it nothing is to be worked out anew

# x = 0.3127, y = 0.3290: the white of IEC 61966-2-1, to the precision it states.
D65_XYZ: Array = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])

_PRIMARIES = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])


def _rgb_to_xyz_matrix() -> Array:
    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in _PRIMARIES]).T
    return np.asarray(columns * np.linalg.solve(columns, D65_XYZ), dtype=np.float64)


SRGB_TO_XYZ: Array = _rgb_to_xyz_matrix()
XYZ_TO_SRGB: Array = np.asarray(np.linalg.inv(SRGB_TO_XYZ), dtype=np.float64)

_EPSILON = (6 / 29) ** 3
_KAPPA = (29 / 3) ** 3


def xyz_to_lab(xyz: ArrayLike, white: ArrayLike = D65_XYZ) -> Array:
    """XYZ (…, 3), Y of the white = 1, to CIELAB. Negative values take the linear branch."""
    ratio = np.asarray(xyz, dtype=np.float64) / np.asarray(white, dtype=np.float64)
    f = np.where(ratio > _EPSILON, np.cbrt(np.maximum(ratio, 0.0)), (_KAPPA * ratio + 16) / 116)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    )


def lab_to_xyz(lab: ArrayLike, white: ArrayLike = D65_XYZ) -> Array:
    """CIELAB (…, 3) to XYZ, Y of the white = 1."""
    lab = np.asarray(lab, dtype=np.float64)
    fy = (lab[..., 0] + 16) / 116
    f = np.stack([fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200], axis=-1)
    ratio = np.where(f > 6 / 29, f**3, (116 * f - 16) / _KAPPA)
    return np.asarray(ratio * np.asarray(white, dtype=np.float64))


def srgb_decode(encoded: ArrayLike) -> Array:
    """sRGB levels (0..1, any shape) to linear light; mirrored for negative levels."""
    v = np.asarray(encoded, dtype=np.float64)
    size = np.abs(v)
    linear = np.where(size <= 0.04045, size / 12.92, ((size + 0.055) / 1.055) ** 2.4)
    return np.asarray(np.copysign(linear, v))


def srgb_encode(linear: ArrayLike) -> Array:
    """Linear light to sRGB levels; mirrored for negative values, not clipped."""
    v = np.asarray(linear, dtype=np.float64)
    size = np.abs(v)
    encoded = np.where(size <= 0.0031308, size * 12.92, 1.055 * size ** (1 / 2.4) - 0.055)
    return np.asarray(np.copysign(encoded, v))


def linear_to_lab(rgb: ArrayLike) -> Array:
    """Linear light in sRGB primaries (…, 3), not clipped, to CIELAB D65."""
    return xyz_to_lab(np.asarray(rgb, dtype=np.float64) @ SRGB_TO_XYZ.T)


def lab_to_linear(lab: ArrayLike) -> Array:
    """CIELAB D65 (…, 3) to linear light in sRGB primaries, not clipped."""
    return np.asarray(lab_to_xyz(lab) @ XYZ_TO_SRGB.T)


def hex_to_lab(text: str) -> Array:
    """`#rrggbb` or `#rgb` (the # may be missing) to CIELAB D65 (3,).

    Raises:
        ValueError: not a hexadecimal colour.
    """
    digits = text.strip().removeprefix("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    if len(digits) != 6 or any(digit not in "0123456789abcdefABCDEF" for digit in digits):
        raise ValueError(f"{text!r} is no hex colour")
    levels = np.array([int(digits[i : i + 2], 16) for i in (0, 2, 4)]) / 255
    return linear_to_lab(srgb_decode(levels))


def lab_to_hex(lab: ArrayLike) -> str:
    """The nearest sRGB colour of one CIELAB colour, channel by channel, as `#rrggbb`."""
    levels = np.clip(srgb_encode(lab_to_linear(lab)), 0.0, 1.0)
    return "#" + "".join(f"{int(v):02x}" for v in np.rint(levels * 255))
