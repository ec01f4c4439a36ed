"""The paints of a list, made ready for mixing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array
from palette.paints.mixing import inference, law
from palette.paints.mixing.prior import prior
from palette.paints.swatches import Swatch, SwatchList

_NO_MIXING = {
    "metallic": ("metallic", "metal flake", "pearl", "iridescent", "interference", "chrome effect"),
    "fluorescent": ("fluorescent", "neon", "luminous", "glow in the dark", "phosphorescent"),
    "clear": ("clear", "varnish", "medium", "thinner", "retarder", "lacquer coat", "transparent gloss"),
}


def unmixable(swatch: Swatch) -> str | None:
    """'metallic', 'fluorescent' or 'clear' where the two-constant law does not hold for a paint, else None."""
    words = f" {swatch.finish} {swatch.name} {swatch.range} {swatch.notes} ".lower()
    for kind, signs in _NO_MIXING.items():
        if any(f" {sign}" in words for sign in signs):
            return kind
    return None


@dataclass(frozen=True, eq=False)
class Colourants:
    """n paints that mix, in the order of their list."""

    ids: tuple[str, ...]
    lab: Array  # (n, 3), as the list has them
    u: Array  # (n, 62)
    covariance: Array  # (n, 62, 62)
    scattering: Array  # (n, 31)
    absorption: Array  # (n, 31)
    offset: Array  # (n, 3): the list's colour minus the model's, for colours no film can have
    notes: dict[str, str]  # id -> what had to be left aside

    def predict(self, shares: Array, which: np.ndarray) -> Array:
        """CIELAB (m, 3) of m mixtures: `shares` (m, p) of the paints `which` (m, p); shares add up to 1."""
        k = np.einsum("mp,mpl->ml", shares, self.absorption[which])
        s = np.einsum("mp,mpl->ml", shares, self.scattering[which])
        return inference.lab_of(law.reflectance(k / s)) + np.einsum("mp,mpl->ml", shares, self.offset[which])


def colourants(swatches: SwatchList) -> Colourants:
    """Absorption and scattering of every paint of the list that mixes; worked out once for a list."""
    ready = swatches.__dict__.get("_colourants")
    if ready is None:
        ready = _prepare([swatch for swatch in swatches.swatches if unmixable(swatch) is None])
        object.__setattr__(swatches, "_colourants", ready)
    return ready


def _prepare(paints: list[Swatch]) -> Colourants:
    lab = np.array([paint.lab for paint in paints], dtype=np.float64).reshape(-1, 3)
    gloss = np.zeros(len(paints))
    u, covariance = inference.most_probable(prior(), [inference.masstone(lab, gloss)])
    s = np.exp(u[:, inference.N :])
    k = s * np.exp(u[:, : inference.N])
    offset = lab - inference.lab_of(law.reflectance(k / s))
    return Colourants(tuple(p.id for p in paints), lab, u, covariance, s, k, offset, {})
