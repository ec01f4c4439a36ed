"""Black-and-white pictures that are toned: sepia, blue, or a scan with a cast.

Such a picture has one colour for each lightness, perhaps drifting across the sheet; a colour photograph has
several.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array, linear_to_lab
from palette.evidence.pictures.decode import Linear

# `Toning.boldness` of toned prints with noise, uneven toning and JPEG stays below the first; that of colour
# photographs, a retina's among them, is above the second.
NO_COLOUR, COLOUR = 6.0, 9.0
# L* from its darkest to its lightest twentieth: less, and the picture may be of one coloured thing. Common
# practice, no source.
_RANGE = 40.0


@dataclass(frozen=True)
class Toning:
    """The smooth toning that comes nearest to a picture."""

    terms: tuple[tuple[float, float], ...]  # of a* and b*
    boldness: float  # chroma beyond the toning that one pixel in a hundred has
    lightness: float  # L* from the darkest to the lightest twentieth

    @property
    def likely(self) -> bool:
        """Whether the picture, seen as a whole, is black and white."""
        return self.boldness < NO_COLOUR and self.lightness > _RANGE

    def beyond(self, lab: Array, place: Array) -> Array:
        """Chroma (n,) beyond the toning of colours (n, 3) at places (n, 2), fractions of width and height."""
        return np.asarray(np.hypot(*(lab[:, 1:] - _basis(lab, place) @ np.array(self.terms)).T))


def toning(small: Linear) -> Toning:
    """The toning of a small copy in linear light (h, w, 3)."""
    seen = np.isfinite(small).all(axis=-1)
    if seen.sum() < 100:
        return Toning(((0.0, 0.0),) * 8, 0.0, 0.0)
    lab = linear_to_lab(small[seen])
    y, x = np.nonzero(seen)
    place = np.column_stack([x / seen.shape[1], y / seen.shape[0]])
    terms, *_ = np.linalg.lstsq(_basis(lab, place), lab[:, 1:], rcond=None)
    dark, light = np.percentile(lab[:, 0], [5, 95])
    fitted = Toning(tuple((float(a), float(b)) for a, b in terms), 0.0, float(light - dark))
    boldness = float(np.percentile(fitted.beyond(lab, place), 99))
    return Toning(fitted.terms, boldness, fitted.lightness)


def boldness(small: Linear) -> float:
    """How much colour a picture has beyond being toned; see `Toning`."""
    return toning(small).boldness


def _basis(lab: Array, place: Array) -> Array:
    t, (x, y) = lab[:, 0] / 100, place.T - 0.5
    return np.stack([np.ones_like(t), t, t**2, t**3, x, y, x * t, y * t], axis=-1)
