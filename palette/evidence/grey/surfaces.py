"""Surfaces as rows of reflectance: the paints of a list, and painted surfaces at large."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from palette.colour.families import even_normals
from palette.colour.recovery import recover
from palette.colour.spaces import Array
from palette.memory import remembered
from palette.swatches.model import SwatchList

_PAINT_SAMPLES = 48
_LARGE_SAMPLES = 4
_BLUR_SAMPLES = 9


@dataclass(frozen=True)
class Surfaces:
    """n surfaces, each with one or more equally likely reflectances; the rows of one stand together."""

    lab: Array  # (n, 3)
    reflectance: Array  # (r, 31)
    start: np.ndarray  # (n,) first row of each

    @property
    def owner(self) -> np.ndarray:
        """(r,) the surface each row belongs to."""
        counts = np.diff(np.append(self.start, len(self.reflectance)))
        return np.repeat(np.arange(len(self.start)), counts)

    def equal_shares(self) -> Array:
        """(r,) the share of each row where every surface has the same, and so have its rows."""
        counts = np.diff(np.append(self.start, len(self.reflectance)))
        return np.asarray(1 / np.repeat(counts * max(len(counts), 1), counts))

    def mean(self, rows: Array) -> Array:
        """Mean over each surface's rows: (…, r) -> (…, n)."""
        counts = np.diff(np.append(self.start, len(self.reflectance)))
        return np.asarray(np.add.reduceat(rows, self.start, axis=-1) / counts)


@remembered(kept=True)
def of_swatches(swatches: SwatchList) -> Surfaces:
    """The paints of a list: measured reflectances as they are, the others recovered with their spread.

    A swatch that states the spread of its own reading is blurred by it.
    """
    lab = swatches.lab
    bare = [i for i, s in enumerate(swatches.swatches) if s.reflectance is None]
    recovered = dict(zip(bare, recover(lab[bare], _PAINT_SAMPLES).samples, strict=True))
    rows = []
    for i, swatch in enumerate(swatches.swatches):
        own = recovered[i] if swatch.reflectance is None else np.clip(swatch.reflectance, 1e-4, None)[None]
        if swatch.spread:
            blur = float(log_deviation(lab[i], np.asarray(swatch.spread)))
            own = np.repeat(own, _BLUR_SAMPLES, axis=0) if len(own) == 1 else own
            own = own * np.exp(blur * even_normals(len(own), 1))
        rows.append(own)
    starts = np.cumsum([0, *(len(r) for r in rows[:-1])]) if rows else np.zeros(0)
    return Surfaces(
        lab,
        np.concatenate(rows) if rows else np.zeros((0, 31)),
        np.asarray(starts, dtype=np.intp),
    )


@remembered(kept=True)
def of_labs(lab: Array, samples: int = _PAINT_SAMPLES) -> Surfaces:
    """Surfaces known by their colour alone, (n, 3)."""
    rows = recover(lab, samples).samples
    return Surfaces(lab, rows.reshape(-1, rows.shape[-1]), np.arange(len(lab)) * samples)


@cache
def at_large() -> Surfaces:
    """What painted surfaces look like: the colours of `data/surfaces.csv`, spectra recovered."""
    text = files("palette.evidence.grey.data").joinpath("surfaces.csv").read_text("utf-8")
    return of_labs(
        np.array([row.split(",") for row in text.splitlines()[1:]], dtype=np.float64), _LARGE_SAMPLES
    )


def log_deviation(lab: Array, radius90: Array) -> Array:
    """What a spread of a colour (CIEDE2000, nine times in ten) is in the logarithm of its signal.

    Shared evenly between three axes, that radius is 2.5 standard deviations of each; a step of L* is
    3 / (L* + 16) in the logarithm of luminance.
    """
    return np.asarray(radius90 / 2.5 * 3.0 / (np.maximum(lab[..., 0], 0.0) + 16.0))
