"""Measured surfaces through simulated pictures, and the posterior's marks.

Surfaces: measured sets of colour-science that no prior of palette has learnt from (every other one of its 190
training patches, the 24- and 30-patch charts, the samples of the colour quality scale and of the rendering
index). Stocks: the 250-speed negative of palette's own data; held back from its classes, a 400-speed
negative (the maker's data sheet, as the package spectral-film-lut 0.18 digitised it) and an
orthochromatic curve made up here. Each trial has its own exposure, exponent, black level and paints.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np

from palette.colour.lumas import luma_signal
from palette.colour.responses import Response
from palette.colour.spaces import srgb_encode
from palette.colour.spectra import FINE, NM, light, observer, reflectance_to_lab, weights
from palette.evidence.grey import posterior, surfaces, tone
from palette.evidence.grey.curves import response_of
from palette.evidence.grey.inference import lightness_odds
from palette.evidence.grey.picture import AnchorLevel, GreyPicture, Sensitivity
from palette.evidence.grey.tone import Level

Array = Any
NEGATIVE_400 = np.interp(
    FINE,
    NM,
    [1.0, 0.972, 0.944, 0.887, 0.827, 0.751, 0.661, 0.559, 0.467, 0.392, 0.346, 0.344, 0.376, 0.417, 0.461,
     0.504, 0.54, 0.564, 0.553, 0.511, 0.478, 0.496, 0.522, 0.431, 0.192, 0.026, 0.006, 0, 0, 0, 0],
    left=0.0,
    right=0.0,
)  # fmt: skip


def _bell(centre: float, left: float, right: float) -> Array:
    away = FINE - centre
    return np.exp(-0.5 * (away / np.where(away < 0, left, right)) ** 2)


ORTHO = np.where((FINE >= 400) & (FINE <= 600), _bell(440, 70, 45) + 0.7 * _bell(555, 30, 22), 0.0) / (
    1 + np.exp((FINE - 588) / 4)
)


def curve(values: Array, name: str = "its own curve") -> Response:
    return Response(name, name, "given", members=np.asarray(values)[None], is_class=False)


def sheet() -> Array:
    """The 250-speed negative, zero outside its points as a CSV would be read."""
    path = Path(str(files("palette.colour.data").joinpath("panchromatic_negative.csv")))
    members = response_of(path).members
    assert members is not None
    return members[0]


def camera() -> Array:
    """(3, 471) the red, green and blue sensitivities of a digital camera (Darrodi et al. 2015)."""
    import colour

    seen = colour.MSDS_CAMERA_SENSITIVITIES["Nikon 5100 (NPL)"]
    return np.array([np.interp(FINE, seen.wavelengths, v, left=0.0, right=0.0) for v in seen.values.T])


def patches() -> Array:
    """The 190 measured training patches of RAW to ACES (190, 31); every other one is learnt from."""
    import colour

    folder = Path(colour.__file__).parent / "characterisation" / "datasets" / "rawtoaces"
    table = np.genfromtxt(folder / "190_Patches.csv", delimiter=",", skip_header=1).T
    return np.array([np.interp(NM, table[0], row) for row in table[1:]])


def held_back() -> tuple[Array, Array]:
    """Reflectances (n, 31) that nothing has learnt from, and the six greys of the 24-patch chart."""
    import colour
    from colour.quality.datasets import SDS_TCS
    from colour.quality.datasets.vs import SDS_VS

    groups = [colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"], colour.SDS_COLOURCHECKERS["PMC"]]
    groups += [SDS_VS["NIST CQS 7.4"], SDS_TCS["CIE 2024"]]
    rows = [np.interp(NM, sd.wavelengths, sd.values) for group in groups for sd in group.values()]
    every = np.concatenate([rows, patches()[1::2]])
    return every[(every.max(axis=1) <= 1) & (every.min(axis=1) > 0.005)], every[18:24]


def power(e: Array, g: float, b: float) -> Array:
    """An exponent and a black level in linear light: the family the oracle knows."""
    return srgb_encode(np.clip(b + (1 - b) * e**g, 0, 1))


def encoded(e: Array, g: float, b: float) -> Array:
    """The black level added to encoded levels."""
    return 3 * b + (1 - 3 * b) * srgb_encode(np.clip(e, 0, 1)) ** g


def negative_and_print(e: Array, g: float, b: float) -> Array:
    """A negative's toe and straight line, a print's toe and shoulder (made up)."""
    density = 0.2 + 0.91 * np.log1p(np.exp(2.5 * (np.log10(np.maximum(e, 1e-6)) + 2.2))) / 2.5
    printed = 1.95 / (1 + np.exp(3.2 * (density - 1.15)))
    return srgb_encode(np.clip(b + (1 - b) * 10**-printed, 0, 1))


@dataclass(frozen=True)
class Shot:
    """One picture of a trial: what the stock truly was, what the kit says of it, or a luma's weights."""

    truth: Array | None
    said: Response
    luma: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class Case:
    name: str
    shots: Sequence[Shot]
    uneven: float
    light: str | None = "D65"
    anchors: int = 3
    neutral: int = 0  # anchors of unknown lightness besides
    paints: int = 40
    curve: Callable[[Array, float, float], Array] = power
    noise: float = 0.001
    measured: bool = False  # the candidates' reflectances are known


@dataclass(frozen=True)
class Marks:
    """Per surface: log2 of probability over uniform, the set that ends before it and with it, its L* rank."""

    bits: Array
    before: Array
    upto: Array
    lightness: Array

    def coverage(self, share: float) -> float:
        """How often a set of exactly `share` holds the truth, its last member taken in by lot."""
        return float(
            np.mean(np.clip((share - self.before) / np.maximum(self.upto - self.before, 1e-12), 0, 1))
        )


