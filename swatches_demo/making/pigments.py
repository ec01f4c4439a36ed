"""Invented pigments, and the reflectances of what is painted with them.

Each pigment has an absorption K and a scattering S per nanometre band, made of smooth steps and
humps; paints are mixtures by volume. Reflectance follows Kubelka & Munk (1931) with Saunderson's
surface correction (1942; k1 = 0.03, k2 = 0.65), gloss excluded.
"""

from __future__ import annotations

import numpy as np

NM = np.arange(400.0, 701.0, 10.0)
Array = np.ndarray


def _fall(edge: float, width: float) -> Array:
    """1 below `edge`, 0 above."""
    return 1 / (1 + np.exp((NM - edge) / width))


def _hump(centre: float, width: float) -> Array:
    return np.exp(-(((NM - centre) / width) ** 2) / 2)


def _scatter(strength: float, power: float) -> Array:
    return strength * (NM / 550) ** -power


PIGMENTS: dict[str, tuple[Array, Array]] = {
    "white": (0.004 + 0.25 * _fall(405, 7), _scatter(1.0, 0.4)),
    "black": (3.2 * (NM / 550) ** -0.15, _scatter(0.06, 0.8)),
    "vermilion": (2.0 * _fall(582, 7) + 2.4 * _fall(480, 40) + 0.008, _scatter(0.40, 0.6)),
    "crimson": (2.3 * _hump(540, 38) + 0.9 * _hump(430, 30) + 0.02, _scatter(0.07, 0.9)),
    "orange": (1.5 * _fall(548, 9) + 2.0 * _fall(470, 35) + 0.008, _scatter(0.42, 0.6)),
    "yellow": (1.7 * _fall(492, 9) + 0.01, _scatter(0.40, 0.6)),
    "ochre": (0.85 * _fall(540, 22) + 0.16 * _hump(640, 60) + 0.05, _scatter(0.34, 0.7)),
    "oxide": (1.5 * _fall(570, 14) + 0.22, _scatter(0.36, 0.7)),
    "umber": (0.9 * _fall(570, 60) + 0.55, _scatter(0.20, 0.8)),
    "chrome-green": (1.15 * _fall(462, 16) + 0.75 * _hump(660, 55) + 0.09, _scatter(0.26, 0.7)),
    "sea-green": (3.6 * _hump(640, 48) + 1.5 * _fall(440, 16) + 0.04, _scatter(0.06, 1.0)),
    "sky-blue": (
        3.0 * _hump(620, 52) + 0.55 * _hump(690, 30) + 0.05 * _fall(430, 10) + 0.03,
        _scatter(0.09, 1.0),
    ),
    "ultramarine": (2.2 * _hump(600, 48) + 0.25 * _fall(415, 8) + 0.05, _scatter(0.09, 1.0)),
    "violet": (2.4 * _hump(565, 42) + 0.25 * _hump(480, 35) + 0.03, _scatter(0.07, 1.0)),
}


def reflectance(recipe: dict[str, float]) -> Array:
    """Of an opaque film, (31,), gloss excluded; `recipe` is volume by pigment."""
    total = sum(recipe.values())
    k = sum((v / total) * PIGMENTS[p][0] for p, v in recipe.items())
    s = sum((v / total) * PIGMENTS[p][1] for p, v in recipe.items())
    ratio = k / s
    inside = 1 + ratio - np.sqrt(ratio**2 + 2 * ratio)
    return np.asarray((1 - 0.03) * (1 - 0.65) * inside / (1 - 0.65 * inside))


def tint(recipe: dict[str, float], share: float = 0.10) -> Array:
    total = sum(recipe.values())
    return reflectance(
        {**{p: share * v / total for p, v in recipe.items()}}
        | {"white": 1 - share + share * recipe.get("white", 0.0) / total}
    )


def opacity(recipe: dict[str, float]) -> float:
    """Contrast ratio of a brushed coat: how much of a black-and-white ground it hides, 0..1."""
    total = sum(recipe.values())
    k = sum((v / total) * PIGMENTS[p][0] for p, v in recipe.items())
    s = sum((v / total) * PIGMENTS[p][1] for p, v in recipe.items())
    a = 1 + k / s
    b = np.sqrt(np.maximum(a**2 - 1, 1e-9))
    x = b * s * 3.2

    def over(ground: float) -> Array:
        coth = 1 / np.tanh(x)
        return np.asarray((1 - ground * (a - b * coth)) / (a - ground + b * coth))

    return float(np.clip(over(0.04)[10:21].mean() / over(0.85)[10:21].mean(), 0.05, 1.0))
