"""What the light is likely to have been when no anchor says so.

The colour of the light is the ratio of the gains; estimates of it from the scene's own statistics are wrong
by 4 to 8 degrees in the mean on real scenes (from memory of Gijsenij, Gevers & van de Weijer, "Computational
Color Constancy: Survey and Experiments", IEEE TIP 20 (2011) 2475, and later; the ground truth of the common
data set is itself contested), so they are carried with `ANGLE`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import D65_XYZ, XYZ_TO_SRGB, Array
from palette.colour.spectra import light, observer
from palette.evidence.correction.models.camera import SENSOR

ANGLE = np.radians(6.0)
# Log gains of red and blue over green without any statement: most cameras balance most of the way, and
# what is left is warm or cold along the daylights. Common practice, no source.
_WARM = np.array([-0.35, 0.7])
_UNKNOWN = 0.5**2 * np.outer(_WARM, _WARM) + 0.1**2 * np.eye(2)
DIFFERENCES = np.array([[1.0, -1.0, 0.0], [0.0, -1.0, 1.0]])


@dataclass(frozen=True)
class Cast:
    """Log gains of red and blue over green (2,), their covariance (2, 2), and the chance of it."""

    mean: Array
    covariance: Array
    chance: float


def cast_of(rgb: Array) -> Array:
    """What log gains (2,) make a light that is linear sRGB `rgb` (3,) neutral."""
    return np.asarray(DIFFERENCES @ -np.log(np.maximum(SENSOR @ (rgb / np.max(rgb)), 0.01)))


def stated(name: str | float) -> tuple[Cast, ...]:
    """A light stated by name or kelvins, against a picture balanced for daylight, for that light, or between.

    Raises:
        ValueError: no such light.
    """
    xyz = light(name) @ observer()
    rgb = np.maximum(XYZ_TO_SRGB @ (xyz / xyz[1]), 0.005)
    full = cast_of(rgb) - cast_of(XYZ_TO_SRGB @ D65_XYZ)
    around = 0.12**2 * np.eye(2)
    line = np.outer(full, full)
    return (
        Cast(full, around + 0.15**2 * line, 0.45),  # balanced for daylight, or not at all
        Cast(0.5 * full, around + 0.25**2 * line, 0.25),
        Cast(np.zeros(2), around + 0.1**2 * line, 0.3),  # the camera or the scanner took it out
    )


def estimates(scene: Array) -> dict[str, Array]:
    """The light of a small linear picture (h, w, 3) by four statistics, each (3,) of length 1.

    Grey world (Buchsbaum 1980), max-RGB (Land 1977), shades of grey with the 6-norm (Finlayson & Trezzi
    2004), grey edge of first order with the 6-norm (van de Weijer, Gevers & Gijsenij 2007). Pixels with
    a channel at the top say nothing of its ratio and are left out.
    """
    from scipy.ndimage import gaussian_filter, gaussian_gradient_magnitude

    whole = (scene < 0.98).all(axis=-1)
    if whole.sum() < 16:
        whole = np.ones(scene.shape[:2], dtype=bool)
    pixels = np.maximum(scene[whole], 0.0)
    smooth = np.stack([gaussian_filter(scene[..., c], 1.0) for c in range(3)], axis=-1)
    edges = np.stack([gaussian_gradient_magnitude(scene[..., c], 1.0) for c in range(3)], axis=-1)
    lights = {
        "grey world": pixels.mean(axis=0),
        "max-RGB": np.quantile(smooth[whole], 0.995, axis=0),
        "shades of grey": (pixels**6).mean(axis=0) ** (1 / 6),
        "grey edge": (edges[whole] ** 6).mean(axis=0) ** (1 / 6),
    }
    floor = 1e-4
    return {
        name: np.maximum(rgb, floor) / np.linalg.norm(np.maximum(rgb, floor)) for name, rgb in lights.items()
    }


def estimated(scene: Array) -> tuple[Cast, Array]:
    """The estimates' middle as a cast, with their scatter and their usual error, and their angles in degrees
    to that middle (4,)."""
    each = np.array(list(estimates(scene).values()))
    middle = np.exp(np.log(each).mean(axis=0))
    middle = middle / np.linalg.norm(middle)
    angles = np.degrees(np.arccos(np.clip(each @ middle, -1, 1)))
    # a tangent error of sd ANGLE / 1.25 an axis has the mean ANGLE (Rayleigh)
    across = np.linalg.svd(middle[None])[2][1:]
    step = 1e-4
    slope = np.stack([(cast_of(middle + step * axis) - cast_of(middle)) / step for axis in across], axis=1)
    casts = np.array([cast_of(one) for one in each])
    scatter = np.cov(casts.T)
    return Cast(cast_of(middle), (ANGLE / 1.253) ** 2 * slope @ slope.T + scatter, 1.0), angles


def unstated() -> tuple[Cast, ...]:
    return (Cast(np.zeros(2), _UNKNOWN, 1.0),)


def joined(cast: Cast, seen: Cast) -> Cast:
    """A cast held beforehand and one seen in the scene, as one; its chance times how well they agree."""
    total = cast.covariance + seen.covariance
    gap = seen.mean - cast.mean
    pull = cast.covariance @ np.linalg.inv(total)
    odds = np.exp(-0.5 * gap @ np.linalg.solve(total, gap)) / np.sqrt(np.linalg.det(total))
    return Cast(cast.mean + pull @ gap, cast.covariance - pull @ cast.covariance, float(cast.chance * odds))