@contextmanager
def known_family() -> Iterator[None]:
    """The tone model narrowed to what `power` draws from, for the yardsticks."""
    keep = tone.shapes, tone._WANDER, posterior.log_deviation, posterior.OUTLIER

    def narrow(lowest: float, crushed: bool = False) -> tone.Shapes:
        del crushed
        lift = srgb_encode((np.arange(60) + 0.5) / 60 * 0.05)
        lift = lift[lift < max(lowest, float(lift[0])) + 0.03]
        cell = np.gradient(lift) if len(lift) > 1 else np.full(len(lift), 0.004)
        zero = np.zeros(len(lift))
        return tone.Shapes(zero.astype(bool), lift, cell, zero, zero)

    tone.shapes, tone._WANDER, posterior.OUTLIER = narrow, 0.002, 1e-4
    posterior.log_deviation = lambda lab, radius: np.asarray(radius) * 0.0
    try:
        yield
    finally:
        tone.shapes, tone._WANDER, posterior.log_deviation, posterior.OUTLIER = keep


def run(case: Case, trials: int, method: str = "palette", parts: int = 8) -> Marks:
    """Simulate and infer. `method`: palette | lab (curve and tone family known) | oracle (spectra too) |
    lightness (photopic, by Lab alone)."""
    every, greys = held_back()
    marks = []
    for seed in range(trials):
        rng = np.random.default_rng(1000 + seed)
        if method in ("lab", "oracle"):
            with known_family():
                marks += _trial(case, rng, every, greys, method, parts)
        else:
            marks += _trial(case, rng, every, greys, method, parts)
    return Marks(*np.array(marks).T)


def _trial(
    case: Case, rng: np.random.Generator, every: Array, greys: Array, method: str, parts: int
) -> list[tuple[float, ...]]:
    rows = every[rng.choice(len(every), case.paints, replace=False)]
    lab = reflectance_to_lab(rows)
    exact = case.measured or method == "oracle"
    paints = surfaces.Surfaces(lab, rows, np.arange(len(rows))) if exact else surfaces.of_labs(lab)
    large = surfaces.at_large()
    split = len(paints.reflectance)
    anchors = greys[[0, 3, 5, 1, 4][: case.anchors]]
    unknown = greys[[2, 4][: case.neutral]]
    seen, index = [], {}
    parts = min(parts, len(rows))
    for number, shot in enumerate(case.shots):
        exposure, g, b = np.exp(rng.uniform(-0.4, 0.05)), rng.uniform(0.6, 1.6), rng.uniform(0, 0.05)
        shown = np.concatenate([anchors, unknown, rows[:parts]])
        if shot.truth is None:
            signal = luma_signal(reflectance_to_lab(shown), np.array([[*(shot.luma or ()), 1.0]]))[:, 0]
        else:
            signal = shown @ weights(light(case.light or "D55"), shot.truth)
        lit = exposure * signal * np.exp(rng.normal(0, case.uneven, len(signal)))
        level = case.curve(lit, g, b) + rng.normal(0, case.noise, len(signal))
        level = np.round(np.clip(level, 0, 1) * 255) / 255
        read = [Level(float(v), case.noise, int(v >= 1) - int(v <= 0)) for v in level]
        said, under = shot.said, case.light
        if method in ("lab", "oracle") and shot.truth is not None:
            said, under = curve(shot.truth), case.light or "D55"
        if method == "lightness":
            said, under = curve(observer()[:, 1]), "D65"
        if method in ("lab", "oracle") and said.lumas is not None:
            said = Response(said.name, said.title, "", lumas=said.lumas[:1])
        # the eye's curve is believed no further than stocks differ from it, so that the rival is honest too
        believed = float(np.hypot(case.uneven, 0.3)) if method == "lightness" else case.uneven
        sensitivity = Sensitivity.of(said, under)
        known = [
            AnchorLevel(
                f"anchor {i}", read[i], None if i >= len(anchors) else reflectance_to_lab(shown[i]), 1.0
            )
            for i in range(len(anchors) + len(unknown))
        ]
        places = {str(i): (read[len(known) + i],) for i in range(parts)}
        one = posterior.calibrate(GreyPicture(f"view {number}", sensitivity, tuple(known), places, believed))
        both = np.concatenate([sensitivity.log_signals(paints), sensitivity.log_signals(large)])
        seen.append(one)
        index[one.picture.name] = one.signals.index(both)
    pictures = {one.picture.name: one for one in seen}
    shown = {
        str(i): {name: one.picture.levels[str(i)] for name, one in pictures.items()} for i in range(parts)
    }
    # the yardsticks hear of no other part: what they know besides is more than the parts could tell
    narrowed = posterior.together(pictures, shown, index, paints) if method == "palette" else {}
    marks = []
    for i in range(parts):
        density = posterior.likelihood(
            [
                (narrowed.get((name, str(i)), one), one.picture.levels[str(i)])
                for name, one in pictures.items()
            ],
            index,
            slice(split, None),
        )
        p = paints.mean(density[:split])
        p = p / p.sum()
        order = np.argsort(-p)
        upto = float(np.cumsum(p[order])[np.flatnonzero(order == i)[0]])
        rank = np.interp(lab[i, 0], *lightness_odds(large.lab[large.owner, 0], density[split:]))
        marks.append((float(np.log2(p[i] * len(p))), upto - float(p[i]), upto, float(rank)))
    return marks
