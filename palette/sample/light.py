"""The light of a loose picture: corrected by one neutral surface in it, or remarked on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.colour.adaptation import bradford
from palette.colour.spaces import D65_XYZ, SRGB_TO_XYZ, XYZ_TO_SRGB, Array, linear_to_lab
from palette.errors import InputError, Problem
from palette.evidence.pictures.decode import Linear, Picture
from palette.evidence.pictures.regions import pixels
from palette.kit.model import Region

WHITE = 0.876  # luminance of L* 95: what white paint and paper mostly are (common practice, no source)
_DARK = 0.01  # luminance below which noise decides what colour a neutral has
_CAST = 9.0  # C* of a light grey under the picture's light, from which its light is remarked on
_ONE_WAY = 45.0  # degrees of hue, within which two signs of a cast point the same way
_HUES = (
    (20, "reddish"),
    (60, "orange"),
    (100, "yellowish"),
    (200, "greenish"),
    (290, "bluish"),
    (345, "purplish"),
)


def neutral(picture: Picture, region: Region, white: bool) -> Array:
    """What takes a picture's linear light to what it would be in daylight (3, 3), by a neutral in it.

    The light is adapted by the linear Bradford transform (ICC.1 annex E). A `white` surface sets the
    exposure, too; a grey of unknown lightness leaves it.

    Raises:
        InputError: the region lies outside the picture, is too dark, or is burnt out.
    """
    name = "white" if white else "grey"
    box, mask = pixels(region, picture.width, picture.height)
    seen = mask & picture.opaque(box) if mask.any() else mask
    if not seen.any():
        size = f"{picture.width} × {picture.height}"
        raise _problem(picture, f"has no pixel in the place given with --{name}", f"the picture is {size}")
    if picture.clipped(box)[seen].any(axis=-1).mean() > 0.2:
        raise _problem(picture, f"is burnt out where --{name} points", "name a place that still has a tone")
    mean = SRGB_TO_XYZ @ picture.linear(box)[seen].mean(axis=0, dtype=np.float64)
    if mean[1] < _DARK:
        raise _problem(picture, f"is too dark where --{name} points", "name a lighter neutral place")
    wanted = D65_XYZ * (WHITE if white else mean[1]) / D65_XYZ[1]
    return np.asarray(XYZ_TO_SRGB @ bradford(mean, wanted) @ SRGB_TO_XYZ)


def corrected(linear: Linear, matrix: Array) -> Linear:
    """A picture's linear light (h, w, 3) through a matrix."""
    return (linear @ matrix.T.astype(np.float32)).astype(np.float32)


def cast(linears: Sequence[Linear]) -> str:
    """How the light of pictures is coloured ('bluish'), '' where it is not plainly so.

    Two signs must agree: the mean of all (Buchsbaum, "A spatial processor model for object colour
    perception", 1980) and the lightest parts (Land & McCann 1971; both from memory). One alone is as
    often the subject's own colour.
    """
    light = np.concatenate([one[::2, ::2].reshape(-1, 3) for one in linears])
    light = np.clip(light[np.isfinite(light).all(axis=1)], 0, 1).astype(np.float64)
    light = light[light.max(axis=1) < 0.98]  # a burnt place has the colour of nothing
    if len(light) < 50:
        return ""
    level = light @ SRGB_TO_XYZ[1]
    signs = np.array([light.mean(axis=0), light[level >= np.quantile(level, 0.95)].mean(axis=0)])
    signs *= (0.6 / np.maximum(signs @ SRGB_TO_XYZ[1], 1e-6))[:, None]
    _, a, b = linear_to_lab(signs).T
    hues = np.degrees(np.arctan2(b, a))
    apart = abs((hues[0] - hues[1] + 180) % 360 - 180)
    if np.hypot(a, b).min() < _CAST or apart > _ONE_WAY:
        return ""
    hue = hues[1] % 360
    return next((word for end, word in _HUES if hue < end), "reddish")


def _problem(picture: Picture, what: str, advice: str) -> InputError:
    return InputError(Problem(str(picture.file), None, what, advice))
