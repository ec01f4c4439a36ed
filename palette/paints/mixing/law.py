"""The two-constant law of paint mixing, and what the surface of a dry film does to it.

Every paint has, at every wavelength, an absorption K and a scattering S per unit volume. Those of a
mixture are the sums of its paints' own, weighted by volume (Duncan 1940), and an opaque film of it
reflects, inside the film, what Kubelka & Munk found:

    R = 1 + K/S − √((K/S)² + 2 K/S)          K/S = (1 − R)² / 2R

The light has to pass the film's surface twice (Saunderson 1942): K1 of it is turned back outside, K2
of the diffuse light inside.

    measured = K1·specular + (1 − K1)(1 − K2) R / (1 − K2 R)

`specular` is 1 where the reading includes the gloss and 0 where it excludes it. K1 = 0.03 and
K2 = 0.65 are those of Berns, "Artist Paint Spectral Database", CIC24 (2016), for acrylics.

Films are taken to be opaque and mixtures well stirred; drops are equal volumes.

Sources: Kubelka & Munk, Z. tech. Physik 12 (1931) 593; Saunderson, JOSA 32 (1942) 727;
Duncan, Proc. Phys. Soc. 52 (1940) 390.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array

K1 = 0.03
K2 = 0.65
_THROUGH = (1 - K1) * (1 - K2)
DARKEST, LIGHTEST = 1e-4, 0.9995  # reflectances inside the film that any paint stays between


def ratio(reflectance: ArrayLike, gloss: ArrayLike = 0.0) -> Array:
    """Measured reflectance (…, 31), 0..1, to K/S inside the film.

    `gloss` is 1 where the reading includes the specular part, 0 where not; it broadcasts against the
    reflectance without its last axis. Readings no such film can give are taken as the nearest it can.
    """
    measured = np.asarray(reflectance, dtype=np.float64) - K1 * np.asarray(gloss, dtype=np.float64)[..., None]
    inside = np.clip(measured / (_THROUGH + K2 * measured), DARKEST, LIGHTEST)
    return np.asarray((1 - inside) ** 2 / (2 * inside))


def reflectance(k_over_s: ArrayLike, gloss: ArrayLike = 0.0) -> Array:
    """K/S inside the film (…, 31), above 0, to what is measured outside it, 0..1."""
    q = np.asarray(k_over_s, dtype=np.float64)
    inside = 1 / (1 + q + np.sqrt(q * (q + 2)))
    return np.asarray(
        _THROUGH * inside / (1 - K2 * inside) + K1 * np.asarray(gloss, dtype=np.float64)[..., None]
    )


def log_slope(k_over_s: ArrayLike) -> Array:
    """d(measured reflectance) / d(ln K/S) at K/S (…, 31); the gloss does not matter."""
    q = np.asarray(k_over_s, dtype=np.float64)
    root = np.sqrt(q * (q + 2))
    inside = 1 / (1 + q + root)
    return np.asarray(-_THROUGH / (1 - K2 * inside) ** 2 * inside * q / root)
